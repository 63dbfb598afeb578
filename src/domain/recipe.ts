/**
 * A recipe: what the dyer asked for (`RecipeJob`) and the worked answer (`Recipe`), a snapshot that never changes.
 * Everything here is plain JSON. Weights are grams of dry fibre or substance, volumes mL or litres, temperatures °C.
 */
import type { Condition, DoseBasis, HazardStanding, Metal, Provenance, Severity, SignalWord } from './catalogue.js'

export const ROUTES = ['label', 'powder', 'plant', 'iron', 'indigo'] as const
export type Route = (typeof ROUTES)[number]

/** Plain trade words for each route, for pages. */
export const ROUTE_WORDS: Record<Route, string> = {
  label: 'bottled or packet dye, by its label',
  powder: 'dye powder, by weight of fibre',
  plant: 'plant or insect dye on a mordant',
  iron: 'iron alone',
  indigo: 'indigo vat',
}

/** Names for depths of shade; the number is the factor that the recipe shows. */
export const DEPTHS = [
  { name: 'pale', factor: 0.25 },
  { name: 'light', factor: 0.5 },
  { name: 'medium', factor: 1 },
  { name: 'full', factor: 1.5 },
  { name: 'deep', factor: 2 },
] as const

/** What "dry" means for the weight: without water, with the fibre's standard moisture, or simply as weighed. */
export const DRY_BASES = ['oven-dry', 'conditioned', 'air-dry as weighed'] as const
export type DryBasis = (typeof DRY_BASES)[number]

export const MORDANT_TIMES = ['before dye', 'in the dye bath', 'after dye'] as const
export type MordantTime = (typeof MORDANT_TIMES)[number]

export const PURPOSES = ['class use', 'wet use'] as const
export type Purpose = (typeof PURPOSES)[number]

/** `share` is a part of the colour: 3 and 1 mean three quarters and one quarter. `owfPercent` typed = exactly that. */
export type DyeShare = { substanceId: string; share: number; owfPercent: number | null }

/** Mordants with the same `when` and `bath` (1, 2, 3 …) share one bath. `owfPercent` null = the catalogue's dose. */
export type MordantUse = { substanceId: string; when: MordantTime; bath: number; owfPercent: number | null }

/** Something the dyer adds to the dye bath; where the catalogue asks for the same substance, this dose stands instead. */
export type ExtraDose = { substanceId: string; basis: DoseBasis; amount: number }

/** What was really used before, per kg of dry fibre, in the substance's own unit; it overrides what is computed. */
export type UsedRate = { substanceId: string; perKg: number; unit: 'g' | 'mL'; from: string }

/** Why the dyer goes against a rule. */
export type GivenReason = { ruleId: string; words: string }

export type RecipeJob = {
  fibreId: string
  dryWeightG: number
  /** Where the dry weight comes from: "weighed at drop-off, 12 bundles"; left out, it was typed for this recipe. */
  dryWeightFrom?: string
  dryBasis: DryBasis
  route: Route
  dyes: DyeShare[]
  mordants: MordantUse[]
  extras: ExtraDose[]
  /** Depth of shade as a factor: 1 is medium; see `DEPTHS`. */
  depth: number
  /** Litres per kg; null = the fibre's own. */
  liquorRatioLPerKg: number | null
  /** Indigo: how many dips; null = the vat's own. */
  dips: number | null
  conditions: Condition[]
  tiesUndyed: boolean
  purposes: Purpose[]
  usedRates: UsedRate[]
  reasons: GivenReason[]
}

/** One factor of a formula. Units that begin with "%" are hundredths; `by` says whether it multiplies or divides. */
export type HowInput = {
  label: string
  value: number
  unit: string
  by: 'times' | 'divided by'
  provenance: Provenance
}

/** How an amount was reckoned; multiplying `inputs` out gives the amount. */
export type How = { words: string; numbers: string; inputs: HowInput[] }

export type LineRole = 'dye' | 'mordant' | 'assistant' | 'iron' | 'vat' | 'as used'

export type RecipeLine = {
  /** Unique in the recipe, e.g. "mordant-1:potassium-alum". */
  key: string
  substanceId: string
  name: string
  role: LineRole
  /** The bath it goes into: a `RecipeBath` key. */
  bathKey: string
  amount: number
  unit: 'g' | 'mL'
  /** The same amount in other words: "1.2 bottles", "2 tsp". */
  alsoShown: string[]
  /** g or mL per kg of dry fibre. */
  ratePerKg: number
  how: How
}

/** `key`: "mordant-1", "dye", "stock", "vat", "after-1". */
export type RecipeBath = { key: string; title: string; waterL: number; how: How }

export const STEP_KEYS = ['soak', 'mordant', 'dye', 'stand', 'iron', 'vat', 'dip', 'air', 'rinse', 'dry'] as const
export type StepKey = (typeof STEP_KEYS)[number]

export const STEP_PLACES = ['soak tub', 'pot', 'rinse', 'drying line'] as const
export type StepPlace = (typeof STEP_PLACES)[number]

export type Step = {
  key: StepKey
  /** Place in the order, from 0: unique in the recipe, since a key may come more than once. */
  index: number
  /** Short and imperative: "Soak, then take the ties off". */
  title: string
  words: string
  /** Planned length; null = until it is done ("until clear"). */
  minutes: number | null
  atLeastMinutes: number | null
  atMostMinutes: number | null
  temperatureC: number | null
  /** Needs hands all the time. */
  hands: boolean
  /** Minutes of hand work within it. */
  handsMinutes: number
  heat: boolean
  place: StepPlace
  mayStandOvernight: boolean
  tiesComeOff: boolean
  /** The bath it happens in, when it happens in one. */
  bathKey: string | null
  cautions: string[]
}

export type Finding = {
  ruleId: string
  name: string
  severity: Severity
  words: string
  provenance: Provenance
  /** Why the dyer goes on all the same; null = not said. */
  reason: string | null
}

export type Caution = {
  about: 'substance' | 'recipe' | 'always'
  /** What it is about: the substance's name, or a short heading. */
  name: string
  signalWord: SignalWord | null
  statements: { code: string; words: string }[]
  standing: HazardStanding | null
  words: string[]
  provenance: Provenance
}

/** What is left in the baths at most: no metal is taken to have stayed on the fibre. */
export type SpentBath = { metals: { metal: Metal; grams: number }[]; words: string[] }

export type Recipe = {
  job: RecipeJob
  fibreName: string
  /** "cochineal on potassium alum". */
  dyeWords: string
  routeWords: string
  basisWords: string
  depthWords: string
  /** Litres in the main bath (the dye bath, or the vat with its stock). */
  waterL: number
  waterHow: How
  baths: RecipeBath[]
  lines: RecipeLine[]
  steps: Step[]
  findings: Finding[]
  cautions: Caution[]
  spentBath: SpentBath
}
