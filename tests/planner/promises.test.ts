import { expect, test } from 'vitest'
import { planWork } from '../../src/domain/plan.js'
import { earliestPromise } from '../../src/domain/plan-promise.js'
import { MONDAY, WORKSHOP, workshopLoads } from './instances.js'
import { faultsOf } from './validator.js'

test('a promise is kept by the plan that follows, and no other load moves for it', () => {
  for (let seed = 1; seed <= 5; seed += 1) {
    const [newcomer, ...loads] = workshopLoads(seed, 12)
    if (newcomer === undefined) throw new Error('no load')
    const before = planWork(WORKSHOP, loads, MONDAY)
    const { asPlanned, byMoving } = earliestPromise(WORKSHOP, loads, MONDAY, before, newcomer, { effort: 500 })
    if (asPlanned === null) throw new Error('no day')
    const grown = { ...before, loads: [...before.loads, asPlanned.planned] }
    const faults = faultsOf(WORKSHOP, [...loads, newcomer], MONDAY, grown)
    expect(faults.filter(fault => !fault.includes('lateness') && !fault.includes('score'))).toEqual([])
    if (byMoving !== null) expect(byMoving.day < asPlanned.day).toBe(true)
  }
})
