import { expect, test } from 'vitest'
import { askedDay } from '../../src/domain/asked-day.js'
import { planWork } from '../../src/domain/plan.js'
import { planChanges } from '../../src/domain/plan-change.js'
import { dayAt, endOfDay } from '../../src/domain/plan-promise.js'
import { MONDAY, WORKSHOP, workshopLoads } from './instances.js'
import { faultsOf } from './validator.js'

const { timeZone } = WORKSHOP
const TODAY = dayAt(MONDAY, timeZone)

test('a day that is promised is kept by the plan that follows: nobody moves, or those who do stay within their day', () => {
  let sooner = 0
  for (let seed = 1; seed <= 5; seed += 1) {
    const [newcomer, ...loads] = workshopLoads(seed, 12)
    if (newcomer === undefined) throw new Error('no load')
    const before = planWork(WORKSHOP, loads, MONDAY)
    const asked = askedDay(WORKSHOP, loads, MONDAY, before, [newcomer], TODAY, { effort: 500 })
    const { earliest, byMoving } = asked
    if (earliest === null) throw new Error('no day')
    const added = { ...newcomer, neededByMin: null }
    const grown = planWork(WORKSHOP, [...loads, added], MONDAY, { effort: 0, from: before })
    expect(faultsOf(WORKSHOP, [...loads, added], MONDAY, grown)).toEqual([])
    expect(dayAt(grown.loads.find(one => one.loadId === newcomer.id)?.doneMin ?? 0, timeZone)).toBe(earliest)
    expect(planChanges(before, grown, timeZone).filter(({ loadId }) => loadId !== newcomer.id)).toEqual([])
    if (byMoving === null) continue
    sooner += 1
    expect(byMoving.day < earliest).toBe(true)
    for (const { loadId, doneDay } of byMoving.changes) {
      const was = before.loads.find(one => one.loadId === loadId)
      const due = Math.max(was?.doneMin ?? 0, loads.find(({ id }) => id === loadId)?.neededByMin ?? 0)
      expect(endOfDay(doneDay ?? '', timeZone) - 1440, `seed ${seed}, ${loadId}`).toBeLessThanOrEqual(due)
    }
  }
  // It says something only while some earlier day is found.
  expect(sooner).toBeGreaterThan(0)
})

test('nobody is done later for the sake of a calmer day, where the plan so far is kept to', () => {
  const later = { kept: 0, free: 0 }
  for (let seed = 1; seed <= 8; seed += 1) {
    const all = workshopLoads(seed, 12).map(load => ({ ...load, neededByMin: MONDAY + 60 * 1440 }))
    const before = planWork(WORKSHOP, all.slice(2), MONDAY, { effort: 0 })
    const countLater = (keepTo?: typeof before) => {
      const after = planWork(WORKSHOP, all, MONDAY, { from: before, ...(keepTo && { keepTo }) })
      expect(faultsOf(WORKSHOP, all, MONDAY, after)).toEqual([])
      expect(after.score.late).toBe(0)
      const was = new Map(before.loads.map(({ loadId, doneMin }) => [loadId, doneMin]))
      return after.loads.filter(({ loadId, doneMin }) => doneMin > (was.get(loadId) ?? doneMin)).length
    }
    later.kept += countLater(before)
    later.free += countLater()
  }
  expect(later.kept).toBe(0)
  // Without that, some are: else this would say nothing.
  expect(later.free).toBeGreaterThan(0)
})
