import { beforeEach, describe, expect, test } from 'vitest'
import { asFound, type BundleCheck, unchecked } from '../../src/domain/bundle-check.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { findChecklist, saveChecks } from '../../src/store/bundle-check.js'
import { fillCatalogue } from '../../src/store/catalogue.js'
import { type By, inOneStep } from '../../src/store/db.js'
import { closeHandBack } from '../../src/store/hand-back.js'
import { handBacksOfCommission } from '../../src/store/hand-backs.js'
import { historyOfLot } from '../../src/store/history.js'
import { findLot, lotsOfCommission } from '../../src/store/lots.js'
import { noteOutcome } from '../../src/store/outcomes.js'
import { findHandBack } from '../../src/store/return-slip.js'
import { addWorker } from '../../src/store/sign-in.js'
import { aLot, alike, bring, makeReady } from '../hand-back-helper.js'
import { openMemory } from '../memory.js'

const AT = '2026-03-02T09:00:00.000Z'
let opened: ReturnType<typeof openMemory>
let by: By
let commission: number
/** Lot 1 has two bundles of three ties, lot 2 has one; both are ready. */
beforeEach(async () => {
  opened = openMemory()
  await fillCatalogue(opened.db, firstCatalogue, AT)
  by = { workerId: await addWorker(opened.db, 'Wren', 'x', AT), at: AT }
  commission = await bring(opened.db, by, [aLot(alike(2)), aLot(alike(1))])
  makeReady(opened.raw, 1)
  makeReady(opened.raw, 2)
})

const asItCame = (check: Partial<BundleCheck> = {}): BundleCheck =>
  asFound({ ...unchecked({ tiesIn: 3 }), tiedAgain: true, ...check })

type Ask = { lotIds?: number[]; checks?: [number, BundleCheck][] }
const close = ({ lotIds = [1], checks = [] }: Ask = {}) =>
  inOneStep(opened.db, trx =>
    closeHandBack(trx, by, {
      commissionId: commission,
      lotIds,
      toWhom: 'Marta Quill',
      words: '',
      checks: new Map([[1, asItCame()], [2, asItCame()], [3, asItCame()], ...checks]),
    }),
  )
const bundles = () => opened.raw.prepare('select * from bundle order by id').all()
const count = (table: string) => opened.raw.prepare(`select count(*) from ${table}`).pluck().get()

describe('closing a hand-back', () => {
  test('lets whole lots go in one step: bundles, lots, moves, history', async () => {
    const id = await close({ lotIds: [1, 2] })
    expect(bundles()).toMatchObject([1, 2, 3].map(() => ({ place: 'handed back', ties_on: 3, ties_lost: 0 })))
    expect((await lotsOfCommission(opened.db, commission)).map(lot => lot.closedAt)).toEqual([AT, AT])
    const moves = opened.raw.prepare("select * from move where to_place = 'handed back'").all()
    expect(moves).toMatchObject([1, 2, 3].map(() => ({ from_place: 'ready shelf', why: `hand-back, slip ${id}` })))
    expect((await historyOfLot(opened.db, 1)).at(-1)).toMatchObject({
      what: 'handed back',
      became: { slip: id },
      words: '2 bundles, 6 ties',
    })
    expect(await handBacksOfCommission(opened.db, commission)).toEqual([
      { id, at: AT, toWhom: 'Marta Quill', who: 'Wren', lotIds: [1, 2], bundles: 3 },
    ])
  })

  test('takes ties off the tie board: those that are back are on, those that are not are lost', async () => {
    opened.raw.exec(`insert into tie_event
      (bundle_id, kind, count, tied, ties_on, ties_off, ties_lost, ties_replaced, at, worker_id, words)
      values (1, 'taken off', 3, 0, 0, 3, 0, 0, '', 1, '')`)
    await close({ checks: [[1, asItCame({ tiesBack: 1, tiesReplaced: 1, explanation: 'it snapped' })]] })
    expect(bundles()[0]).toMatchObject({ place: 'handed back', ties_on: 2, ties_off: 0, ties_lost: 1 })
    const { words } = (await historyOfLot(opened.db, 1)).at(-1) ?? {}
    expect(words).toBe('2 bundles, 5 ties; bundle 1: 1 of 3 ties missing, 1 tie replaced from the strip’s own end')
  })

  test('explains a bundle that is not found, also from the arrivals shelf, with all its ties', async () => {
    opened.raw.exec("update bundle set place = 'arrivals shelf' where id = 2")
    const lost = { ...unchecked({ tiesIn: 3 }), found: false, explanation: 'never seen after drop-off' }
    const id = await close({ checks: [[2, lost]] })
    expect(bundles()[1]).toMatchObject({ place: 'not found', ties_on: 0, ties_lost: 3 })
    expect((await handBacksOfCommission(opened.db, commission))[0]).toMatchObject({ id, bundles: 1 })
    expect((await findLot(opened.db, 1))?.closedAt).toBe(AT)
  })

  test.each([
    ['a missing tie', { tiesBack: 2 }, 'is missing'],
    ['a tie too many', { tiesReplaced: 1, explanation: 'so it is' }, 'Correct the counts'],
    ['a bundle that is not tied up', { tiedAgain: false }, 'not ticked as tied up again'],
    ['a bundle that is not found', { found: false, tiedAgain: false }, 'is not found'],
    ['a light bundle', { weightG: 100 }, 'is light'],
    ['a wet bundle', { weightG: 300 }, 'Is it dry?'],
    ['a torn strip', { condition: 'torn' as const }, 'goes back “torn”'],
  ])('refuses %s without the words for it, and writes nothing', async (_, check, sentence) => {
    await expect(close({ checks: [[2, asItCame(check)]] })).rejects.toThrow(sentence)
    expect(count('hand_back')).toBe(0)
    expect(bundles()).toMatchObject([1, 2, 3].map(() => ({ place: 'ready shelf', ties_lost: 0 })))
  })

  test('refuses a lot of which nothing goes, and nobody to receive it', async () => {
    const nobody = { commissionId: commission, lotIds: [1], toWhom: 'Marta Quill', words: '', checks: new Map() }
    await expect(inOneStep(opened.db, trx => closeHandBack(trx, by, nobody))).rejects.toThrow('Nothing of lot 1 goes')
    const checks = new Map([[3, asItCame()]])
    const toNobody = { commissionId: commission, lotIds: [2], toWhom: ' ', words: '', checks }
    await expect(inOneStep(opened.db, trx => closeHandBack(trx, by, toNobody))).rejects.toThrow('who receives them')
    expect(count('hand_back')).toBe(0)
  })

  test('refuses a bundle that is still in its load', async () => {
    opened.raw.exec("update bundle set place = 'arrivals shelf' where id = 1")
    await expect(close()).rejects.toThrow('not on the ready shelf (arrivals shelf)')
  })

  test('is not possible twice, nor for no lot, nor for a lot of somebody else', async () => {
    await close()
    await expect(close({ lotIds: [1, 2] })).rejects.toMatchObject({ code: 'conflict' })
    await expect(close({ lotIds: [] })).rejects.toThrow('at least one lot')
    const other = await bring(opened.db, by, [aLot(alike(1))], { name: 'Ode Reed' })
    expect(other).toBe(2)
    await expect(close({ lotIds: [2, 3] })).rejects.toThrow('its own commission')
    expect(count('hand_back')).toBe(1)
  })
})

