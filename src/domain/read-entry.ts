/**
 * Reads one entry of the catalogue out of unknown JSON, whole and strictly: types, choices, finite figures within their
 * bounds, a source for each, and nothing named that is not there. Every entry passes here before it is stored.
 */
import {
  type BathHabit,
  CONDITIONS,
  DOSE_BASES,
  type Dose,
  DYE_CLASSES,
  type Entry,
  type EntryKind,
  FIBRE_PARTS,
  type Fibre,
  type Figure,
  HAZARD_STANDINGS,
  type Hazard,
  type LabelRate,
  METALS,
  PROVENANCE_KINDS,
  type Provenance,
  type Rule,
  SEVERITIES,
  SIGNAL_WORDS,
  SUBSTANCE_FORMS,
  SUBSTANCE_KINDS,
  SUBSTANCE_UNITS,
  type Substance,
  type Vat,
} from './catalogue.js'
import { type Bounds, FIGURES, LONGEST, MOST_ROWS } from './catalogue-figures.js'
import { checkSense, type KnownIds } from './entry-sense.js'
import { fieldsOf, listOf, needed, number, oneOf, orNull, type Reader, words, yesOrNo } from './read-json.js'
import { Refusal } from './refusal.js'

/** The entry as it may be stored; refuses by the path of what is wrong. `known` = what other entries there are. */
export function readEntry(kind: EntryKind, json: unknown, known: KnownIds): Entry {
  const entry = entryOf(kind, json)
  checkSense(entry, known)
  return entry
}

/** Shape, choices and bounds only; what it names and what goes with what are `readEntry`'s. */
export function entryOf(kind: EntryKind, json: unknown): Entry {
  switch (kind) {
    case 'fibre':
      return { kind, entry: fibre(json, '') }
    case 'substance':
      return { kind, entry: substance(json, '') }
    case 'rule':
      return { kind, entry: rule(json, '') }
  }
}

/** Reads each field of a record by the reader of its name: no more fields and no fewer. */
function record<T extends object>(readers: { [K in keyof T]: Reader<T[K]> }): Reader<T> {
  return (value, path) => {
    const fields = fieldsOf(value, path, Object.keys(readers), 'The entry')
    const read: Partial<T> = {}
    for (const key in readers) read[key] = needed(fields, key, path, readers[key])
    return whole(read, readers)
  }
}

function whole<T extends object>(read: Partial<T>, readers: { [K in keyof T]: Reader<T[K]> }): T {
  const isWhole = (one: Partial<T>): one is T => Object.keys(readers).every(key => key in one)
  if (isWhole(read)) return read
  throw new Error('a record was read without all of its fields')
}

function text(most: number): Reader<string> {
  return (value, path) => {
    const read = words(value, path)
    if (read.length > most) throw new Refusal('wrong', `"${path}" can hold ${most} characters at most.`, path)
    return read
  }
}

function rows<T>(reader: Reader<T>): Reader<T[]> {
  const list = listOf(reader)
  return (value, path) => {
    const read = list(value, path)
    if (read.length > MOST_ROWS) throw new Refusal('wrong', `"${path}" can hold ${MOST_ROWS} rows at most.`, path)
    return read
  }
}

const SLUG = /^[a-z0-9]+(-[a-z0-9]+)*$/

function id(value: unknown, path: string): string {
  const read = text(LONGEST.name)(value, path)
  if (!SLUG.test(read)) throw new Refusal('wrong', `"${path}" must be small letters and figures joined by "-".`, path)
  return read
}

const provenance: Reader<Provenance> = record<Provenance>({
  kind: oneOf(PROVENANCE_KINDS),
  source: (value, path) => {
    if (typeof value === 'string' && value.trim() === '') throw new Refusal('wrong', 'Say where it comes from.', path)
    return text(LONGEST.source)(value, path)
  },
})

/** A figure within its bounds, with where it comes from; null is "not known". */
function figure({ label, unit, least, most }: Bounds): Reader<Figure | null> {
  const whole = record<Figure>({ value: number, provenance })
  return orNull((value, path) => {
    const read = whole(value, path)
    if (read.value >= least && read.value <= most) return read
    const sentence = `${label} must be a number from ${least} to ${most} (${unit}), or left open as not known.`
    throw new Refusal('wrong', sentence, path)
  })
}

const takeUp: Reader<Fibre['takeUp']> = record<Fibre['takeUp']>({
  'all-purpose': figure(FIGURES.takeUp),
  direct: figure(FIGURES.takeUp),
  acid: figure(FIGURES.takeUp),
  basic: figure(FIGURES.takeUp),
  'fibre-reactive': figure(FIGURES.takeUp),
  union: figure(FIGURES.takeUp),
  plant: figure(FIGURES.takeUp),
  insect: figure(FIGURES.takeUp),
  iron: figure(FIGURES.takeUp),
  indigo: figure(FIGURES.takeUp),
})

