/** The fields in which a dyer says how a recipe is to be worked out, and the way between them and a `RecipeJob`. */
import { z } from 'zod'
import { CONDITIONS, type Condition, DOSE_BASES, type DoseBasis } from '../domain/catalogue.js'
import { readNumber } from '../domain/read-number.js'
import { DEPTHS, type GivenReason, MORDANT_TIMES, PURPOSES, type RecipeJob } from '../domain/recipe.js'
import { optionalText, readBy, readIfTyped, tickName, ticks } from './kit/fields.js'
import { check, Form } from './kit/form.js'

/** What of a job the form asks; the rest comes from the lot, or from fields that the page adds. */
export type Adjusted = Pick<
  RecipeJob,
  'dyes' | 'mordants' | 'extras' | 'depth' | 'liquorRatioLPerKg' | 'dips' | 'conditions' | 'purposes'
>

const READ_OFF: readonly Condition[] = ['no mordant', 'ties undyed', 'class use', 'wet use']
/** Conditions that only the dyer can tell. */
export const TOLD = CONDITIONS.filter(condition => !READ_OFF.includes(condition))
/** The dyer says these of one bath; "per gram" belongs to the catalogue's own assistants. */
export const TYPED_BASES = DOSE_BASES.filter(basis => basis !== 'per gram')
export const ANOTHER_DEPTH = 'another'

const number = (label: string, example: string, unit = '') =>
  readIfTyped(typed => readNumber(typed, { label, unit, example }))

const chosen = (what: string) =>
  readBy(value => {
    if (value !== '' && value.length <= 80) return { ok: true, value }
    return { ok: false, sentence: `Choose the ${what} of this row, or leave the whole row empty.` }
  })

const oneOf = <const O extends string>(label: string, options: readonly O[], otherwise: O) =>
  readBy<O>(value => {
    const found = value === '' ? otherwise : options.find(option => option === value)
    return found ? { ok: true, value: found } : { ok: false, sentence: `Choose one: ${label}.` }
  })

const rows = <S extends z.ZodType>(row: S) => z.preprocess(typed => (Array.isArray(typed) ? typed : []), z.array(row))

const DEPTH_NAMES = [...DEPTHS.map(({ name }) => name), ANOTHER_DEPTH] as const

const adjusted = z
  .object({
    depth: oneOf('depth of shade', DEPTH_NAMES, 'medium'),
    depthFactor: number('depth of shade', '0.8'),
    dyes: rows(
      z.object({
        substanceId: chosen('dye'),
        share: number('share of the colour', '1'),
        owfPercent: number('per cent of dry fibre', '4', '%'),
      }),
    ),
    mordants: rows(
      z.object({
        substanceId: chosen('mordant'),
        when: oneOf('when the mordant goes in', MORDANT_TIMES, 'before dye'),
        bath: number('number of the bath', '1'),
        owfPercent: number('per cent of dry fibre', '12', '%'),
      }),
    ),
    extras: rows(
      z.object({
        substanceId: chosen('addition'),
        basis: oneOf<DoseBasis>('how the addition is reckoned', TYPED_BASES, '% owf'),
        amount: readBy(typed => readNumber(typed, { label: 'amount of the addition', example: '5' })),
      }),
    ),
    liquorRatioLPerKg: number('liquor ratio', '20', 'L/kg'),
    dips: number('number of dips', '3', 'dips'),
    conditions: ticks(TOLD),
    purposes: ticks(PURPOSES),
  })
  .transform(({ depth, depthFactor, ...rest }, context) => {
    if (depth === ANOTHER_DEPTH && depthFactor === null) {
      const message = 'Enter the depth of shade as a figure, for example 0.8, or choose one by name.'
      context.issues.push({ code: 'custom', message, path: ['depthFactor'], input: depthFactor })
      return z.NEVER
    }
    return { ...rest, depth: depth === ANOTHER_DEPTH ? depthFactor : factorOf(depth) }
  })

const factorOf = (name: string): number => DEPTHS.find(depth => depth.name === name)?.factor ?? 1

/** The checked answers; throws `Unfit` with a sentence for each field. */
export function readAdjusted(form: Form): Adjusted {
  const { dyes, mordants, depth, ...rest } = check(adjusted, form)
  return {
    ...rest,
    depth: depth ?? 1,
    dyes: dyes.map(dye => ({ ...dye, share: dye.share ?? 1 })),
    mordants: mordants.map(use => ({ ...use, bath: use.bath ?? 1 })),
  }
}

const given = z.object({
  reasons: rows(z.object({ ruleId: optionalText('Rule', 200), words: optionalText('The reason', 500) })),
})

/** The reasons for going against a rule, as far as they were typed; `checkReasons` says whether they are fit to keep. */
export function reasonsIn(form: Form): GivenReason[] {
  const reasons: GivenReason[] = []
  for (let n = 0; form.has(`reasons.${n}.ruleId`); n += 1) {
    reasons.push({ ruleId: form.value(`reasons.${n}.ruleId`), words: form.value(`reasons.${n}.words`).trim() })
  }
  return reasons.filter(({ words }) => words !== '')
}

export const checkReasons = (form: Form): void => {
  check(given, form)
}

/** Rows of which nothing was typed are left out and the others close up, so that names, sentences and rows agree. */
export const closeUpRows = (form: Form): Form =>
  closeUp(closeUp(closeUp(form, 'dyes', ['substanceId', 'share', 'owfPercent']), 'mordants', MORDANT_ROW), 'extras', [
    'substanceId',
    'amount',
  ])

const MORDANT_ROW = ['substanceId', 'bath', 'owfPercent']

function closeUp(form: Form, list: string, telling: string[]): Form {
  const inList = new RegExp(`^${list}\\.(\\d+)\\.(\\w+)$`)
  const numbers = new Set<number>()
  for (const name of form.typed.keys()) numbers.add(Number(inList.exec(name)?.[1] ?? -1))
  const isTold = (n: number) => telling.some(field => form.value(`${list}.${n}.${field}`).trim() !== '')
  const kept = [...numbers].filter(n => n >= 0 && isTold(n)).sort((one, other) => one - other)
  const typed = new Map<string, string>()
  for (const [name, value] of form.typed) {
    const [, n, field] = inList.exec(name) ?? []
    const place = kept.indexOf(Number(n ?? -1))
    if (n === undefined) typed.set(name, value)
    else if (place >= 0) typed.set(`${list}.${place}.${field}`, value)
  }
  return new Form(typed, form.errors, form.doneAt)
}

/** A job as the form would have it typed. */
export function valuesOf(job: Adjusted): Record<string, string> {
  const named = DEPTHS.find(({ factor }) => factor === job.depth)?.name
  return {
    depth: named ?? ANOTHER_DEPTH,
    depthFactor: named ? '' : String(job.depth),
    liquorRatioLPerKg: textOf(job.liquorRatioLPerKg),
    dips: textOf(job.dips),
    ...rowValues('dyes', job.dyes),
    ...rowValues('mordants', job.mordants),
    ...rowValues('extras', job.extras),
    ...ticked('conditions', job.conditions),
    ...ticked('purposes', job.purposes),
  }
}

const textOf = (value: string | number | null): string => (value === null ? '' : String(value))

const rowValues = (list: string, rows: Record<string, string | number | null>[]): Record<string, string> =>
  Object.fromEntries(
    rows.flatMap((row, n) => Object.entries(row).map(([field, value]) => [`${list}.${n}.${field}`, textOf(value)])),
  )

const ticked = (group: string, words: readonly string[]): Record<string, string> =>
  Object.fromEntries(words.map(word => [`${group}.${tickName(word)}`, 'yes']))
