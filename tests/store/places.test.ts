/** Spots and shelf counts over the records: each change of spot is a row, and everything adds up after any of them. */
import fc from 'fast-check'
import { beforeEach, expect, test } from 'vitest'
import { unchecked } from '../../src/domain/bundle-check.js'
import { SPOT_PLACES } from '../../src/domain/place.js'
import { addsUp, heldByPlace } from '../../src/domain/places.js'
import { Refusal } from '../../src/domain/refusal.js'
import { walkChain } from '../../src/store/chain.js'
import { answerQuestion, countPoints, openQuestions, questionsOfCount } from '../../src/store/count-questions.js'
import { inOneStep, type Trx } from '../../src/store/db.js'
import { closeHandBack } from '../../src/store/hand-back.js'
import { addWord, openIncident } from '../../src/store/incidents.js'
import { bundlesByPlace, sumOfBundles } from '../../src/store/places.js'
import { beginShelfCount, bundlesInCount, endShelfCount, noteSeen } from '../../src/store/shelf-counts.js'
import { addSpot, findSpot, listSpots, putAtSpot, spotMovesOfBundle, useSpot } from '../../src/store/spots.js'
import { takeInLot } from '../a-lot.js'
import { brokenRules } from '../custody/invariants.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
let lotId: number
beforeEach(async () => {
  site = await testApp()
  lotId = await takeInLot(site)
})

const step = <T>(act: (trx: Trx) => Promise<T>) => inOneStep(site.db, act)
const name = (place: (typeof SPOT_PLACES)[number], name: string) => step(trx => addSpot(trx, site.by, { place, name }))
const put = (spotId: number | null, ids: number[], why = '') =>
  step(async trx =>
    putAtSpot(trx, site.by, spotId === null ? null : ((await findSpot(trx, spotId)) ?? null), ids, { why }),
  )
const fetchBack = (bundleIds: number[]) =>
  step(trx => openIncident(trx, site.by, { lotId, kind: 'fetched back undyed', bundleIds, whatHappened: 'called off' }))
const spotIds = () => site.raw.prepare('select spot_id from bundle order by id').pluck().all()

test('each change of spot is told with from, to, when, who and why, and none is told where nothing changed', async () => {
  const [board, hook] = [await name('arrivals shelf', 'board'), await name('arrivals shelf', 'hook')]
  expect(await put(board, [1, 2], 'out of the draught')).toBe(2)
  expect(await put(board, [1, 2])).toBe(0)
  expect(await put(hook, [1])).toBe(1)
  expect(await put(null, [1])).toBe(1)
  expect(await spotMovesOfBundle(site.db, 1)).toEqual([
    { from: null, to: 'board', at: site.by.at, who: 'Wren', why: 'out of the draught' },
    { from: 'board', to: 'hook', at: site.by.at, who: 'Wren', why: '' },
    { from: 'hook', to: null, at: site.by.at, who: 'Wren', why: '' },
  ])
  expect(spotIds()).toEqual([null, board, null])
})

test('a bundle that goes to another place leaves its spot, and that is told as well', async () => {
  await put(await name('arrivals shelf', 'board'), [1, 2])
  await fetchBack([1])
  expect(spotIds()).toEqual([null, 1, null])
  expect((await spotMovesOfBundle(site.db, 1)).at(-1)).toMatchObject({
    from: 'board',
    to: null,
    why: 'moved to: ready shelf',
  })
  expect((await spotMovesOfBundle(site.db, 2)).at(-1)?.to).toBe('board')
  expect((await walkChain(site.db)).broken).toEqual([])
})

test('a spot is of one place, has its name alone, and stays in use while something lies there', async () => {
  const [board, rack] = [await name('arrivals shelf', 'Board'), await name('ready shelf', 'rack')]
  await expect(name('ready shelf', 'board')).rejects.toThrow('There is a spot “Board” already (arrivals shelf)')
  await expect(put(rack, [1])).rejects.toThrow('is at: arrivals shelf, and “rack” is at: ready shelf')
  await put(board, [1])
  await expect(step(trx => useSpot(trx, site.by, board, false))).rejects.toThrow('Bundles lie at “Board” (1)')
  await put(null, [1])
  await step(trx => useSpot(trx, site.by, board, false))
  await expect(put(board, [1])).rejects.toThrow('out of use')
  await step(trx => useSpot(trx, site.by, board, true))
  expect(await put(board, [1])).toBe(1)
})

