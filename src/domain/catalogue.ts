/**
 * The catalogue: fibres, substances and rules, as plain JSON documents that the dyer reads, corrects and extends.
 * Every number is a `Figure` that says where it comes from; `null` means "not known: try a strip", never zero.
 */

export const PROVENANCE_KINDS = ['standard', 'handbook', 'common practice', 'own experience', 'from memory'] as const
export type ProvenanceKind = (typeof PROVENANCE_KINDS)[number]

/** Where a figure or a sentence comes from; `source` names the publication, or says "no source". */
export type Provenance = { kind: ProvenanceKind; source: string }
export type Figure = { value: number; provenance: Provenance }

/** What is printed where a figure is null. */
export const NOT_KNOWN = 'not known: try a strip'

export const DYE_CLASSES = [
  'all-purpose',
  'direct',
  'acid',
  'basic',
  'fibre-reactive',
  'union',
  'plant',
  'insect',
  'iron',
  'indigo',
] as const
export type DyeClass = (typeof DYE_CLASSES)[number]

export const FIBRE_PARTS = ['inner bark', 'bast', 'leaf', 'stem', 'rod', 'core'] as const
export type FibrePart = (typeof FIBRE_PARTS)[number]

export type Fibre = {
  /** Stable slug, e.g. "red-cedar-inner-bark". */
  id: string
  name: string
  latin: string | null
  part: FibrePart
  /** What a dyer should know about it, in one or two sentences. */
  words: string
  /** Moisture that the fibre is reckoned to hold when conditioned, per cent of its oven-dry weight. */
  regainPercent: Figure | null
  /** Litres of bath per kilogram of dry fibre. */
  liquorRatioLPerKg: Figure | null
  soakMinutes: Figure | null
  soakTemperatureC: Figure | null
  /** How many times the ordinary amount of a dye this fibre needs, by dye class; 1 is ordinary fibre. */
  takeUp: Record<DyeClass, Figure | null>
  /** Shortest time in a synthetic dye bath that colours it through. */
  dyeMinutes: Figure | null
  /** The bath is not to be hotter than this. */
  hottestC: Figure | null
  dryingHours: Figure | null
}

export const SUBSTANCE_KINDS = ['dyestuff', 'mordant', 'assistant', 'acid', 'alkali', 'reducing agent'] as const
export type SubstanceKind = (typeof SUBSTANCE_KINDS)[number]

export const SUBSTANCE_FORMS = ['liquid', 'powder', 'crystals', 'raw', 'chips', 'extract'] as const
export type SubstanceForm = (typeof SUBSTANCE_FORMS)[number]

export const SUBSTANCE_UNITS = ['g', 'mL'] as const

/**
 * How an amount is reckoned: per cent of dry fibre, grams (or mL) per litre of bath, per kg of dry fibre, per bath,
 * or for each gram of the dye or mordant that it goes with.
 */
export const DOSE_BASES = ['% owf', 'per litre', 'per kg', 'per bath', 'per gram'] as const
export type DoseBasis = (typeof DOSE_BASES)[number]

/** One substance that goes with another: how much of it, reckoned how. The unit (g or mL) is the substance's own. */
export type Dose = { substanceId: string; basis: DoseBasis; amount: Figure | null; words: string }

export const METALS = ['aluminium', 'iron', 'copper', 'tin', 'chromium'] as const
export type Metal = (typeof METALS)[number]

/** A label that asks for containers per weight of ordinary fibre. */
export type LabelRate = {
  /** What one container is called: "bottle", "packet". */
  container: string
  /** mL in one container of a liquid, g in one of a powder. The dyer edits it to what the tin says. */
  containerHolds: Figure | null
  containersPerKg: Figure | null
}

export const SIGNAL_WORDS = ['Danger', 'Warning'] as const
export type SignalWord = (typeof SIGNAL_WORDS)[number]

