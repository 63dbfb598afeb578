/** The fields of a catalogue entry as its forms ask for them, and what stands in the entry as the text of a form. */
import type { Field, Named } from '../domain/catalogue-field.js'
import { listIn } from '../domain/catalogue-say.js'
import { valueAt } from '../domain/json-path.js'
import { figureIn, provenanceIn } from '../domain/read-entry.js'
import { isFields } from '../domain/read-json.js'
import { Form } from './kit/form.js'

/** Entries that may be named, as [id, name]. */
export type Choices = Record<Named, [string, string][]>

export type Asked = {
  is: Field['is']
  name: string
  label: string
  hint: string
  optional: boolean
  lines: number
  options: [string, string][]
  unit: string
  least: number
  most: number
  /** What is inside a part. */
  asked: Asked[]
  rows: { title: string; out: string | null; asked: Asked[] }[]
}

/** "takeUp.all-purpose" as the name of a field: "takeUp.allPurpose". */
export const fieldName = (path: string): string => path.replace(/-(\w)/g, (_, letter: string) => letter.toUpperCase())

const same = (words: readonly string[]): [string, string][] => words.map(word => [word, word])

/** The numbers of the rows of which anything was typed or shown, in order. */
export function rowNumbers(form: Form, list: string): number[] {
  const prefix = `${list}.`
  const names = [...form.typed.keys()].filter(name => name.startsWith(prefix))
  const numbers = names.map(name => /^(\d+)\./.exec(name.slice(prefix.length))?.[1])
  return [...new Set(numbers.filter(number => number !== undefined).map(Number))].sort((one, other) => one - other)
}

export const askedFor = (fields: readonly Field[], form: Form, choices: Choices, at = ''): Asked[] =>
  fields.map(field => {
    const name = fieldName(at + field.path)
    return {
      is: field.is,
      name,
      label: field.label,
      hint: field.hint,
      optional: field.is === 'sentences' || (field.is === 'text' && field.blank !== undefined),
      lines: field.is === 'sentences' ? 4 : field.is === 'text' ? field.lines : 0,
      options: optionsOf(field, choices),
      unit: field.is === 'figure' ? field.unit : '',
      least: field.is === 'figure' ? field.least : 0,
      most: field.is === 'figure' ? field.most : 0,
      asked: field.is === 'part' ? askedFor(field.fields, form, choices, `${name}.`) : [],
      rows: field.is === 'rows' ? rowsOf(field, name, form, choices) : [],
    }
  })

function optionsOf(field: Field, choices: Choices): [string, string][] {
  if (field.is === 'entries' || field.is === 'entry') return choices[field.of]
  if (field.is === 'ticks') return same(field.options)
  if (field.is !== 'choice') return []
  return [...(field.none === null ? [] : [['', field.none] satisfies [string, string]]), ...same(field.options)]
}

function rowsOf({ one, fields }: Extract<Field, { is: 'rows' }>, name: string, form: Form, choices: Choices) {
  return rowNumbers(form, name).map((n, place) => {
    const begun = fields.some(field => form.value(`${name}.${n}.${field.path}`) !== '')
    return {
      title: `${one} ${place + 1}`,
      out: begun ? `${name}.${n}.out` : null,
      asked: askedFor(fields, form, choices, `${name}.${n}.`),
    }
  })
}

/** Empty rows that stand below the filled ones. */
const SPARE_ROWS = 2

/** What stands in the entry, as text in the form. */
export function filledIn(fields: readonly Field[], entry: unknown, choices: Choices): Form {
  return Form.of(Object.fromEntries(fields.flatMap(field => textsOf(field, entry, '', choices))))
}

type Text = [name: string, text: string]

function textsOf(field: Field, beside: unknown, at: string, choices: Choices): Text[] {
  const name = fieldName(at + field.path)
  const value = valueAt(beside, field.path)
  switch (field.is) {
    case 'text':
    case 'choice':
    case 'entry':
      return [[name, typeof value === 'string' ? value : '']]
    case 'ticks':
      return tickedOf(name, field.options, value)
    case 'entries':
      return tickedOf(
        name,
        choices[field.of].map(([id]) => id),
        value,
      )
    case 'flag':
      return value === true ? [[name, 'yes']] : []
    case 'sentences':
      return [[name, listIn(value).join('\n')]]
    case 'figure':
      return figureTexts(name, value)
    case 'source':
      return sourceTexts(name, value)
    case 'rows':
      return [...listIn(value), ...Array.from({ length: SPARE_ROWS })].flatMap((row, n) =>
        field.fields.flatMap(inner => textsOf(inner, row, `${name}.${n}.`, choices)),
      )
    case 'part': {
      const inside = field.fields.flatMap(inner => textsOf(inner, value, `${name}.`, choices))
      return [[`${name}.has`, isFields(value) ? 'yes' : 'no'], ...inside]
    }
  }
}

const tickedOf = (name: string, options: readonly string[], value: unknown): Text[] =>
  options.flatMap<Text>((option, n) => (listIn(value).includes(option) ? [[`${name}.${n}`, option]] : []))

function figureTexts(name: string, value: unknown): Text[] {
  const figure = figureIn(value)
  return [[`${name}.value`, figure === null ? '' : String(figure.value)], ...sourceTexts(name, figure?.provenance)]
}

function sourceTexts(name: string, value: unknown): Text[] {
  const { kind, source } = isFields(value) ? provenanceIn(value) : { kind: '', source: '' }
  return [
    [`${name}.kind`, kind],
    [`${name}.source`, source],
  ]
}
