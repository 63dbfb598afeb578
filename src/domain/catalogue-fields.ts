/**
 * The fields of a catalogue entry for a page that lists and edits them: label, unit, bounds, and how to put a new
 * figure in. `*` in a path stands for the place in a list.
 */
import {
  CONDITIONS,
  DOSE_BASES,
  type Dose,
  DYE_CLASSES,
  type DyeClass,
  type EntryKind,
  FIBRE_PARTS,
  type Fibre,
  type Figure,
  HAZARD_STANDINGS,
  METALS,
  SEVERITIES,
  SIGNAL_WORDS,
  SUBSTANCE_FORMS,
  SUBSTANCE_KINDS,
  type Substance,
  type Vat,
} from './catalogue.js'
import { Refusal } from './refusal.js'

export type FigureField = { path: string; label: string; unit: string; least: number; most: number }
export type TextField = { path: string; label: string; choices: readonly string[] | null; many: boolean }

/** A figure of one entry, and the entry with another figure in its place. */
export type EditableFigure<E> = FigureField & { figure: Figure | null; with: (figure: Figure | null) => E }

const field = (path: string, label: string, unit: string, least: number, most: number): FigureField => ({
  path,
  label,
  unit,
  least,
  most,
})

const takeUpField = (dyeClass: DyeClass) =>
  field(`takeUp.${dyeClass}`, `take-up of ${dyeClass} dye`, '× ordinary fibre', 0.05, 20)

export const FIBRE_FIGURES = {
  regainPercent: field('regainPercent', 'regain', '% of oven-dry weight', 0, 100),
  liquorRatioLPerKg: field('liquorRatioLPerKg', 'liquor ratio', 'L/kg', 2, 200),
  soakMinutes: field('soakMinutes', 'soak', 'minutes', 0, 10_080),
  soakTemperatureC: field('soakTemperatureC', 'soak temperature', '°C', 0, 100),
  dyeMinutes: field('dyeMinutes', 'shortest time in a synthetic dye bath', 'minutes', 0, 10_080),
  hottestC: field('hottestC', 'hottest bath', '°C', 0, 100),
  dryingHours: field('dryingHours', 'drying', 'hours', 0, 1000),
} as const

export const SUBSTANCE_FIGURES = {
  molarMassGPerMol: field('molarMassGPerMol', 'molar mass', 'g/mol', 1, 10_000),
  metalFraction: field('metalFraction', 'metal in one gram', 'g', 0, 1),
  gramsPerTeaspoon: field('gramsPerTeaspoon', 'one US teaspoon holds', 'g', 0.1, 50),
  relativeStrength: field('relativeStrength', 'strength beside the form of the figures', '×', 0.01, 1000),
} as const

const LABEL_FIGURES = {
  containerHolds: field('label.containerHolds', 'one bottle or packet holds', 'g or mL', 0.1, 10_000),
  containersPerKg: field('label.containersPerKg', "the label's rate for ordinary fibre", 'containers/kg', 0.001, 1000),
} as const

const OWF_FIGURES = {
  pale: field('owfPercent.pale', 'pale shade', '% owf', 0.001, 1000),
  medium: field('owfPercent.medium', 'medium shade', '% owf', 0.001, 1000),
  deep: field('owfPercent.deep', 'deep shade', '% owf', 0.001, 1000),
} as const

const BATH_FIGURES = {
  minutes: field('bath.minutes', 'time in the bath', 'minutes', 0, 10_080),
  temperatureC: field('bath.temperatureC', 'temperature of the bath', '°C', 0, 100),
} as const

const VAT_FIGURES = {
  stockLPerG: field('vat.stockLPerG', 'stock for each gram of indigo', 'L', 0.001, 10),
  lowestPh: field('vat.lowestPh', 'lowest pH', 'pH', 0, 14),
  highestPh: field('vat.highestPh', 'highest pH', 'pH', 0, 14),
  lowestC: field('vat.lowestC', 'lowest temperature of the vat', '°C', 0, 100),
  highestC: field('vat.highestC', 'highest temperature of the vat', '°C', 0, 100),
  dips: field('vat.dips', 'dips for a medium shade', 'dips', 1, 20),
  dipMinutes: field('vat.dipMinutes', 'length of a dip', 'minutes', 0, 1440),
  airingMinutes: field('vat.airingMinutes', 'length of an airing', 'minutes', 0, 1440),
} as const

