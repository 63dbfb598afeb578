import { expect, test } from 'vitest'
import { workEvents } from '../../src/domain/calendar-events.js'
import { planWork } from '../../src/domain/plan.js'
import { actsOf } from '../../src/domain/plan-acts.js'
import { minuteAt } from '../../src/domain/plan-input.js'
import { load, MONDAY, numbered, WORKSHOP } from '../planner/instances.js'

const at = (utc: string): number => minuteAt(`2026-03-${utc}:00Z`)
const steps = numbered([
  { title: 'Soak', place: 'soak tub', minutes: 120, standAtMostMinutes: 600, handsLastMinutes: 15 },
  { title: 'Dye', place: 'pot', minutes: 90, heat: true, handsFirstMinutes: 20, standAtMostMinutes: 60 },
  { title: 'Dry', place: 'drying line', minutes: 1440, standAtMostMinutes: null, handsLastMinutes: 10 },
])
const loads = [load('1', steps)]
const plan = planWork(WORKSHOP, loads, MONDAY)
const names = { load: (id: string) => `Load ${id}`, pot: (id: string) => `Pot ${id}` }

test('hands are wanted before a lift for the end of one step, and after it for the beginning of the next', () => {
  const told = actsOf(plan, loads, names).map(({ atMin, handsFromMin, handsToMin, hotUntilMin }) => [
    atMin,
    handsFromMin,
    handsToMin,
    hotUntilMin,
  ])
  expect(told).toEqual([
    [at('02T09:00'), at('02T09:00'), at('02T09:00'), null],
    [at('02T11:00'), at('02T10:45'), at('02T11:20'), at('02T12:30')],
    [at('02T12:30'), at('02T12:30'), at('02T12:30'), null],
    [at('03T12:30'), at('03T12:20'), at('03T12:30'), null],
  ])
})

test('the calendar has all of that time, and ten minutes at least', () => {
  const events = workEvents(plan, loads, { ...names, uid: id => id, about: () => '' })
  expect(events.map(({ when }) => when)).toEqual([
    { startsAt: '2026-03-02T09:00:00.000Z', endsAt: '2026-03-02T09:10:00.000Z' },
    { startsAt: '2026-03-02T10:45:00.000Z', endsAt: '2026-03-02T12:30:00.000Z' },
    { startsAt: '2026-03-02T12:30:00.000Z', endsAt: '2026-03-02T12:40:00.000Z' },
    { startsAt: '2026-03-03T12:20:00.000Z', endsAt: '2026-03-03T12:30:00.000Z' },
  ])
})