const count = (seen: number[], place: (typeof SPOT_PLACES)[number] = 'arrivals shelf', spotId: number | null = null) =>
  step(async trx => {
    const id = await beginShelfCount(trx, site.by, place, spotId)
    await noteSeen(trx, site.by, id, { seen, unseen: [] })
    await endShelfCount(trx, site.by, id)
    return id
  })
const answer = (
  countId: number,
  findingId: number,
  given: Parameters<typeof answerQuestion>[3]['answer'],
  words = '',
) => step(trx => answerQuestion(trx, site.by, countId, { findingId, answer: given, words }))

test('one missing and one extra are open until each is answered; only what is missing hinders, and only itself', async () => {
  await fetchBack([3])
  const id = await count([1, 3])
  const open = await openQuestions(site.db)
  expect(open.map(({ bundleId, finding }) => [bundleId, finding])).toEqual([
    [2, 'missing'],
    [3, 'unexpected'],
  ])
  expect((await countPoints(site.db, 1)).map(({ bundleIds, hinders }) => ({ bundleIds, hinders }))).toEqual([
    { bundleIds: [2], hinders: true },
    { bundleIds: [3], hinders: false },
  ])
  const [missing, extra] = open.map(({ findingId }) => findingId)
  await expect(answer(id, missing ?? 0, 'found')).rejects.toThrow('Say in a few words')
  await expect(answer(id, missing ?? 0, 'put back')).rejects.toThrow('Choose one of the answers')
  await expect(answer(id, extra ?? 0, 'put here')).rejects.toThrow('On record it is at: ready shelf')
  await answer(id, missing ?? 0, 'found', 'behind the tub')
  await expect(answer(id, missing ?? 0, 'lost')).rejects.toThrow('answered already')
  await answer(id, extra ?? 0, 'put back')
  expect(await openQuestions(site.db)).toEqual([])
  expect(await countPoints(site.db, 1)).toEqual([])
  expect((await questionsOfCount(site.db, id)).map(({ given }) => given?.words)).toEqual(['behind the tub', ''])
  expect((await walkChain(site.db)).broken).toEqual([])
})

test('the list stays as it was made while bundles move, and a count moves none', async () => {
  const id = await step(trx => beginShelfCount(trx, site.by, 'arrivals shelf', null))
  await fetchBack([3])
  const listed = (await bundlesInCount(site.db, id)).filter(({ isListed }) => isListed)
  expect(listed.map(({ bundleId }) => bundleId)).toEqual([1, 2, 3])
  const before = site.raw.prepare('select id, place, spot_id from bundle').raw().all()
  await step(trx => noteSeen(trx, site.by, id, { seen: [1, 2], unseen: [] }))
  await step(trx => noteSeen(trx, site.by, id, { seen: [], unseen: [2] }))
  expect(await step(trx => endShelfCount(trx, site.by, id))).toBe(1)
  expect((await bundlesInCount(site.db, id)).map(({ finding }) => finding)).toEqual(['fine', 'missing', 'moved since'])
  expect(site.raw.prepare('select id, place, spot_id from bundle').raw().all()).toEqual(before)
  await expect(step(trx => noteSeen(trx, site.by, id, { seen: [2], unseen: [] }))).rejects.toThrow('done already')
})

test('a lost bundle becomes an incident; an unexpected one at a counted spot can be noted there', async () => {
  const board = await name('arrivals shelf', 'board')
  await put(board, [1])
  const id = await count([2], 'arrivals shelf', board)
  const [missing, extra] = (await openQuestions(site.db)).map(({ findingId }) => findingId)
  await answer(id, missing ?? 0, 'lost')
  await answer(id, extra ?? 0, 'put here')
  expect(spotIds()).toEqual([board, board, null])
  const incident = await site.db.selectFrom('incident').selectAll().executeTakeFirstOrThrow()
  expect(incident).toMatchObject({ kind: 'bundle lost', lot_id: lotId, closed_at: null })
  expect(incident.what_happened).toContain(`shelf count ${id} (board)`)
})

test('only one count of a place is open at a time', async () => {
  await step(trx => beginShelfCount(trx, site.by, 'arrivals shelf', null))
  await expect(step(trx => beginShelfCount(trx, site.by, 'arrivals shelf', null))).rejects.toThrow('is not done yet')
  await step(trx => beginShelfCount(trx, site.by, 'ready shelf', null))
})

