import { expect, test } from 'vitest'
import { planWork } from '../../src/domain/plan.js'
import { minuteAt } from '../../src/domain/plan-input.js'
import { load, numbered, WORKSHOP } from '../planner/instances.js'
import { faultsOf } from '../planner/validator.js'

const at = (utc: string): number => minuteAt(`2026-03-${utc}:00Z`)
const drying = numbered([
  { title: 'Dry', place: 'drying line', minutes: 300, standAtMostMinutes: null, handsLastMinutes: 10 },
])
const dyed = numbered([
  { title: 'Dye', place: 'pot', minutes: 60, standAtMostMinutes: 30 },
  { title: 'Rinse', place: 'rinse', minutes: 60, handsFirstMinutes: 60 },
])
const dry = (id: string) => load(id, drying, { begunMin: [at('02T09:00')] })
const inPot = (id: string, begun: string, more = {}) => load(id, dyed, { begunMin: [at(begun)], potId: id, ...more })
const planAt = (now: number, loads: ReturnType<typeof load>[]) => {
  const plan = planWork(WORKSHOP, loads, now)
  expect(faultsOf(WORKSHOP, loads, now, plan)).toEqual([])
  return plan
}

test('what must be lifted out comes before what may go on hanging', () => {
  // At five nobody is there any more: taking down what is dry first would leave no hour to rinse.
  const now = at('02T15:55')
  const plan = planAt(now, [dry('1'), inPot('2', '02T14:00')])
  expect(plan.loads[1]?.steps[1]?.startMin).toBe(now)
  expect(plan.problems).toEqual([expect.objectContaining({ kind: 'stands too long', loadId: '2' })])
})

test('of two that must be lifted out, the one that stands too long first, whichever was written down first', () => {
  const now = at('02T15:00')
  const plan = planAt(now, [inPot('1', '02T14:40'), inPot('3', '02T13:00')])
  expect(plan.loads.map(({ steps }) => steps[1]?.startMin)).toEqual([at('02T16:00'), now])
})

test('where nothing stands too long, what is further on comes first', () => {
  const now = at('02T14:10')
  const plan = planAt(now, [dry('1'), inPot('2', '02T13:20')])
  expect(plan.loads.map(({ doneMin }) => doneMin)).toEqual([at('02T14:20'), at('02T15:20')])
  expect(plan.problems).toEqual([])
})
