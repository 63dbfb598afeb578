import fc from 'fast-check'
import { expect, test } from 'vitest'
import { aLot, alike, bring, makeReady } from '../hand-back-helper.js'
import { testApp } from '../helper.js'

/** Mostly what hands might do, now and then what no hand would. */
const often = <T>(usual: T, ...seldom: T[]) =>
  fc.oneof({ weight: 7, arbitrary: fc.constant(usual) }, { weight: 1, arbitrary: fc.constantFrom(...seldom) })

const anyRow = fc.record({
  tiedAgain: often(true, false),
  missing: often(false, true),
  tiesBack: often('3', '0', '2', '4', '-1', '', 'three'),
  tiesReplaced: often('0', '1', '2'),
  weight: often('', '150 g', '100', '9 oz', '-5'),
  condition: often('as it came', 'torn', 'eaten'),
  explanation: fc.constantFrom('', '  ', 'so it is', 'the dog had it'),
})
type Row = typeof anyRow extends fc.Arbitrary<infer R> ? R : never
const anyPress = fc.record({
  do: fc.constantFrom('close', 'close', 'save'),
  goes: often(true, false),
  isFresh: often(true, false),
  rows: fc.tuple(anyRow, anyRow),
})

const asItCame: Row = {
  tiedAgain: true,
  missing: false,
  tiesBack: '3',
  tiesReplaced: '0',
  weight: '',
  condition: 'as it came',
  explanation: '',
}
const [right, short] = [asItCame, { ...asItCame, tiesBack: '2' }].map(row => [
  { do: 'close', goes: true, isFresh: true, rows: [row, row] as [Row, Row] },
])

const fieldsOf = ({ tiedAgain, missing, ...typed }: Row, name: string): [string, string][] => [
  ...Object.entries(typed).map(([field, text]): [string, string] => [`${name}.${field}`, text]),
  ...(tiedAgain ? [[`${name}.tiedAgain`, 'yes'] as [string, string]] : []),
  ...(missing ? [[`${name}.missing`, 'yes'] as [string, string]] : []),
]

const SUMS = `
  select bundle.id, place, bundle.ties_in as tiesIn, ties_on as tiesOn, ties_off as tiesOff, ties_lost as tiesLost,
    b.ties_back as back, b.ties_replaced as replaced, b.tied_again as tied, b.found, b.explanation, lot.closed_at as closedAt
  from bundle join lot on lot.id = bundle.lot_id left join hand_back_bundle b on b.bundle_id = bundle.id`
type Sums = {
  place: string
  tiesIn: number
  tiesOn: number
  tiesOff: number
  tiesLost: number
  back: number
  replaced: number
  tied: number
  found: number
  explanation: string
  closedAt: string | null
}

test('no sequence of presses hands back what does not add up', async () => {
  const site = await testApp()
  await fc.assert(
    fc.asyncProperty(fc.array(anyPress, { minLength: 1, maxLength: 3 }), async presses => {
      const commission = await bring(site.db, site.by, [aLot(alike(2))])
      makeReady(site.raw, commission)
      const address = `/commissions/${commission}/hand-back`
      for (const press of presses) {
        const { version } = (await site.browser.json(address)).body
        const answer = await site.browser.post(address, {
          do: press.do,
          version: press.isFresh ? version : version + 1,
          toWhom: 'Marta Quill',
          ...(press.goes ? { 'lots.0.goes': 'yes' } : {}),
          ...Object.fromEntries(press.rows.flatMap((row, n) => fieldsOf(row, `lots.0.bundles.${n}`))),
        })
        expect([303, 409, 422]).toContain(answer.status)
      }
      checkSums(site.raw.prepare(`${SUMS} where lot.id = ?`).all(commission) as Sums[])
    }),
    { numRuns: 60, examples: [[right ?? []], [short ?? []]] },
  )
  const closed = site.raw.prepare('select count(*) from hand_back where closed = 1').pluck().get()
  const open = site.raw.prepare('select count(*) from lot where closed_at is null').pluck().get()
  expect(Number(closed) > 0 && Number(open) > 0).toBe(true)
  expect(site.raw.prepare('select count(*) from hand_back where closed = 0').pluck().get()).toBe(0)
})

function checkSums(bundles: Sums[]): void {
  const gone = bundles.filter(({ place }) => place !== 'ready shelf')
  expect([0, bundles.length]).toContain(gone.length)
  for (const bundle of bundles) {
    expect(bundle.tiesOn + bundle.tiesOff + bundle.tiesLost).toBe(bundle.tiesIn)
    expect(bundle.closedAt !== null).toBe(gone.length > 0)
  }
  for (const bundle of gone) {
    const addsUp = bundle.found === 1 && bundle.tied === 1 && bundle.back + bundle.replaced === bundle.tiesIn
    expect(addsUp || bundle.explanation.trim() !== '').toBe(true)
    expect(bundle.place).toBe(bundle.found === 1 ? 'handed back' : 'not found')
    expect([bundle.tiesOn, bundle.tiesOff]).toEqual([bundle.back + bundle.replaced, 0])
  }
}
