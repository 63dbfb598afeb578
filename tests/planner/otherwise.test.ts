import { expect, test } from 'vitest'
import { type Plan, planWork } from '../../src/domain/plan.js'
import type { PlanLoad } from '../../src/domain/plan-input.js'
import { MONDAY, WORKSHOP, workshopLoads } from './instances.js'
import { faultsOf } from './validator.js'

test.each([
  ['Europe/London', Date.UTC(2026, 2, 27, 9)],
  ['Europe/London', Date.UTC(2026, 9, 22, 9)],
  ['America/New_York', Date.UTC(2026, 2, 5, 14)],
  ['America/New_York', Date.UTC(2026, 9, 30, 14)],
  ['Australia/Lord_Howe', Date.UTC(2026, 9, 1, 1)],
])('plans over the change of the clocks hold on the wall: %s', (timeZone, startMs) => {
  const now = startMs / 60_000
  const moved = (load: PlanLoad): PlanLoad => ({
    ...load,
    releaseMin: load.releaseMin + now - MONDAY,
    neededByMin: (load.neededByMin ?? 0) + now - MONDAY,
  })
  const loads = workshopLoads(7, 15).map(moved)
  for (const more of [{}, { hands: 2, sinks: 2 }, { soakTubs: 0 }]) {
    const workshop = { ...WORKSHOP, ...more, timeZone }
    const plan = planWork(workshop, loads, now, { effort: 600 })
    expect(faultsOf(workshop, loads, now, plan)).toEqual([])
    expect(plan.loads.length).toBe(loads.length)
  }
})

/** The loads as they stand at `now` when everything went by the plan; what is done is gone. */
const standing = (loads: readonly PlanLoad[], plan: Plan, now: number): PlanLoad[] =>
  loads.flatMap(load => {
    const planned = plan.loads.find(one => one.loadId === load.id)
    if (planned === undefined || planned.doneMin <= now) return []
    const begunMin = planned.steps.map(step => step.startMin).filter(start => start <= now)
    return { ...load, begunMin, potId: begunMin.length > 0 ? planned.potId : null }
  })

test('day after day, when a step runs over or a pot breaks, the rest is planned anew around what has begun', () => {
  for (let seed = 1; seed <= 4; seed += 1) {
    let loads = workshopLoads(seed, 14)
    let plan = planWork(WORKSHOP, loads, MONDAY, { effort: 600 })
    for (let day = 1; day <= 6; day += 1) {
      const now = MONDAY + day * 1440 + 37 * day
      loads = standing(loads, plan, now)
      const outOfUse = day % 3 === 0 ? [{ fromMin: now, toMin: now + 2880 }] : []
      const workshop = { ...WORKSHOP, pots: WORKSHOP.pots.map((pot, n) => (n === 0 ? { ...pot, outOfUse } : pot)) }
      plan = planWork(workshop, loads, now, { effort: 600, from: plan })
      expect(faultsOf(workshop, loads, now, plan), `seed ${seed}, day ${day}`).toEqual([])
      expect(plan.loads.length).toBe(loads.length)
    }
  }
})
