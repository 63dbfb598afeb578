import { expect, test } from 'vitest'
import { planWork } from '../../src/domain/plan.js'
import { bestFigures } from './exhaustive.js'
import { DAYS, MIDNIGHT, tiny } from './tiny.js'
import { faultsOf, figuresOf } from './validator.js'

test('tiny workshops are planned as well as by trying every plan', () => {
  const seen = { late: 0, crowded: 0 }
  for (let seed = 1; seed <= 20; seed += 1) {
    const { workshop, loads } = tiny(seed)
    const plan = planWork(workshop, loads, MIDNIGHT)
    expect(faultsOf(workshop, loads, MIDNIGHT, plan), `seed ${seed}`).toEqual([])
    const whole =
      plan.problems.length === 0 ? loads : loads.filter(one => plan.loads.some(got => got.loadId === one.id))
    const best = bestFigures(workshop, whole, MIDNIGHT, DAYS)
    expect(figuresOf(workshop, loads, MIDNIGHT, plan), `seed ${seed}`).toEqual(best)
    if (best.late > 0) seen.late += 1
    if (best.crowdedMin > 0) seen.crowded += 1
  }
  // The cases are worth something only while some of them cannot be had on time, and some cannot be calm.
  expect(seen.late).toBeGreaterThan(10)
  expect(seen.crowded).toBeGreaterThan(0)
}, 200_000)