describe('the checklist', () => {
  const save = (checks: [number, BundleCheck][]) =>
    inOneStep(opened.db, trx => saveChecks(trx, by, commission, new Map(checks)))

  test('keeps what was looked at, and moves nothing', async () => {
    const before = bundles()
    const seen = asItCame({ tiesBack: 2, weightG: 148, weightTyped: '148 g', explanation: 'one tie short' })
    await save([
      [1, seen],
      [2, unchecked({ tiesIn: 3 })],
    ])
    const { checks, version } = await findChecklist(opened.db, commission)
    expect([...checks]).toEqual([[1, seen]])
    expect(version).toBe(1)
    expect(bundles()).toEqual(before)
    expect((await historyOfLot(opened.db, 1)).at(-1)).toMatchObject({
      what: 'checked for the hand-back',
      became: { bundles: [1] },
    })
  })

  test('counts every saving that changes something, and takes back what was unticked', async () => {
    await save([[1, asItCame()]])
    await save([[1, asItCame()]])
    expect((await findChecklist(opened.db, commission)).version).toBe(1)
    await save([[1, unchecked({ tiesIn: 3 })]])
    const { checks, version } = await findChecklist(opened.db, commission)
    expect(version).toBe(2)
    expect(checks.get(1)).toEqual(unchecked({ tiesIn: 3 }))
  })

  test('is not saved anew for what was typed in a row of a bundle that is not there', async () => {
    const gone = asItCame({ found: false, tiedAgain: false, explanation: 'taken by the river' })
    await save([[1, gone]])
    await save([[1, { ...gone, tiesBack: 1, weightG: 90, weightTyped: '90 g' }]])
    expect((await findChecklist(opened.db, commission)).version).toBe(1)
    expect((await historyOfLot(opened.db, 1)).filter(({ what }) => what === 'checked for the hand-back')).toHaveLength(
      1,
    )
  })

  test('does not change for a lot that has gone back', async () => {
    await close()
    await expect(save([[1, asItCame({ explanation: 'later' })]])).rejects.toMatchObject({ code: 'conflict' })
  })
})

describe('the record of a hand-back', () => {
  test('keeps the workshop’s words of the day', async () => {
    opened.raw.exec(
      "insert into workshop values (1, 'The Weir Shed', 'metric', 'metric', 'UTC', 'conditioned', 1, 'Mind the dog.', 1, 'A5')",
    )
    const id = await close({ checks: [[1, asItCame({ tiesBack: 2, explanation: 'one snapped' })]] })
    opened.raw.exec("update workshop set name = 'Elsewhere', slip_words = ''")
    const slip = await findHandBack(opened.db, id)
    expect(slip).toMatchObject({ workshopName: 'The Weir Shed', slipWords: 'Mind the dog.', clientName: 'Marta Quill' })
    expect(slip?.lots.map(lot => lot.bundles.map(({ check }) => check.explanation))).toEqual([['one snapped', '']])
  })

  test('shows the colour as it was noted before it went back, not what is noted later', async () => {
    const note = (at: string, swatch: string) =>
      inOneStep(opened.db, trx =>
        noteOutcome(trx, { ...by, at }, { lotId: 1, swatch, nearness: 'nearly as asked', words: swatch }),
      )
    await note('2026-03-01T09:00:00.000Z', '#802020')
    const id = await close()
    await note('2026-05-01T09:00:00.000Z', '#905050')
    expect((await findHandBack(opened.db, id))?.lots[0]?.outcome).toMatchObject({ swatch: '#802020' })
  })

  test('is not there before it is closed', async () => {
    opened.raw.exec(`insert into hand_back (commission_id, words, worker_id, at) values (1, '', 1, '${AT}')`)
    expect(await findHandBack(opened.db, 1)).toBeUndefined()
    expect(await findHandBack(opened.db, 2)).toBeUndefined()
    expect(await handBacksOfCommission(opened.db, commission)).toEqual([])
  })
})