const DOSE_MOST = 10_000
const doseField = (path: string, label: string, unit: string) => field(path, label, unit, 0, DOSE_MOST)

/** Every figure that an entry of this kind can have, for a table of contents or a help page. */
export const FIGURE_FIELDS: Record<EntryKind, FigureField[]> = {
  fibre: [...Object.values(FIBRE_FIGURES), ...DYE_CLASSES.map(takeUpField)],
  substance: [
    ...Object.values(SUBSTANCE_FIGURES),
    ...Object.values(OWF_FIGURES),
    ...Object.values(LABEL_FIGURES),
    ...Object.values(BATH_FIGURES),
    doseField('assistants.*.amount', 'goes with it', 'by its basis'),
    doseField('mordantDose.amount', 'as a mordant', 'by its basis'),
    doseField('mordantAssistants.*.amount', 'goes with it as a mordant', 'by its basis'),
    ...Object.values(VAT_FIGURES),
    doseField('vat.perGram.*.ratio', 'for each gram of indigo', 'g per g'),
  ],
  rule: [],
}

const text = (path: string, label: string): TextField => ({ path, label, choices: null, many: false })
const choice = (path: string, label: string, choices: readonly string[], many = false): TextField => ({
  path,
  label,
  choices,
  many,
})
const list = (path: string, label: string): TextField => ({ path, label, choices: null, many: true })

/** The words and choices of an entry; `many` = a list of them. */
export const TEXT_FIELDS: Record<EntryKind, TextField[]> = {
  fibre: [
    text('name', 'name'),
    text('latin', 'Latin name'),
    choice('part', 'part of the plant', FIBRE_PARTS),
    text('words', 'what to know'),
  ],
  substance: [
    text('name', 'name'),
    text('latin', 'Latin name'),
    choice('kind', 'kind', SUBSTANCE_KINDS),
    choice('dyeClass', 'class of dye', DYE_CLASSES),
    choice('form', 'form', SUBSTANCE_FORMS),
    choice('unit', 'measured in', ['g', 'mL']),
    text('words', 'what to know'),
    text('formula', 'formula'),
    choice('metal', 'metal in it', METALS),
    text('label.container', 'what it comes in'),
    choice('assistants.*.basis', 'how its assistant is reckoned', DOSE_BASES),
    choice('mordantDose.basis', 'how it is reckoned as a mordant', DOSE_BASES),
    choice('hazard.signalWord', 'signal word', SIGNAL_WORDS),
    choice('hazard.standing', 'who says so', HAZARD_STANDINGS),
    list('care', 'usual care'),
  ],
  rule: [
    text('name', 'name'),
    list('fibreIds', 'for these fibres'),
    choice('fibreParts', 'for these parts of plants', FIBRE_PARTS, true),
    list('dyeIds', 'for these dyes'),
    choice('dyeClasses', 'for these classes of dye', DYE_CLASSES, true),
    list('mordantIds', 'on these mordants'),
    choice('conditions', 'when', CONDITIONS, true),
    choice('severity', 'how bad', SEVERITIES),
    text('words', 'what it says'),
  ],
}

export function fibreFigures(fibre: Fibre): EditableFigure<Fibre>[] {
  const own = keysOf(FIBRE_FIGURES).map(key => ({
    ...FIBRE_FIGURES[key],
    figure: fibre[key],
    with: (figure: Figure | null): Fibre => ({ ...fibre, [key]: figure }),
  }))
  const takeUp = DYE_CLASSES.map(dyeClass => ({
    ...takeUpField(dyeClass),
    figure: fibre.takeUp[dyeClass],
    with: (figure: Figure | null): Fibre => ({ ...fibre, takeUp: { ...fibre.takeUp, [dyeClass]: figure } }),
  }))
  return [...own, ...takeUp]
}

