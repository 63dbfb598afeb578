/** One entry of the catalogue as a page shows it: its figures, what they are used for, what changed, and copies of it. */
import {
  type Catalogue,
  type Fibre,
  type Figure,
  NOT_KNOWN,
  type Provenance,
  type Rule,
  type Substance,
} from './catalogue.js'
import { type EditableFigure, fibreFigures, substanceFigures, withFigure } from './catalogue-fields.js'
import { fold } from './fold.js'

export type Entry =
  | { kind: 'fibre'; entry: Fibre }
  | { kind: 'substance'; entry: Substance }
  | { kind: 'rule'; entry: Rule }

export type CopiedEntry = Exclude<Entry, { kind: 'rule' }>

/** `whenNull`: what is printed where there is no figure. */
export type ShownFigure = {
  path: string
  label: string
  unit: string
  figure: Figure | null
  usedFor: string
  whenNull: string
}

/** What each figure goes into; a path that is not here goes by the longest beginning that is. */
const USES: Record<string, string> = {
  regainPercent: 'what “conditioned” means for the dry weight',
  liquorRatioLPerKg: 'water to cover, in every bath',
  soakMinutes: 'length of the soak',
  soakTemperatureC: 'warmth of the soak',
  takeUp: 'multiplies every amount of such a dye on this fibre',
  dyeMinutes: 'how long it stays in a synthetic dye bath',
  hottestC: 'no bath for this fibre is hotter',
  dryingHours: 'length of the drying',
  molarMassGPerMol: 'exchange of one salt for another',
  metalFraction: 'what the spent bath holds',
  gramsPerTeaspoon: 'the same amount in spoons and cups',
  relativeStrength: 'divides every amount of this form',
  owfPercent: 'amount of this dye, by depth of shade',
  'label.containerHolds': 'amount of this dye, and the same in bottles or packets',
  'label.containersPerKg': 'amount of this dye',
  'bath.minutes': 'length of its bath',
  'bath.temperatureC': 'temperature of its bath',
  assistants: 'what goes into its dye bath',
  mordantDose: 'amount of this mordant',
  mordantAssistants: 'what goes into its mordant bath',
  'vat.perGram': 'what goes into the stock for the vat',
  'vat.stockLPerG': 'water for the stock',
  'vat.dips': 'number of dips',
  'vat.dipMinutes': 'length of each dip',
  'vat.airingMinutes': 'length of each airing',
  vat: 'the window in which the vat is kept',
}

/** Where there is nothing to try on a strip. */
const WITHOUT: Record<string, string> = {
  relativeStrength: 'none: its figures are for this very form',
  molarMassGPerMol: 'not known',
  metalFraction: 'not known',
  gramsPerTeaspoon: 'not known',
}

const useOf = (path: string): string => {
  const beginnings = path.split('.').map((_, n, parts) => parts.slice(0, parts.length - n).join('.'))
  return USES[beginnings.find(beginning => beginning in USES) ?? ''] ?? ''
}

function fieldsOf(entry: Entry): EditableFigure<Fibre | Substance>[] {
  if (entry.kind === 'fibre') return fibreFigures(entry.entry)
  return entry.kind === 'substance' ? substanceFigures(entry.entry) : []
}

const shown = ({ path, label, unit, figure }: EditableFigure<unknown>): ShownFigure => ({
  path,
  label,
  unit,
  figure,
  usedFor: useOf(path),
  whenNull: WITHOUT[path] ?? NOT_KNOWN,
})

/** The figures of a fibre or a substance, known or not; a rule has none. */
export const figuresOf = (entry: Entry): ShownFigure[] => fieldsOf(entry).map(shown)

/** One figure with its bounds, for the page that corrects it. */
export function fieldOf(entry: Entry, path: string): (ShownFigure & { least: number; most: number }) | undefined {
  const field = fieldsOf(entry).find(one => one.path === path)
  if (field === undefined) return undefined
  return { ...shown(field), least: field.least, most: field.most }
}

/** The entry with one figure corrected; refuses an unknown path and a figure out of bounds or without a source. */
export const correctFigure = (entry: Entry, path: string, figure: Figure | null): Fibre | Substance =>
  withFigure(fieldsOf(entry), path, figure)

/** The other entries that name this one, by why they do. */
export function mentionsOf(id: string, { substances, rules }: Catalogue) {
  const asks = (substance: Substance): boolean =>
    [...substance.assistants, ...substance.mordantAssistants, ...(substance.vat?.perGram ?? [])].some(
      dose => dose.substanceId === id,
    )
  const names = ({ fibreIds, dyeIds, mordantIds }: Rule): boolean => [fibreIds, dyeIds, mordantIds].flat().includes(id)
  const named = ({ id, name }: { id: string; name: string }) => ({ id, name })
  return { askedForBy: substances.filter(asks).map(named), rules: rules.filter(names).map(named) }
}

export type CopyWords = { id: string; name: string; latin: string | null; words: string }

/**
 * A new entry made after another one. Its figures are taken over, and each says so, or left open as not known; the
 * label of a substance is taken over in either case, and then the supplier's sheet decides.
 */
export function copyOf(from: CopiedEntry, words: CopyWords, takeOver: boolean): Fibre | Substance {
  const { name } = from.entry
  const next = ({ value, provenance }: Figure): Figure | null =>
    takeOver ? { value, provenance: takenOver(provenance, name) } : null
  if (from.kind === 'fibre') return { ...eachFigure(from.entry, fibreFigures, next), ...words }
  const copy = eachFigure(from.entry, substanceFigures, next)
  return { ...copy, ...words, hazard: hazardTakenOver(copy, name) }
}

function eachFigure<E>(
  entry: E,
  listed: (entry: E) => EditableFigure<E>[],
  next: (figure: Figure) => Figure | null,
): E {
  return listed(entry).reduce((copy, { path, figure }) => withFigure(listed(copy), path, figure && next(figure)), entry)
}

const takenOver = ({ kind, source }: Provenance, name: string): Provenance => ({
  kind,
  source: `taken over from ${name}: ${source}`,
})

const hazardTakenOver = ({ hazard }: Substance, name: string): Substance['hazard'] => ({
  ...hazard,
  standing: "supplier's sheet decides",
  provenance: takenOver(hazard.provenance, name),
})

/** "Spruce root, split" becomes "spruce-root-split"; '' where nothing can be made of a name. */
export const slugOf = (name: string): string =>
  fold(name)
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '')
    .slice(0, 60)
