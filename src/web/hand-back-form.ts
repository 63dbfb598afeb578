/** The hand-back's form: rows are found by their place in the commission, which never changes after the drop-off. */
import { z } from 'zod'
import { asFound, type BundleCheck, bundleName, CONDITIONS_BACK, unchecked } from '../domain/bundle-check.js'
import { BUNDLE_LIMITS } from '../domain/bundles-line.js'
import { type Rest, troubles, troubleWithRest } from '../domain/hand-back.js'
import { isHere } from '../domain/place.js'
import { readCount, readWeight, type Units } from '../domain/quantity.js'
import { USUAL_BAND, type WeightBand } from '../domain/weight-back.js'
import type { Bundle, Lot } from '../store/lots.js'
import { handoverFields } from './hand-back-handover.js'
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
    stays: tick,
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

const handBackForm = (units: Units, today: string) =>
  z.object({
    do: choice('Hand back, or save for later', DO),
    ...handoverFields(today),
    lots: listOf(groupOf(z.object({ goes: tick, bundles: listOf(groupOf(bundleForm(units))) }))),
  })

type Row = z.output<ReturnType<typeof bundleForm>>

export type HandBackTyped = z.output<ReturnType<typeof handBackForm>>

/** The typed form; a sentence about a row begins with the name of its bundle. */
export function readHandBack(form: Form, lots: readonly Lot[], units: Units, today: string): HandBackTyped {
  try {
    return check(handBackForm(units, today), form)
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
  tagCode: 'tiedAgain',
}

/** A bundle of the commission, the name that its fields begin with, and how it was checked. */
export type CheckedRow = {
  lot: Lot
  bundle: Bundle
  name: string
  check: BundleCheck
  /** Its lot is ticked, or its tag was scanned. */
  lotGoes: boolean
  isScanned: boolean
  stays: boolean
}

/**
 * Every bundle that is still here: as typed, else as saved before, else as nobody has looked at it. One whose tag was
 * scanned lies on the table, tied up again as it came.
 */
export function checkedRows(
  form: Form,
  typed: HandBackTyped,
  lots: readonly Lot[],
  saved: ReadonlyMap<number, BundleCheck>,
  scanned: ReadonlyMap<number, string>,
): CheckedRow[] {
  const rows = lots.flatMap((lot, l) =>
    lot.bundles.map((bundle, b) => {
      const name = `lots.${l}.bundles.${b}`
      const row = form.has(`${name}.tiesBack`) ? typed.lots[l]?.bundles[b] : undefined
      const before = saved.get(bundle.id) ?? unchecked(bundle)
      const check = withTag(row ? checkOf(row, bundle, before) : before, scanned.get(bundle.id))
      const isScanned = scanned.has(bundle.id)
      const lotGoes = typed.lots[l]?.goes === true || lot.bundles.some(({ id }) => scanned.has(id))
      return {
        lot,
        bundle,
        name,
        check,
        lotGoes,
        isScanned,
        stays: row?.stays === true,
        emptied: row?.tiesBack === null,
      }
    }),
  )
  const here = rows.filter(({ bundle }) => isHere(bundle.place))
  const emptied = here.filter(({ emptied, check }) => emptied && check.found).map(askTiesBack)
  if (emptied.length > 0) throw new Unfit(emptied)
  return here
}

const withTag = (check: BundleCheck, tagCode: string | undefined): BundleCheck =>
  tagCode === undefined ? check : { ...check, tiedAgain: true, tagCode }

const checkOf = (row: Row, bundle: Bundle, before: BundleCheck): BundleCheck =>
  asFound({
    found: !row.missing,
    tiedAgain: row.tiedAgain,
    tiesBack: row.tiesBack?.count ?? bundle.tiesIn,
    tiesReplaced: row.tiesReplaced?.count ?? 0,
    weightG: row.weight?.grams ?? null,
    weightTyped: row.weight?.typed ?? '',
    condition: row.condition === '' ? 'as it came' : row.condition,
    explanation: row.explanation,
    tagCode: row.tiedAgain ? before.tagCode : '',
  })

/** What goes, or is explained as not found. Off the ready shelf a bundle stays, unless somebody says otherwise of it. */
export const leavingOf = (rows: readonly CheckedRow[]): CheckedRow[] =>
  rows.filter(
    ({ lotGoes, stays, bundle, check }) =>
      lotGoes && !stays && (bundle.place === 'ready shelf' || check.tiedAgain || !check.found),
  )

/** Of lots that go back in part: what is missing about the bundles that stay. */
export function troublesOfRest(rows: readonly CheckedRow[], leaving: readonly CheckedRow[], rest: Rest): FieldError[] {
  const lots = new Set(leaving.map(({ lot }) => lot))
  const both = rows.filter(({ lotGoes, stays, check, isScanned }) => lotGoes && stays && (!check.found || isScanned))
  const nothing = rows.filter(({ lot, lotGoes }) => lotGoes && !lots.has(lot)).map(({ lot }) => lot.id)
  return [
    ...[...new Set(nothing)].map(id => ({
      field: '',
      sentence: `Nothing of lot ${id} goes back now: take its tick away.`,
    })),
    ...both.map(({ lot, bundle, name, check }) => ({
      field: `${name}.stays`,
      sentence: `${bundleName({ lotId: lot.id, n: bundle.n })} is ticked as staying here, and ${check.found ? 'its tag was scanned' : 'as not found'}. Take one of the two away.`,
    })),
    ...[...lots].flatMap(lot => {
      const stay = rows.filter(row => row.lot === lot && !leaving.includes(row)).map(({ bundle }) => bundle.n)
      const sentence = troubleWithRest(lot.id, stay, rest)
      return sentence === '' ? [] : [{ field: 'staysUntil', sentence }]
    }),
  ]
}

const askTiesBack = ({ lot, bundle, name }: Pick<CheckedRow, 'lot' | 'bundle' | 'name'>): FieldError => ({
  field: `${name}.tiesBack`,
  sentence: `${bundleName({ lotId: lot.id, n: bundle.n })}: write how many ties are back, 0 if none.`,
})

/** Everything that keeps these rows from being handed back, field by field. */
export const troublesOf = (rows: readonly CheckedRow[], bands: ReadonlyMap<number, WeightBand>): FieldError[] =>
  rows.flatMap(({ lot, bundle, name, check }) =>
    troubles({ ...bundle, lotId: lot.id, band: bands.get(lot.id) ?? USUAL_BAND }, check).map(({ field, sentence }) => ({
      field: `${name}.${FIELD_NAMES[field]}`,
      sentence,
    })),
  )
