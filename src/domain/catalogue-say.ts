/** What stands in a field of a catalogue entry, in words: the same on its page and in its history. */
import type { Figure } from './catalogue.js'
import type { Field } from './catalogue-field.js'
import { valueAt } from './json-path.js'
import { figureIn, provenanceIn } from './read-entry.js'
import { isFields } from './read-json.js'
import { sayFigure } from './say-quantity.js'
import { saySource } from './say-source.js'

/** What the entries that are named by id are called, and what a substance is measured in. */
export type Names = ReadonlyMap<string, { name: string; unit: string }>

const sayKnown = (figure: Figure | null, unit: string): string =>
  figure === null ? 'not known' : `${sayFigure(figure.value, 6)} ${unit} (${saySource(figure.provenance)})`

/** The unit of a figure: its own, or how the dose beside it is reckoned: "% owf", "mL per kg". */
export function unitOf(field: Extract<Field, { is: 'figure' }>, beside: unknown, names: Names): string {
  const basis = field.unitAt === null ? undefined : valueAt(beside, field.unitAt)
  if (typeof basis !== 'string') return field.unit
  const unit = names.get(String(valueAt(beside, 'substanceId')))?.unit ?? ''
  return basis.startsWith('per ') && unit !== '' ? `${unit} ${basis}` : basis
}

/** '' where nothing stands. `beside` is the entry, or the row or part that the field belongs to. */
export function sayField(field: Field, beside: unknown, names: Names): string {
  const value = valueAt(beside, field.path)
  switch (field.is) {
    case 'figure':
      return sayKnown(figureIn(value), unitOf(field, beside, names))
    case 'source':
      return saySource(provenanceIn(value))
    case 'choice':
      return typeof value === 'string' ? value : field.tellNone ? (field.none ?? '') : ''
    case 'flag':
      return value === true ? 'yes' : ''
    case 'entry':
      return nameOf(value, names)
    case 'ticks':
    case 'entries':
      return listIn(value)
        .map(one => nameOf(one, names))
        .join(', ')
    case 'sentences':
      return listIn(value).map(String).join(' ')
    case 'rows':
      return sayRows(field, value, names).join('; ')
    case 'part':
      return isFields(value) ? 'yes' : ''
    case 'text':
      return typeof value === 'string' ? value : ''
  }
}

/** Each row of a list in words: "chalk, 9.375 % owf (handbook: …), brightens it". */
export function sayRows({ fields }: Extract<Field, { is: 'rows' }>, value: unknown, names: Names): string[] {
  const units = fields.flatMap(field => (field.is === 'figure' && field.unitAt !== null ? [field.unitAt] : []))
  return listIn(value).map(row =>
    fields
      .filter(({ path }) => !units.includes(path))
      .map(field => sayInRow(field, row, names))
      .filter(words => words !== '')
      .join(', '),
  )
}

function sayInRow(field: Field, row: unknown, names: Names): string {
  if (field.is !== 'figure' || figureIn(valueAt(row, field.path)) !== null) return sayField(field, row, names)
  return `how much is not known (${unitOf(field, row, names)})`
}

export const listIn = (value: unknown): unknown[] => (Array.isArray(value) ? value : [])

export const nameOf = (id: unknown, names: Names): string => names.get(String(id))?.name ?? String(id)