export function substanceFigures(substance: Substance): EditableFigure<Substance>[] {
  return [
    ...keysOf(SUBSTANCE_FIGURES).map(key => ({
      ...SUBSTANCE_FIGURES[key],
      figure: substance[key],
      with: (figure: Figure | null): Substance => ({ ...substance, [key]: figure }),
    })),
    ...parts(OWF_FIGURES, substance.owfPercent, owfPercent => ({ ...substance, owfPercent })),
    ...(substance.label === null ? [] : parts(LABEL_FIGURES, substance.label, label => ({ ...substance, label }))),
    ...parts(BATH_FIGURES, substance.bath, bath => ({ ...substance, bath })),
    ...doses('assistants', substance.assistants, assistants => ({ ...substance, assistants })),
    ...mordantDoseFigure(substance),
    ...doses('mordantAssistants', substance.mordantAssistants, mordantAssistants => ({
      ...substance,
      mordantAssistants,
    })),
    ...(substance.vat === null ? [] : vatFigures(substance, substance.vat)),
  ]
}

/** The entry with one figure changed; refuses an unknown path and a figure out of bounds. null = not known. */
export function withFigure<E>(figures: EditableFigure<E>[], path: string, figure: Figure | null): E {
  const found = figures.find(one => one.path === path)
  if (found === undefined) throw new Refusal('wrong', 'That entry has no such figure.', path)
  if (figure === null) return found.with(null)
  const { label, unit, least, most } = found
  if (!(figure.value >= least && figure.value <= most))
    throw new Refusal(
      'wrong',
      `${label} must be a number from ${least} to ${most} (${unit}), or left open as not known.`,
      path,
    )
  if (figure.provenance.source.trim() === '')
    throw new Refusal('wrong', `Say where the figure for ${label} comes from.`, path)
  return found.with(figure)
}

function parts<K extends string, P extends Record<K, Figure | null>, E>(
  fields: Record<K, FigureField>,
  part: P,
  entryWith: (part: P) => E,
): EditableFigure<E>[] {
  return keysOf(fields).map(key => ({
    ...fields[key],
    figure: part[key],
    with: (figure: Figure | null): E => entryWith({ ...part, [key]: figure }),
  }))
}

function doses<E>(at: string, list: Dose[], entryWith: (list: Dose[]) => E): EditableFigure<E>[] {
  return list.map((dose, place) => ({
    ...doseField(`${at}.${place}.amount`, `${dose.substanceId}: ${dose.words}`, dose.basis),
    figure: dose.amount,
    with: (amount: Figure | null): E => entryWith(list.with(place, { ...dose, amount })),
  }))
}

function mordantDoseFigure(substance: Substance): EditableFigure<Substance>[] {
  const { mordantDose } = substance
  if (mordantDose === null) return []
  return [
    {
      ...doseField('mordantDose.amount', 'as a mordant', mordantDose.basis),
      figure: mordantDose.amount,
      with: amount => ({ ...substance, mordantDose: { ...mordantDose, amount } }),
    },
  ]
}

function vatFigures(substance: Substance, vat: Vat): EditableFigure<Substance>[] {
  const vatWith = (changed: Vat): Substance => ({ ...substance, vat: changed })
  const ratios = vat.perGram.map((one, place) => ({
    ...doseField(`vat.perGram.${place}.ratio`, `${one.substanceId}, for each gram of indigo`, 'g per g'),
    figure: one.ratio,
    with: (ratio: Figure | null) => vatWith({ ...vat, perGram: vat.perGram.with(place, { ...one, ratio }) }),
  }))
  return [...ratios, ...parts(VAT_FIGURES, vat, vatWith)]
}

/** The keys of a table that was written out in full. */
function keysOf<K extends string>(table: Record<K, unknown>): K[] {
  const keys: K[] = []
  for (const key in table) keys.push(key)
  return keys
}
