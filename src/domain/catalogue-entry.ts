/** One entry of the catalogue as a page shows it: its groups and figures, who names it, and new ones made after it. */
import {
  type Catalogue,
  type Entry,
  type EntryKind,
  type Figure,
  NOT_KNOWN,
  type Provenance,
  type Rule,
  type Substance,
} from './catalogue.js'
import type { Field, FigureField } from './catalogue-field.js'
import { GROUPS } from './catalogue-fields.js'
import { listIn, type Names, nameOf, sayField, unitOf } from './catalogue-say.js'
import { fold } from './fold.js'
import { valueAt, withValue } from './json-path.js'
import { entryOf, figureIn } from './read-entry.js'
import { isFields } from './read-json.js'

/** `whenNull`: what is printed where there is no figure. */
export type ShownFigure = {
  path: string
  label: string
  unit: string
  least: number
  most: number
  figure: Figure | null
  whenNull: string
}

export type ShownGroup = {
  key: string
  title: string
  /** What stands there besides figures, in words. */
  facts: { label: string; words: string }[]
  figures: ShownFigure[]
}

const NO_NAMES: Names = new Map()

/** Where there is nothing to try on a strip. */
const WITHOUT: Record<string, string> = {
  relativeStrength: 'none: its figures are for this very form',
  molarMassGPerMol: 'not known',
  metalFraction: 'not known',
  gramsPerTeaspoon: 'not known',
  'label.containerHolds': 'not known: see the tin',
  'label.containersPerKg': 'not known: see the tin',
}

/** The groups of an entry with what stands in each. */
export function shownGroups({ kind, entry }: Entry, names: Names = NO_NAMES): ShownGroup[] {
  return GROUPS[kind].map(({ key, title, fields, whenNew }) => ({
    key,
    title,
    facts: [...fields, ...whenNew].flatMap(field => factsOf(field, entry, names)),
    figures: figuresIn(fields, entry, '', names),
  }))
}

/** The figures of a fibre or a substance, known or not; a rule has none. */
export const figuresOf = (entry: Entry, names: Names = NO_NAMES): ShownFigure[] =>
  shownGroups(entry, names).flatMap(({ figures }) => figures)

function factsOf(field: Field, beside: unknown, names: Names): { label: string; words: string }[] {
  if (field.is === 'figure') return []
  if (field.is === 'rows' && hasFigures(field.fields)) return []
  if (field.is === 'part') {
    const part = valueAt(beside, field.path)
    return isFields(part) ? field.fields.flatMap(inner => factsOf(inner, part, names)) : []
  }
  const words = sayField(field, beside, names)
  return words === '' ? [] : [{ label: field.label, words }]
}

const hasFigures = (fields: readonly Field[]): boolean => fields.some(field => field.is === 'figure')

function figuresIn(fields: readonly Field[], beside: unknown, at: string, names: Names, row = ''): ShownFigure[] {
  return fields.flatMap(field => {
    const value = valueAt(beside, field.path)
    const path = `${at}${field.path}`
    if (field.is === 'figure') return [shownFigure(field, path, beside, names, row)]
    if (field.is === 'part' && isFields(value)) return figuresIn(field.fields, value, `${path}.`, names)
    if (field.is !== 'rows') return []
    return listIn(value).flatMap((one, n) => figuresIn(field.fields, one, `${path}.${n}.`, names, rowLabel(one, names)))
  })
}

function shownFigure(field: FigureField, path: string, beside: unknown, names: Names, row: string): ShownFigure {
  const { least, most } = field
  return {
    path,
    label: row === '' ? field.label : row,
    unit: unitOf(field, beside, names),
    least,
    most,
    figure: figureIn(valueAt(beside, field.path)),
    whenNull: WITHOUT[path] ?? NOT_KNOWN,
  }
}

/** "chalk: brightens it". */
function rowLabel(row: unknown, names: Names): string {
  const words = valueAt(row, 'words')
  return `${nameOf(valueAt(row, 'substanceId'), names)}${typeof words === 'string' && words !== '' ? `: ${words}` : ''}`
}

/** One figure with its bounds, for the page that corrects it. */
export const figureAt = (entry: Entry, path: string, names: Names = NO_NAMES): ShownFigure | undefined =>
  figuresOf(entry, names).find(one => one.path === path)

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

/**
 * A new entry made after another one. Its figures are taken over, and each says so, or left open as not known; the
 * label of a substance is taken over in either case, and then the supplier's sheet decides.
 */
export function copyOf(from: Entry, id: string, takeOver: boolean): Entry {
  const { name } = from.entry
  const open = figuresOf(from).reduce<unknown>((json, { path, figure }) => {
    const taken = figure && takeOver ? { ...figure, provenance: takenOver(figure.provenance, name) } : null
    return withValue(json, path, taken)
  }, from.entry)
  const copy = entryOf(from.kind, withValue(open, 'id', id))
  if (copy.kind !== 'substance') return copy
  const { hazard } = copy.entry
  const provenance = takenOver(hazard.provenance, name)
  return { ...copy, entry: { ...copy.entry, hazard: { ...hazard, standing: "supplier's sheet decides", provenance } } }
}

const takenOver = ({ kind, source }: Provenance, name: string): Provenance => ({
  kind,
  source: `taken over from ${name}: ${source}`.slice(0, 300),
})

/** A new entry of which nothing is known yet: its words are still to be typed. */
export const blankEntry = (kind: EntryKind, id: string): unknown =>
  GROUPS[kind]
    .flatMap(({ fields }) => fields)
    .reduce<unknown>((json, field) => withValue(json, field.path, blankOf(field)), { id })

const NOT_LOOKED_UP: Provenance = { kind: 'own experience', source: 'not looked up yet' }

function blankOf(field: Field): unknown {
  switch (field.is) {
    case 'text':
      return field.blank ?? null
    case 'flag':
      return false
    case 'ticks':
    case 'entries':
    case 'sentences':
    case 'rows':
      return []
    case 'source':
      return field.path === 'provenance' ? null : NOT_LOOKED_UP
    case 'choice':
      return field.path === 'hazard.standing' ? "supplier's sheet decides" : null
    case 'entry':
    case 'figure':
    case 'part':
      return null
  }
}

/** "Spruce root, split" becomes "spruce-root-split"; '' where nothing can be made of a name. */
export const slugOf = (name: string): string =>
  fold(name)
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-/, '')
    .slice(0, 60)
    .replace(/-$/, '')