export const HAZARD_STANDINGS = ['harmonised', "supplier's sheet decides"] as const
export type HazardStanding = (typeof HAZARD_STANDINGS)[number]

/** GHS label: `signalWord` null with no statements means "not classified by most suppliers". */
export type Hazard = {
  signalWord: SignalWord | null
  statements: { code: string; words: string }[]
  standing: HazardStanding
  provenance: Provenance
}

/** How the dyestuff's or mordant's bath is run. */
export type BathHabit = { minutes: Figure | null; temperatureC: Figure | null; standsOvernight: boolean }

/** An indigo vat: what the stock holds for each gram of indigo, and the window it works in. */
export type Vat = {
  /** Substances for each gram of indigo: amounts in g (or mL) per g. */
  perGram: { substanceId: string; ratio: Figure | null; words: string }[]
  /** Litres of stock made for each gram of indigo. */
  stockLPerG: Figure | null
  lowestPh: Figure | null
  highestPh: Figure | null
  lowestC: Figure | null
  highestC: Figure | null
  dips: Figure | null
  dipMinutes: Figure | null
  airingMinutes: Figure | null
}

export type Substance = {
  id: string
  name: string
  latin: string | null
  kind: SubstanceKind
  /** Set when the substance can be the dye of a recipe (iron is a mordant that also colours). */
  dyeClass: DyeClass | null
  form: SubstanceForm
  /** What it is weighed or measured in. */
  unit: (typeof SUBSTANCE_UNITS)[number]
  words: string
  formula: string | null
  molarMassGPerMol: Figure | null
  metal: Metal | null
  /** Grams of the metal in one gram of the substance. */
  metalFraction: Figure | null
  /** Grams that one US teaspoon (4.93 mL) holds, to show a small amount in spoons. */
  gramsPerTeaspoon: Figure | null
  label: LabelRate | null
  /** Per cent of dry fibre, of this form at strength 1, for a pale, a medium and a deep shade. */
  owfPercent: { pale: Figure | null; medium: Figure | null; deep: Figure | null }
  /** Strength beside the form that the owf figures are for: an extract of 5 needs a fifth. null = 1. */
  relativeStrength: Figure | null
  /** What goes into this dye's own bath. */
  assistants: Dose[]
  /** As a mordant: how much, and what goes with it in the same bath. */
  mordantDose: { basis: DoseBasis; amount: Figure | null } | null
  mordantAssistants: Dose[]
  bath: BathHabit
  vat: Vat | null
  hazard: Hazard
  /** The usual care in handling it, in short sentences. */
  care: string[]
}

export const CONDITIONS = [
  'hard water',
  'cream of tartar added',
  'chalk added',
  'split after dyeing',
  'dirty or waxy',
  'iron pot',
  'boiled',
  'no mordant',
  'ties undyed',
  'class use',
  'wet use',
] as const
/** What else is true of the job; the last four are read off it, the others are told by the dyer. */
export type Condition = (typeof CONDITIONS)[number]

export const SEVERITIES = [
  'does not take',
  'harms the fibre',
  'changes colour',
  'leaves an undyed face',
  'try a strip first',
] as const
export type Severity = (typeof SEVERITIES)[number]

/** Fires when every list that is not empty names something in the job ("any of these"). */
export type Rule = {
  id: string
  name: string
  fibreIds: string[]
  fibreParts: FibrePart[]
  dyeIds: string[]
  dyeClasses: DyeClass[]
  mordantIds: string[]
  conditions: Condition[]
  severity: Severity
  words: string
  provenance: Provenance
}

export type Catalogue = { fibres: Fibre[]; substances: Substance[]; rules: Rule[] }

export type EntryKind = 'fibre' | 'substance' | 'rule'
export type EntryOf = { fibre: Fibre; substance: Substance; rule: Rule }

/** One entry, of whichever kind. */
export type Entry = { [K in EntryKind]: { kind: K; entry: EntryOf[K] } }[EntryKind]