type Deed = { kind: 'bring' | 'put' | 'off' | 'fetch back' | 'hand back' | 'count'; n: number; m: number }
const deed: fc.Arbitrary<Deed> = fc.record({
  kind: fc.constantFrom('bring', 'put', 'put', 'put', 'off', 'fetch back', 'hand back', 'count'),
  n: fc.nat(20),
  m: fc.nat(20),
})

async function handBack(of: number): Promise<void> {
  const lot = await site.db.selectFrom('lot').selectAll().where('id', '=', of).executeTakeFirstOrThrow()
  const ids = site.raw.prepare<[number], number>('select id from bundle where lot_id = ?').pluck().all(of)
  const checks = new Map(ids.map(id => [id, { ...unchecked({ tiesIn: 3 }), tiedAgain: true }]))
  const { commission_id: commissionId } = lot
  await step(async trx => {
    for (const { id } of await trx.selectFrom('incident').select('id').where('lot_id', '=', of).execute())
      await addWord(trx, site.by, id, { kind: 'client told', how: 'at the table', words: '' })
    await closeHandBack(trx, site.by, { commissionId, lotIds: [of], toWhom: 'Ilka Fenn', words: '', checks })
  })
}

/** One of each, in an order that no rule refuses. */
const eachOnce: Deed[] = (['bring', 'put', 'off', 'fetch back', 'hand back', 'count'] as const).map(kind => ({
  kind,
  n: 0,
  m: 0,
}))

/** Does one thing, or is refused it by the rules of the trade; anything else is a fault. */
async function carryOut({ kind, n, m }: Deed): Promise<boolean> {
  const bundles = site.raw.prepare<[], { id: number; lot_id: number }>('select id, lot_id from bundle').all()
  const one = bundles[n % bundles.length] ?? { id: 1, lot_id: 1 }
  const spots = await listSpots(site.db)
  const deeds: Record<Deed['kind'], () => Promise<unknown>> = {
    bring: () => takeInLot(site),
    put: () => put(spots[m % spots.length]?.id ?? 1, [one.id]),
    off: () => put(null, [one.id]),
    'fetch back': () =>
      step(trx =>
        openIncident(trx, site.by, {
          ...{ lotId: one.lot_id, kind: 'fetched back undyed', whatHappened: 'called off' },
          bundleIds: m % 2 === 0 ? [] : [one.id],
        }),
      ),
    'hand back': () => handBack(one.lot_id),
    count: () => count([one.id], SPOT_PLACES[m % 3] ?? 'ready shelf'),
  }
  try {
    await deeds[kind]()
    return true
  } catch (fault) {
    if (!(fault instanceof Refusal)) throw fault
    return false
  }
}

test('places and spots add up after any moves, and both ways of looking agree', async () => {
  const done: Record<string, number> = {}
  await fc.assert(
    fc.asyncProperty(fc.array(deed, { minLength: 10, maxLength: 20 }), async deeds => {
      site = await testApp()
      lotId = await takeInLot(site)
      for (const place of SPOT_PLACES) for (const at of ['left', 'right']) await name(place, `${place} ${at}`)
      for (const one of deeds) if (await carryOut(one)) done[one.kind] = (done[one.kind] ?? 0) + 1
      const [lying, sum] = [await bundlesByPlace(site.db), await sumOfBundles(site.db)]
      expect(addsUp(sum)).toBe(true)
      expect(lying).toHaveLength(sum.here)
      const corners = heldByPlace(lying).flatMap(held => held.corners.flatMap(corner => corner.bundles))
      expect(corners.map(({ bundleId }) => bundleId).sort((a, b) => a - b)).toEqual(
        site.raw
          .prepare("select id from bundle where place not in ('handed back', 'not found') order by id")
          .pluck()
          .all(),
      )
      expect(brokenRules(site.raw)).toEqual([])
      expect((await walkChain(site.db)).broken).toEqual([])
      await site.app.close()
    }),
    { numRuns: 12, endOnFailure: true, examples: [[eachOnce]] },
  )
  expect(Object.keys(done).sort()).toEqual(['bring', 'count', 'fetch back', 'hand back', 'off', 'put'])
})
