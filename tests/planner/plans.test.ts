import { describe, expect, test } from 'vitest'
import { type Plan, planWork } from '../../src/domain/plan.js'
import { atLeast } from './bounds.js'
import { gapInstances, MONDAY, WORKSHOP } from './instances.js'
import { asLoads, asWorkshop, JOB_SHOPS } from './job-shop.js'
import { faultsOf } from './validator.js'

describe('sixty workshops of 20 to 60 loads', () => {
  const results = gapInstances().map(({ seed, loads }) => ({ seed, loads, plan: planWork(WORKSHOP, loads, MONDAY) }))

  test('every plan can be carried out, and plans every load', () => {
    for (const { seed, loads, plan } of results) {
      expect(faultsOf(WORKSHOP, loads, MONDAY, plan), `seed ${seed}`).toEqual([])
      expect(plan.loads.length, `seed ${seed}`).toBe(loads.length)
    }
  })

  test('no plan betters the bound, and most have as few late as can be', () => {
    let [late, fewest, asFew] = [0, 0, 0]
    for (const { seed, loads, plan } of results) {
      const bound = atLeast(WORKSHOP, loads, MONDAY)
      expect(plan.score.late, `seed ${seed}`).toBeGreaterThanOrEqual(bound.late)
      expect(plan.score.lateMin, `seed ${seed}`).toBeGreaterThanOrEqual(bound.lateMin)
      late += plan.score.late
      fewest += bound.late
      if (plan.score.late === bound.late) asFew += 1
    }
    // As measured when this was written: 519 late where 433 must be, and as few as can be in 40 workshops.
    expect(late).toBeLessThanOrEqual(fewest * 1.25)
    expect(asFew).toBeGreaterThanOrEqual(35)
  })

  test('no moment could be a minute earlier by itself', () => {
    for (const { loads, plan } of results.slice(0, 2)) {
      for (const [index, load] of plan.loads.entries()) {
        for (const step of load.steps.filter(one => one.why.kind !== 'room' && one.why.kind !== 'no sooner')) {
          const faults = faultsOf(WORKSHOP, loads, MONDAY, withEarlier(plan, index, step.n))
          expect(
            faults.filter(fault => !fault.includes('wrong end')).length,
            `${load.loadId}.${step.n}`,
          ).toBeGreaterThan(0)
        }
      }
    }
  })
})

/** The same plan, but one step of one load begins a minute earlier. */
function withEarlier(plan: Plan, index: number, n: number): Plan {
  const loads = plan.loads.slice(index, index + 1).map(load => ({
    ...load,
    steps: load.steps.map(step =>
      step.n === n
        ? { ...step, startMin: step.startMin - 1, endMin: step.endMin - 1 }
        : step.n === n - 1
          ? { ...step, leaveMin: step.leaveMin - 1 }
          : step,
    ),
  }))
  return { ...plan, loads: [...plan.loads.slice(0, index), ...loads, ...plan.loads.slice(index + 1)] }
}

test('the validator sees what is wrong', () => {
  const [first] = gapInstances()
  if (first === undefined) throw new Error('no workshop')
  const plan = planWork(WORKSHOP, first.loads, MONDAY)
  const night = { ...WORKSHOP, hours: WORKSHOP.hours.map(() => [{ from: '20:00', to: '23:00' }]) }
  const faultsIn = (workshop: typeof WORKSHOP) => faultsOf(workshop, first.loads, MONDAY, plan).join('\n')
  expect(faultsIn(night)).toContain('when nobody is there')
  expect(faultsIn({ ...WORKSHOP, lineRoom: 7 })).toContain('drying line')
  expect(faultsIn({ ...WORKSHOP, soakTubs: 1 })).toContain('soak tubs')
  expect(faultsIn({ ...WORKSHOP, hands: 0 })).toContain('hands')
  expect(faultsIn({ ...WORKSHOP, scourMinutes: 6000 })).toContain('is not scoured')
  expect(faultsIn({ ...WORKSHOP, pots: WORKSHOP.pots.map(pot => ({ ...pot, usableMl: 1 })) })).toContain(
    'must not go into',
  )
  const impatient = first.loads.map(load => ({
    ...load,
    steps: load.steps.map(step => ({ ...step, standAtMostMinutes: 0 })),
  }))
  expect(faultsOf(WORKSHOP, impatient, MONDAY, plan).join('\n')).toContain('longer than it may')
})

describe('job shops from the literature', () => {
  test.each(JOB_SHOPS.map(shop => [shop.name, shop] as const))(
    '%s: all on time for what the engine reaches',
    (_, shop) => {
      const over = { ft06: 0, la01: 0, la06: 0, la02: 0.06, la16: 0.09, ft10: 0.13 }[shop.name] ?? 0
      const workshop = asWorkshop(shop)
      const loads = asLoads(shop, Math.floor(shop.optimum * (1 + over)))
      const plan = planWork(workshop, loads, 0, { effort: 40_000 })
      expect(faultsOf(workshop, loads, 0, plan)).toEqual([])
      expect(plan.score.late).toBe(0)
      expect(Math.max(...plan.loads.map(load => load.doneMin))).toBeGreaterThanOrEqual(shop.optimum)
    },
  )
})
