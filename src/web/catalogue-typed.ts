/** From what was typed for the fields of a catalogue entry to the entry itself, still to be read as a whole. */
import type { z } from 'zod'
import { PROVENANCE_KINDS } from '../domain/catalogue.js'
import type { Field } from '../domain/catalogue-field.js'
import { listIn } from '../domain/catalogue-say.js'
import { valueAt, withValue } from '../domain/json-path.js'
import { readNumber } from '../domain/read-number.js'
import { type Choices, fieldName, rowNumbers } from './catalogue-asked.js'
import { choice, optionalText, readBy, text } from './kit/fields.js'
import { type FieldError, type Form, Unfit } from './kit/form.js'

type Typed = { value: unknown; errors: FieldError[] }
type Inside = { form: Form; choices: Choices }

const typed = (value: unknown, errors: FieldError[] = []): Typed => ({ value, errors })
const wrong = (field: string, sentence: string): Typed => typed(undefined, [{ field, sentence }])

/** The entry with these fields as they were typed; throws `Unfit` with a sentence for each field that cannot be. */
export function typedInto(
  entry: unknown,
  fields: readonly Field[],
  form: Form,
  choices: Choices,
  besides: z.ZodType,
): unknown {
  const { value, errors } = typedFields(fields, entry, '', { form, choices })
  const rest = besides.safeParse(form.nested())
  const more = rest.success
    ? []
    : rest.error.issues.map(({ path, message }) => ({ field: path.join('.'), sentence: message }))
  if (errors.length + more.length > 0) throw new Unfit([...errors, ...more])
  return value
}

function typedFields(fields: readonly Field[], beside: unknown, at: string, inside: Inside): Typed {
  return fields.reduce<Typed>(
    ({ value, errors }, field) => {
      const one = typedField(field, valueAt(beside, field.path), fieldName(at + field.path), inside)
      return typed(withValue(value, field.path, one.value), [...errors, ...one.errors])
    },
    typed(beside ?? {}),
  )
}

function typedField(field: Field, stands: unknown, name: string, inside: Inside): Typed {
  const { form, choices } = inside
  switch (field.is) {
    case 'text':
      return typedText(field, name, form)
    case 'choice':
      if (field.none !== null && form.value(name) === '') return typed(null)
      return by(choice(field.label, field.options), name, form)
    case 'entry':
      return by(
        choice(
          field.label,
          choices[field.of].map(([id]) => id),
        ),
        name,
        form,
      )
    case 'ticks':
      return typedTicks(field.label, field.options, stands, name, form)
    case 'entries':
      return typedTicks(
        field.label,
        choices[field.of].map(([id]) => id),
        stands,
        name,
        form,
      )
    case 'flag':
      return typed(form.value(name) !== '')
    case 'sentences':
      return typedSentences(field, name, form)
    case 'figure':
      return typedFigure(field, name, form)
    case 'source':
      return typedSource(name, form)
    case 'rows':
      return typedRows(field, name, inside)
    case 'part':
      return typedPart(field, stands, name, inside)
  }
}

/** One text through one of the kit's readers. */
function by(reader: z.ZodType, name: string, form: Form): Typed {
  const answer = reader.safeParse(form.value(name))
  return answer.success ? typed(answer.data) : wrong(name, answer.error.issues[0]?.message ?? '')
}

function typedText({ label, most, blank }: Extract<Field, { is: 'text' }>, name: string, form: Form): Typed {
  if (blank === undefined) return by(text(label, most), name, form)
  return form.value(name).trim() === '' ? typed(blank) : by(optionalText(label, most), name, form)
}

/** What stood before keeps its order; what is new comes after it. */
function typedTicks(label: string, options: readonly string[], stands: unknown, name: string, form: Form): Typed {
  const values = [...form.typed].filter(([key]) => key.startsWith(`${name}.`)).map(([, value]) => value)
  if (values.some(value => !options.includes(value))) return wrong(name, `Tick only what is offered: ${label}.`)
  const kept = listIn(stands).filter(one => values.some(value => value === one))
  return typed([...kept, ...options.filter(option => values.includes(option) && !kept.includes(option))])
}

function typedSentences({ label, most }: Extract<Field, { is: 'sentences' }>, name: string, form: Form): Typed {
  const sentences = form
    .value(name)
    .split('\n')
    .map(line => line.trim())
  const kept = sentences.filter(line => line !== '')
  if (kept.some(line => line.length > most))
    return wrong(name, `A sentence of the ${label} can hold ${most} characters at most: break the line.`)
  return typed(kept)
}

const sourceFields = (name: string, form: Form): [Typed, Typed] => [
  by(choice('Where it comes from', PROVENANCE_KINDS), `${name}.kind`, form),
  by(text('Source', 300), `${name}.source`, form),
]

function typedSource(name: string, form: Form): Typed {
  const [kind, source] = sourceFields(name, form)
  return typed({ kind: kind.value, source: source.value }, [...kind.errors, ...source.errors])
}

/** No number is "not known", wherever it came from before. */
function typedFigure(field: Extract<Field, { is: 'figure' }>, name: string, form: Form): Typed {
  if (form.value(`${name}.value`).trim() === '') return typed(null)
  const { label, least, most } = field
  const unit = field.unitAt === null ? field.unit : ''
  const reader = readBy(text => readNumber(text, { label, unit, example: String(least), min: least, max: most }))
  const number = by(reader, `${name}.value`, form)
  const provenance = typedSource(name, form)
  return typed({ value: number.value, provenance: provenance.value }, [...number.errors, ...provenance.errors])
}

/** Rows of which nothing was typed, or that were taken out, are left out. */
function typedRows(field: Extract<Field, { is: 'rows' }>, name: string, inside: Inside): Typed {
  const { form } = inside
  const begun = rowNumbers(form, name).filter(
    n => form.value(`${name}.${n}.out`) === '' && isBegun(form, `${name}.${n}.`),
  )
  const rows = begun.map(n => typedFields(field.fields, {}, `${name}.${n}.`, inside))
  return typed(
    rows.map(({ value }) => value),
    [...rows.flatMap(({ errors }) => errors), ...twins(field, begun, name, form)],
  )
}

const isBegun = (form: Form, prefix: string): boolean =>
  [...form.typed].some(([name, value]) => name.startsWith(prefix) && value.trim() !== '')

function twins(field: Extract<Field, { is: 'rows' }>, rows: number[], name: string, form: Form): FieldError[] {
  const key = field.fields.find(({ is }) => is === 'entry')
  if (key === undefined) return []
  const fields = rows.map(n => `${name}.${n}.${key.path}`)
  const typedOnce = (at: number) => fields.findIndex(one => form.value(one) === form.value(fields[at] ?? '')) === at
  return fields
    .filter((one, at) => form.value(one) !== '' && !typedOnce(at))
    .map(one => ({ field: one, sentence: 'This one is there already: give it one row.' }))
}

function typedPart(field: Extract<Field, { is: 'part' }>, stands: unknown, name: string, inside: Inside): Typed {
  const { form } = inside
  const has = by(choice(field.label, ['yes', 'no']), `${name}.has`, form)
  if (has.errors.length > 0) return has
  if (has.value === 'yes') return typedFields(field.fields, stands ?? {}, `${name}.`, inside)
  const filled = [...form.typed].some(
    ([key, value]) => key.startsWith(`${name}.`) && key !== `${name}.has` && value.trim() !== '',
  )
  if (filled && (stands === null || stands === undefined))
    return wrong(`${name}.has`, 'This was filled in below: choose “yes”, or empty it again.')
  return typed(null)
}
