/** Into how many loads each lot is cut, against every way of cutting them. */
import { expect, test } from 'vitest'
import { type Plan, planWork } from '../../src/domain/plan.js'
import { loadsOf, planCuts, type Ways } from '../../src/domain/plan-cuts.js'
import type { PlanWorkshop } from '../../src/domain/plan-input.js'
import { cutsOf, MONDAY, WORKSHOP, workshopLoads } from './instances.js'
import { faultsOf } from './validator.js'

const DAY = 1440
/** The largest pot is out of use for ten days. */
const leaking: PlanWorkshop = {
  ...WORKSHOP,
  pots: WORKSHOP.pots.map(pot =>
    pot.id === '3' ? { ...pot, outOfUse: [{ fromMin: MONDAY, toMin: MONDAY + 10 * DAY }] } : pot,
  ),
}

type Burden = [problems: number, lateLots: number, lateMin: number]
const burden = ({ problems, score }: Plan): Burden => [problems.length, score.late, score.lateMin]
const isWorse = (a: Burden, b: Burden): boolean => {
  const k = a.findIndex((own, index) => own !== b[index])
  return k >= 0 && (a[k] ?? 0) > (b[k] ?? 0)
}

/** Every choice of a way for each of the lots. */
const choices = (lots: readonly Ways[]): number[][] =>
  lots.reduce<number[][]>((so, ways) => so.flatMap(chosen => ways.map((_, way) => [...chosen, way])), [[]])

test('lots are cut into more loads where that makes fewer late, at most one more than the best of all ways of cutting', () => {
  let asGood = 0
  let better = 0
  for (let seed = 1; seed <= 12; seed += 1) {
    const loads = workshopLoads(seed, 7)
    const [settled, lots] = [loads.slice(3), loads.slice(0, 3).map(cutsOf)]
    const found = planCuts(leaking, settled, lots, MONDAY)
    const all = [...settled, ...loadsOf(lots, found.chosen)]
    expect(faultsOf(leaking, all, MONDAY, found.plan)).toEqual([])
    const every = choices(lots).map(chosen => {
      const plan = planWork(leaking, [...settled, ...loadsOf(lots, chosen)], MONDAY, { effort: 300 })
      return burden(plan)
    })
    const best = every.reduce((least, one) => (isWorse(least, one) ? one : least))
    const whole = burden(planWork(leaking, [...settled, ...loadsOf(lots, [])], MONDAY))
    const own = burden(found.plan)
    expect(isWorse(own, whole), `seed ${seed}`).toBe(false)
    if (isWorse(whole, own)) better += 1
    expect(own[0]).toBe(0)
    expect(own[1], `seed ${seed}`).toBeLessThanOrEqual(best[1] + 1)
    if (own[1] <= best[1]) asGood += 1
  }
  // The same in every run: what is known of it, to be bettered.
  expect({ better, asGood }).toEqual({ better: 12, asGood: 10 })
})
