/** What a plan is made from, told from real workshops; each plan is checked by the validator of the planner's tests. */
import { beforeEach, describe, expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { instantAt, minuteAt } from '../../src/domain/plan-input.js'
import { fillCatalogue } from '../../src/store/catalogue.js'
import type { By } from '../../src/store/db.js'
import { openIncident } from '../../src/store/incidents.js'
import { beginNextStep, findLoad, layLoad, undoLast } from '../../src/store/loads.js'
import { findLot } from '../../src/store/lots.js'
import { pinStep, unpinStep } from '../../src/store/plan-pins.js'
import { changePot, findPot } from '../../src/store/pots.js'
import { addWorker } from '../../src/store/sign-in.js'
import { workPlan } from '../../src/store/work-plan.js'
import { addWorkshop } from '../../src/store/workshop.js'
import { openMemory } from '../memory.js'
import { faultsOf } from '../planner/validator.js'
import { act, lotReady, takeInLot, threePots } from '../pots-kit.js'

const START = '2026-03-02T09:00:00.000Z'
const later = (minutes: number): string => new Date(Date.parse(START) + minutes * 60_000).toISOString()

async function workshop(timeZone = 'Europe/Lisbon') {
  const opened = openMemory()
  const { db } = opened
  await fillCatalogue(db, firstCatalogue, START)
  await addWorkshop(db, {
    name: 'The Weir Shed',
    weightUnit: 'metric',
    volumeUnit: 'metric',
    timeZone,
    dryBasis: 'conditioned',
    scaleStepG: 1,
    slipPaper: 'A5',
    slipWords: '',
  })
  const workerId = await addWorker(db, 'Wren', 'not a hash', START)
  const by = (minutes = 0): By => ({ workerId, at: later(minutes) })
  return { ...opened, by, pots: await threePots(db, by()) }
}

let shed: Awaited<ReturnType<typeof workshop>>
beforeEach(async () => {
  shed = await workshop()
})

const lay = async (lotId: number, potId: number, minutes = 0): Promise<number> => {
  const bundleIds = ((await findLot(shed.db, lotId))?.bundles ?? []).map(({ id }) => id)
  return act(shed.db, trx => layLoad(trx, shed.by(minutes), { potId, bundleIds }))
}
const versionOf = async (id: number): Promise<number> => (await findLoad(shed.db, id))?.version ?? 0
const next = async (loadId: number, minutes: number) => {
  const version = await versionOf(loadId)
  return act(shed.db, trx => beginNextStep(trx, shed.by(minutes), { loadId, version }))
}
/** The plan at a time, held against the validator. */
async function planAt(at: string) {
  const { facts, plan } = await workPlan(shed.db, at)
  expect(faultsOf(facts.workshop, facts.loads, minuteAt(at), plan)).toEqual([])
  return { facts, plan }
}
const clockOf = (minute: number): string => instantAt(minute).slice(11, 16)

describe('a lot with a recipe', () => {
  test('is planned at once in a workshop of which nothing was said yet', async () => {
    const lotId = await lotReady(shed.db, shed.by())
    const { facts, plan } = await planAt(START)
    expect(facts.hoursAreGuessed).toBe(true)
    expect(facts.loads.map(({ id }) => id)).toEqual([`lot:${lotId}:1`])
    expect(plan.problems).toEqual([])
    expect(plan.loads[0]?.lateMin).toBe(0)
    expect(facts.words.loads[`lot:${lotId}:1`]).toMatchObject({ colour: 'true black', bundles: 4, recipe: 'kept' })
  })

  test('needed by a day is needed by the midnight that ends it, on the clock of the workshop', async () => {
    shed = await workshop('America/Vancouver')
    await lotReady(shed.db, shed.by(), { neededBy: '2026-03-08' })
    const { facts } = await planAt(START)
    // Clocks went forward on 8 March 2026 there, so the day after begins at 07:00 UTC (IANA time zone database).
    expect(instantAt(facts.loads[0]?.neededByMin ?? 0)).toBe('2026-03-09T07:00:00.000Z')
  })

  test('too heavy for the largest pot is planned in parts that fit', async () => {
    const lotId = await lotReady(shed.db, shed.by(), { bundles: 12, dryWeightG: 150 })
    const { facts, plan } = await planAt(START)
    const largest = Math.max(...facts.workshop.pots.map(({ usableMl }) => usableMl))
    expect(facts.loads.length).toBeGreaterThan(1)
    expect(facts.loads.every(({ bathMl }) => bathMl <= largest)).toBe(true)
    expect(facts.loads.reduce((sum, { lineNeed }) => sum + lineNeed, 0)).toBe(12)
    expect(facts.words.loads[`lot:${lotId}:1`]?.name).toBe(`Lot ${lotId}, part 1 of ${facts.loads.length}`)
    expect(plan.loads).toHaveLength(facts.loads.length)
  })

  test('with a part that is settled keeps at least so many parts', async () => {
    const lotId = await lotReady(shed.db, shed.by(), { bundles: 12, dryWeightG: 150 })
    const partsAt = async () => (await planAt(START)).facts.loads.length
    const fewest = await partsAt()
    const settled = { startsAt: null, potId: shed.pots[1], agreed: '' }
    const place = { lotId, loadId: null, part: fewest + 1, stepN: 2 }
    await act(shed.db, trx => pinStep(trx, shed.by(), place, settled, 'in Pot 2'))
    expect(await partsAt()).toBeGreaterThan(fewest)
    await act(shed.db, trx => unpinStep(trx, shed.by(1), place, 'left to the plan'))
    expect(await partsAt()).toBe(fewest)
  })

  test('without bundles that may go into a bath is left out', async () => {
    const lotId = await lotReady(shed.db, shed.by(), { bundles: 2 })
    const bundleIds = ((await findLot(shed.db, lotId))?.bundles ?? []).map(({ id }) => id)
    await act(shed.db, trx =>
      openIncident(trx, shed.by(), { lotId, kind: 'unsuitable fibre', bundleIds, whatHappened: 'rotten core' }),
    )
    const { facts } = await planAt(START)
    expect([facts.loads, facts.notPlanned]).toEqual([[], []])
  })
})

describe('a lot without a recipe', () => {
  test('is planned by the usual one', async () => {
    const lotId = await takeInLot(shed.db, shed.by())
    const { facts } = await planAt(START)
    expect(facts.words.loads[`lot:${lotId}:1`]?.recipe).toBe('usual')
  })

  test('that cannot be reckoned is named with the reason', async () => {
    const lotId = await takeInLot(shed.db, shed.by())
    shed.raw.exec("update catalogue set withdrawn_at = '2026-03-01' where id = 'all-purpose-bottled'")
    const { facts } = await planAt(START)
    expect(facts.loads).toEqual([])
    expect(facts.notPlanned[0]).toMatchObject({ lotId, sentence: expect.stringContaining('no recipe yet') })
  })
})

describe('a load under way', () => {
  test('stays where it is, with the times at which its steps really began', async () => {
    const lotId = await lotReady(shed.db, shed.by())
    const loadId = await lay(lotId, shed.pots[0])
    await next(loadId, 300)
    const { plan } = await planAt(later(310))
    const load = plan.loads.find(one => one.loadId === `load:${loadId}`)
    expect(load?.potId).toBe(String(shed.pots[0]))
    expect(load?.steps.slice(0, 2).map(({ state, startMin }) => [state, instantAt(startMin)])).toEqual([
      ['done', START],
      ['under way', later(300)],
    ])
  })

  test('forgets a press that was undone', async () => {
    const loadId = await lay(await lotReady(shed.db, shed.by()), shed.pots[0])
    await next(loadId, 300)
    const version = await versionOf(loadId)
    await act(shed.db, trx => undoLast(trx, shed.by(301), { loadId, version }))
    const { facts } = await planAt(later(310))
    expect(facts.loads[0]?.begunMin.map(instantAt)).toEqual([START])
  })

  test('is gone from the plan once it is done', async () => {
    const loadId = await lay(await lotReady(shed.db, shed.by()), shed.pots[0])
    const steps = (await findLoad(shed.db, loadId))?.steps.length ?? 0
    for (let n = 1; n <= steps; n += 1) await next(loadId, n * 600)
    expect((await planAt(later(steps * 600 + 1))).facts.loads).toEqual([])
  })
})

/** Every planned moment of a workshop's plan, on the wall of Lisbon in winter, which is that of UTC. */
test('nobody lifts anything at night or on a day off', async () => {
  for (let n = 0; n < 5; n += 1) await lotReady(shed.db, shed.by())
  const { plan } = await planAt('2026-03-02T17:20:00.000Z')
  const lifts = plan.loads.flatMap(load => [...load.steps.map(({ startMin }) => startMin), load.doneMin])
  expect(lifts.length).toBeGreaterThan(20)
  expect(lifts.filter(minute => clockOf(minute) < '08:00' || clockOf(minute) > '18:00')).toEqual([])
  expect(lifts.filter(minute => new Date(instantAt(minute)).getUTCDay() === 0)).toEqual([])
})

test('an open load of before, which knows less of its steps, is planned all the same', async () => {
  const loadId = await lay(await lotReady(shed.db, shed.by()), shed.pots[0])
  shed.raw.exec(`drop trigger load_step_stays;
    update load_step set hands = null, hands_minutes = null, at_least_minutes = null, at_most_minutes = null,
      may_stand_overnight = null`)
  const { plan } = await planAt(later(10))
  expect(plan.loads.map(one => one.loadId)).toEqual([`load:${loadId}`])
})

test('a pot that is kept for brights takes no bottled black with iron', async () => {
  const [first] = shed.pots
  const pot = await findPot(shed.db, first)
  if (!pot) throw new Error('no pot')
  await act(shed.db, trx => changePot(trx, shed.by(), first, pot.version, { ...pot, onlyBrights: true, noIron: true }))
  const iron = { substanceId: 'ferrous-sulfate', when: 'after dye' as const, bath: 1, owfPercent: 1 }
  await lotReady(shed.db, shed.by(), { bundles: 2 }, { mordants: [iron] })
  const { facts, plan } = await planAt(START)
  expect(facts.loads[0]).toMatchObject({ iron: true, bright: false })
  expect(plan.loads[0]?.potId).not.toBe(String(first))
  expect(plan.loads).toHaveLength(1)
})

test('lots that went back long ago are not even read', async () => {
  await lotReady(shed.db, shed.by())
  const gone = await lotReady(shed.db, shed.by())
  shed.raw.exec(`update bundle set place = 'ready shelf' where lot_id = ${gone}`)
  const { facts } = await planAt(START)
  expect(facts.loads).toHaveLength(1)
})
