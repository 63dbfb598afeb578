import { describe, expect, test } from 'vitest'
import { planWork } from '../../src/domain/plan.js'
import { loadsOf, planCuts, type Ways } from '../../src/domain/plan-cuts.js'
import type { PlanLoad, PlanWorkshop } from '../../src/domain/plan-input.js'
import { load, MONDAY, numbered, WORKSHOP } from '../planner/instances.js'
import { faultsOf } from '../planner/validator.js'

const DAY = 1440
const dayInPot = numbered([{ title: 'Dye', place: 'pot', minutes: 300, heat: true, handsFirstMinutes: 20 }])
/** One load of 30 L, or two of 15 L: only pot 3 takes the one, pots 2 and 3 the others. */
const lot = (id: string, more: Partial<PlanLoad> = {}): Ways => [
  [load(`${id}:1`, dayInPot, { lot: id, bathMl: 30_000, bright: true, ...more })],
  [1, 2].map(part => load(`${id}:${part}`, dayInPot, { lot: id, bathMl: 15_000, bright: true, ...more })),
]
const outUntil = (toMin: number): PlanWorkshop => ({
  ...WORKSHOP,
  pots: WORKSHOP.pots.map(pot => (pot.id === '3' ? { ...pot, outOfUse: [{ fromMin: MONDAY, toMin }] } : pot)),
})
const within = (days: number) => ({ neededByMin: MONDAY + days * DAY })

function cut(workshop: PlanWorkshop, lots: Ways[], settled: PlanLoad[] = [], from?: ReturnType<typeof planWork>) {
  const found = planCuts(workshop, settled, lots, MONDAY, from === undefined ? {} : { from })
  const all = [...settled, ...loadsOf(lots, found.chosen)]
  expect(faultsOf(workshop, all, MONDAY, found.plan)).toEqual([])
  return found
}

describe('into how many loads a lot is cut', () => {
  test('as few as can be while that is in time, though more would be done sooner', () => {
    const { plan, chosen } = cut(outUntil(MONDAY + 2 * DAY), [lot('a', within(6))])
    expect([chosen, plan.score.late]).toEqual([[0], 0])
  })

  test('more and smaller ones where the large pot would be back too late', () => {
    const { plan, chosen } = cut(outUntil(MONDAY + 7 * DAY), [lot('a', within(4))])
    expect([chosen, plan.score.late]).toEqual([[1], 0])
    expect(plan.loads.map(({ potId }) => potId)).toEqual(['2', '2'])
  })

  test('as few as can be where more would be as late', () => {
    const longAgo = { releaseMin: MONDAY + 9 * DAY, ...within(4) }
    expect(cut(outUntil(MONDAY + 7 * DAY), [lot('a', longAgo)]).chosen).toEqual([0])
  })

  test('only those lots that it helps', () => {
    const lots = [lot('a', within(20)), lot('b', within(4)), lot('c', within(20))]
    const { plan, chosen } = cut(outUntil(MONDAY + 7 * DAY), lots)
    expect([chosen, plan.score.late]).toEqual([[0, 1, 0], 0])
  })

  test('a lot that is in time itself makes room for one that has no other way', () => {
    // Three loads of a day each in the only pot that takes them, all needed within two days.
    const whole = (id: string, neededByMin: number) => load(id, dayInPot, { bathMl: 30_000, neededByMin })
    const others = [whole('1', MONDAY + 540), whole('2', MONDAY + DAY + 540)]
    const tuesday = lot('a', { neededByMin: MONDAY + DAY + 360 })
    const asOne = planWork(WORKSHOP, [...others, ...(tuesday[0] ?? [])], MONDAY)
    expect(asOne.loads.map(({ lateMin }) => lateMin > 0)).toEqual([false, true, false])
    const { plan, chosen } = cut(WORKSHOP, [tuesday], others)
    expect([chosen, plan.score.late]).toEqual([[1], 0])
  })

  test('a lot without loads is no lot of the plan', () => {
    expect(cut(WORKSHOP, [[[]]]).plan.loads).toEqual([])
  })

  test('a lot that the plan so far had cut in the same way stays where it was', () => {
    const workshop = outUntil(MONDAY + 7 * DAY)
    const lots = [lot('a', within(4))]
    const soFar = cut(workshop, lots).plan
    const startOf = (id: string, plan = soFar) => plan.loads.find(({ loadId }) => loadId === id)?.startMin ?? 0
    expect(startOf('a:1')).toBeLessThan(startOf('a:2'))
    const other: Record<string, string> = { 'a:1': 'a:2', 'a:2': 'a:1' }
    const swapped = { ...soFar, loads: soFar.loads.map(one => ({ ...one, loadId: other[one.loadId] ?? one.loadId })) }
    const { plan } = cut(workshop, lots, [], swapped)
    expect([startOf('a:1', plan), startOf('a:2', plan)]).toEqual([startOf('a:2'), startOf('a:1')])
  })
})
