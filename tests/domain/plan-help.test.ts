import { expect, test } from 'vitest'
import type { PlannedLoad, PlannedStep } from '../../src/domain/plan.js'
import { helpForLate, keptBy } from '../../src/domain/plan-help.js'
import type { Reason } from '../../src/domain/plan-reason.js'

const step = (why: Reason): PlannedStep => ({
  n: 1,
  title: 'Dye',
  place: 'pot',
  potId: '1',
  startMin: 100,
  endMin: 160,
  leaveMin: 160,
  state: 'planned',
  why,
})
const late = (why: Reason, longestInTheWay: PlannedLoad['longestInTheWay'], lateMin: number): PlannedLoad => ({
  loadId: '1',
  potId: '1',
  steps: [step(why)],
  startMin: 100,
  doneMin: 160,
  whyDone: { kind: 'previous', stepN: 1, untilMin: 160 },
  longestInTheWay,
  neededByMin: 160 - lateMin,
  lateMin,
})
const night: Reason = { kind: 'hours', fromMin: 100, heat: false, needMinutes: 0, beforeMinutes: 0, after: null }
const pin: Reason = { kind: 'pin', startMin: 100, againstWish: false }
const taken = (loadIds: string[]): Reason => ({ kind: 'taken', place: 'pot', potId: '1', loadIds, untilMin: 90 })
const waited = (minutes: number, loadIds = ['2']) => ({ reason: taken(loadIds), minutes })

test.each([
  ['what was longest in its way, where that is a good part of its lateness', night, waited(240), 300, taken(['2'])],
  ['not what kept it for moments', night, waited(10), 3000, night],
  ['what is settled of it before anything else', pin, waited(240), 300, pin],
  ['nothing, where it simply takes so long', { kind: 'now' } as Reason, null, 300, null],
])('a late load is kept by %s', (_, why, longest, lateMin, kept) => {
  expect(keptBy(late(why, longest, lateMin))).toEqual(kept)
})

test('a pot that is out of use is helped where its coming back is said, a taken one by making room', () => {
  expect(helpForLate(late(night, waited(240, []), 300)).to).toBe('otherwise')
  expect(helpForLate(late(night, waited(240), 300)).to).toBe('working days')
})