const head = { id, name: text(LONGEST.name), words: text(LONGEST.words) }

const fibre: Reader<Fibre> = record<Fibre>({
  ...head,
  latin: orNull(text(LONGEST.latin)),
  part: oneOf(FIBRE_PARTS),
  regainPercent: figure(FIGURES.regainPercent),
  liquorRatioLPerKg: figure(FIGURES.liquorRatioLPerKg),
  soakMinutes: figure(FIGURES.soakMinutes),
  soakTemperatureC: figure(FIGURES.soakTemperatureC),
  takeUp,
  dyeMinutes: figure(FIGURES.dyeMinutes),
  hottestC: figure(FIGURES.hottestC),
  dryingHours: figure(FIGURES.dryingHours),
})

/** What goes with a dose may go without saying: its words may be empty. */
const doseWords: Reader<string> = (value, path) => (value === '' ? '' : text(LONGEST.sentence)(value, path))

const doses = rows<Dose>(
  record<Dose>({ substanceId: id, basis: oneOf(DOSE_BASES), amount: figure(FIGURES.amount), words: doseWords }),
)

const label = record<LabelRate>({
  container: text(LONGEST.container),
  containerHolds: figure(FIGURES.containerHolds),
  containersPerKg: figure(FIGURES.containersPerKg),
})

const bath = record<BathHabit>({
  minutes: figure(FIGURES.minutes),
  temperatureC: figure(FIGURES.temperatureC),
  standsOvernight: yesOrNo,
})

const vat = record<Vat>({
  perGram: rows(record({ substanceId: id, ratio: figure(FIGURES.ratio), words: doseWords })),
  stockLPerG: figure(FIGURES.stockLPerG),
  lowestPh: figure(FIGURES.lowestPh),
  highestPh: figure(FIGURES.highestPh),
  lowestC: figure(FIGURES.lowestC),
  highestC: figure(FIGURES.highestC),
  dips: figure(FIGURES.dips),
  dipMinutes: figure(FIGURES.dipMinutes),
  airingMinutes: figure(FIGURES.airingMinutes),
})

const hazard = record<Hazard>({
  signalWord: orNull(oneOf(SIGNAL_WORDS)),
  statements: rows(record({ code: text(LONGEST.code), words: text(LONGEST.sentence) })),
  standing: oneOf(HAZARD_STANDINGS),
  provenance,
})

const substance: Reader<Substance> = record<Substance>({
  ...head,
  latin: orNull(text(LONGEST.latin)),
  kind: oneOf(SUBSTANCE_KINDS),
  dyeClass: orNull(oneOf(DYE_CLASSES)),
  form: oneOf(SUBSTANCE_FORMS),
  unit: oneOf(SUBSTANCE_UNITS),
  formula: orNull(text(LONGEST.formula)),
  molarMassGPerMol: figure(FIGURES.molarMassGPerMol),
  metal: orNull(oneOf(METALS)),
  metalFraction: figure(FIGURES.metalFraction),
  gramsPerTeaspoon: figure(FIGURES.gramsPerTeaspoon),
  label: orNull(label),
  owfPercent: record<Substance['owfPercent']>({
    pale: figure(FIGURES.pale),
    medium: figure(FIGURES.medium),
    deep: figure(FIGURES.deep),
  }),
  relativeStrength: figure(FIGURES.relativeStrength),
  assistants: doses,
  mordantDose: orNull(
    record<NonNullable<Substance['mordantDose']>>({ basis: oneOf(DOSE_BASES), amount: figure(FIGURES.amount) }),
  ),
  mordantAssistants: doses,
  bath,
  vat: orNull(vat),
  hazard,
  care: rows(text(LONGEST.sentence)),
})

const rule: Reader<Rule> = record<Rule>({
  ...head,
  fibreIds: listOf(id),
  fibreParts: listOf(oneOf(FIBRE_PARTS)),
  dyeIds: listOf(id),
  dyeClasses: listOf(oneOf(DYE_CLASSES)),
  mordantIds: listOf(id),
  conditions: listOf(oneOf(CONDITIONS)),
  severity: oneOf(SEVERITIES),
  provenance,
})

const anyFigure = orNull(record<Figure>({ value: number, provenance }))

/** The figure that stands at a place of an entry, whatever its bounds; null where none does. */
export const figureIn = (value: unknown): Figure | null => (value === undefined ? null : anyFigure(value, ''))

export const provenanceIn = (value: unknown): Provenance => provenance(value, 'provenance')
