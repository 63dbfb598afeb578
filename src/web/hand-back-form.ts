/** The hand-back's form: rows are found by their place in the commission, which never changes after the drop-off. */
import { z } from 'zod'
import { asFound, type BundleCheck, bundleName, CONDITIONS_BACK, unchecked } from '../domain/bundle-check.js'
import { BUNDLE_LIMITS } from '../domain/bundles-line.js'
import { troubles } from '../domain/hand-back.js'
import { readCount, readWeight, type Units } from '../domain/quantity.js'
import type { Bundle, Lot } from '../store/lots.js'
import { choice, optionalText, readIfTyped, tick } from './kit/fields.js'
import { check, type FieldError, type Form, Unfit } from './kit/form.js'

const DO = ['save', 'close'] as const

/** What may be nonsense in a form that nobody's page made is read as nothing. */
const listOf = <S extends z.ZodType>(row: S) => z.preprocess(value => (Array.isArray(value) ? value : []), z.array(row))
const groupOf = <S extends z.ZodType>(group: S) =>
  z.preprocess(value => (typeof value === 'object' && value !== null ? value : {}), group)

const count = (label: string) => readIfTyped(typed => readCount(typed, { label, noun: 'tie', ...BUNDLE_LIMITS.ties }))

const bundleForm = (units: Units) =>
  z.object({
    tiedAgain: tick,
    missing: tick,
    tiesBack: count('number of ties back'),
    tiesReplaced: count('number of ties replaced'),
    weight: readIfTyped(typed =>
      readWeight(typed, units, {
        label: 'weight back',
        min: 0.01,
        max: BUNDLE_LIMITS.dryWeightG.max * 2,
        defaultUnit: units.weight === 'metric' ? 'g' : undefined,
      }),
    ),
    condition: choice('Condition', ['', ...CONDITIONS_BACK]),
    explanation: optionalText('The explanation', 2000),
  })

const handBackForm = (units: Units) =>
  z.object({
    do: choice('Hand back, or save for later', DO),
    toWhom: optionalText('Who receives them'),
    words: optionalText('Words for the slip', 2000),
    lots: listOf(groupOf(z.object({ goes: tick, bundles: listOf(groupOf(bundleForm(units))) }))),
  })

type Row = z.output<ReturnType<typeof bundleForm>>

export type HandBackTyped = z.output<ReturnType<typeof handBackForm>>

/** The typed form; a sentence about a row begins with the name of its bundle. */
export function readHandBack(form: Form, lots: readonly Lot[], units: Units): HandBackTyped {
  try {
    return check(handBackForm(units), form)
  } catch (fault) {
    if (!(fault instanceof Unfit)) throw fault
    throw new Unfit(
      fault.errors.map(error => ({ ...error, sentence: `${rowName(error.field, lots)}${error.sentence}` })),
    )
  }
}

function rowName(field: string, lots: readonly Lot[]): string {
  const [, l, b] = /^lots\.(\d+)\.bundles\.(\d+)\./.exec(field) ?? []
  const lot = lots[Number(l)]
  const bundle = lot?.bundles[Number(b)]
  return lot && bundle ? `${bundleName({ lotId: lot.id, n: bundle.n })}: ` : ''
}

const FIELD_NAMES: Record<keyof BundleCheck, keyof Row> = {
  found: 'missing',
  tiedAgain: 'tiedAgain',
  tiesBack: 'tiesBack',
  tiesReplaced: 'tiesReplaced',
  weightG: 'weight',
  weightTyped: 'weight',
  condition: 'condition',
  explanation: 'explanation',
}

/** A bundle of the commission, the name that its fields begin with, and how it was checked. */
export type CheckedRow = { lot: Lot; bundle: Bundle; name: string; check: BundleCheck; goes: boolean }

/** Every bundle of the open lots: as typed, else as saved before, else as nobody has looked at it. */
export function checkedRows(
  form: Form,
  typed: HandBackTyped,
  lots: readonly Lot[],
  saved: ReadonlyMap<number, BundleCheck>,
): CheckedRow[] {
  const rows = lots.flatMap((lot, l) =>
    lot.bundles.map((bundle, b) => {
      const name = `lots.${l}.bundles.${b}`
      const row = form.has(`${name}.tiesBack`) ? typed.lots[l]?.bundles[b] : undefined
      const check = row ? checkOf(row, bundle) : (saved.get(bundle.id) ?? unchecked(bundle))
      return { lot, bundle, name, check, goes: typed.lots[l]?.goes === true, emptied: row?.tiesBack === null }
    }),
  )
  const open = rows.filter(({ lot }) => lot.closedAt === null)
  const emptied = open.filter(({ emptied, check }) => emptied && check.found).map(askTiesBack)
  if (emptied.length > 0) throw new Unfit(emptied)
  return open
}

const checkOf = (row: Row, bundle: Bundle): BundleCheck =>
  asFound({
    found: !row.missing,
    tiedAgain: row.tiedAgain,
    tiesBack: row.tiesBack?.count ?? bundle.tiesIn,
    tiesReplaced: row.tiesReplaced?.count ?? 0,
    weightG: row.weight?.grams ?? null,
    weightTyped: row.weight?.typed ?? '',
    condition: row.condition === '' ? 'as it came' : row.condition,
    explanation: row.explanation,
  })

const askTiesBack = ({ lot, bundle, name }: Pick<CheckedRow, 'lot' | 'bundle' | 'name'>): FieldError => ({
  field: `${name}.tiesBack`,
  sentence: `${bundleName({ lotId: lot.id, n: bundle.n })}: write how many ties are back, 0 if none.`,
})

/** Everything that keeps these rows from being handed back, field by field. */
export const troublesOf = (rows: readonly CheckedRow[]): FieldError[] =>
  rows.flatMap(({ lot, bundle, name, check }) =>
    troubles({ ...bundle, lotId: lot.id }, check).map(({ field, sentence }) => ({
      field: `${name}.${FIELD_NAMES[field]}`,
      sentence,
    })),
  )

/** The button names a number. Where ticks have changed it since, the press is asked for again with the right one. */
export function askAgainForNumber(form: Form, bundles: number): FieldError[] {
  const named = form.value('bundles')
  if (named === '' || named === String(bundles)) return []
  const sentence = `The button said ${named.slice(0, 6)}; with what is ticked now, ${bundles} go back. Press it again if that is right.`
  return [{ field: '', sentence }]
}
