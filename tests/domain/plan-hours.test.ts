/** The dyer's hours, reckoned by hand on a weekday, over a weekend, while away, and on the days when the clocks change. */
import { describe, expect, test } from 'vitest'
import { type Hours, hoursOf } from '../../src/domain/plan-hours.js'
import { instantAt, minuteAt, type PlanWorkshop } from '../../src/domain/plan-input.js'
import { MONDAY, WORKSHOP } from '../planner/instances.js'

/** Monday 2 to Sunday 8 March 2026; London keeps UTC until the 29th. */
const at = (utc: string): number => minuteAt(`2026-03-${utc}:00Z`)
const said = (minute: number): string => (Number.isFinite(minute) ? instantAt(minute).slice(8, 16) : 'never')
const days = (own: PlanWorkshop['hours'][number]): PlanWorkshop['hours'] => [[], own, own, own, own, own, []]
const withNoon: PlanWorkshop = {
  ...WORKSHOP,
  hours: days([
    { from: '13:00', to: '17:00' },
    { from: '09:00', to: '12:00' },
  ]),
}
const hours = hoursOf(withNoon, MONDAY)

describe('the first time at which the dyer is there', () => {
  test.each([
    // from, minutes before it, minutes from it on
    ['02T10:00', 0, 0, '02T10:00'],
    ['02T08:00', 0, 0, '02T09:00'],
    ['02T08:00', 0, 180, '02T09:00'],
    ['02T08:00', 0, 181, '02T13:00'],
    ['02T08:00', 0, 240, '02T13:00'],
    ['02T08:00', 0, 241, 'never'],
    ['02T11:00', 0, 60, '02T11:00'],
    ['02T11:01', 0, 60, '02T13:00'],
    ['02T12:00', 0, 0, '02T12:00'],
    ['02T12:01', 0, 0, '02T13:00'],
    ['02T08:00', 30, 0, '02T09:30'],
    ['02T08:00', 30, 150, '02T09:30'],
    ['02T08:00', 30, 151, '02T13:30'],
    ['02T13:20', 30, 60, '02T13:30'],
    ['02T17:00', 0, 1, '03T09:00'],
    ['06T16:30', 0, 31, '09T09:00'],
    ['06T16:30', 0, 30, '06T16:30'],
  ])('from %s on, %d before and %d after', (from, before, length, found) =>
    expect(said(hours.attend(at(from), before, length))).toBe(found),
  )

  test('hours that touch are one', () => {
    const touching = hoursOf(
      {
        ...WORKSHOP,
        hours: days([
          { from: '12:00', to: '17:00' },
          { from: '09:00', to: '12:00' },
          { from: '10:00', to: '11:00' },
        ]),
      },
      MONDAY,
    )
    expect(said(touching.attend(at('02T08:00'), 0, 480))).toBe('02T09:00')
    expect(touching.attend(at('02T08:00'), 0, 481)).toBe(Number.POSITIVE_INFINITY)
  })

  test('hours past midnight are one with those of the next day', () => {
    const night = hoursOf(
      {
        ...WORKSHOP,
        hours: Array.from({ length: 7 }, () => [
          { from: '00:00', to: '02:00' },
          { from: '22:00', to: '24:00' },
        ]),
      },
      MONDAY,
    )
    expect(said(night.attend(at('02T12:00'), 0, 240))).toBe('02T22:00')
    expect(night.attend(at('02T12:00'), 0, 241)).toBe(Number.POSITIVE_INFINITY)
  })

  test('hours that end before they begin are none', () => {
    const none = hoursOf(
      {
        ...WORKSHOP,
        hours: days([
          { from: '17:00', to: '09:00' },
          { from: '10:00', to: '10:00' },
        ]),
      },
      MONDAY,
    )
    expect(none.attend(MONDAY, 0, 0)).toBe(Number.POSITIVE_INFINITY)
  })
})

describe('the last time at which the dyer is there', () => {
  // Saturday 28 February is the first day that is known: before Monday there is nothing.
  test.each([
    ['02T11:00', 30, '02T11:00'],
    ['02T12:00', 0, '02T12:00'],
    ['02T12:00', 60, '02T11:00'],
    ['02T12:30', 60, '02T11:00'],
    ['02T13:00', 180, '02T13:00'],
    ['02T12:59', 180, '02T09:00'],
    ['02T12:59', 181, 'never'],
    ['03T13:10', 240, '03T13:00'],
    ['03T12:30', 240, '02T13:00'],
    ['09T08:00', 30, '06T16:30'],
    ['02T20:00', 10, '02T16:50'],
  ])('by %s, for %d minutes', (to, length, found) =>
    expect(said(hoursOf(withNoon, at('01T12:00')).attendBy(at(to), length))).toBe(found),
  )
})

describe('working time', () => {
  test.each([
    ['02T09:00', 0, '02T09:00'],
    ['02T20:00', 0, '02T20:00'],
    ['02T09:00', 60, '02T10:00'],
    ['02T08:00', 180, '02T12:00'],
    ['02T08:00', 181, '02T13:01'],
    ['02T11:30', 60, '02T13:30'],
    ['02T16:50', 30, '03T09:20'],
    ['06T16:50', 30, '09T09:20'],
    ['02T09:00', 840, '03T17:00'],
  ])('from %s on, %d minutes of it', (from, minutes, found) => expect(said(hours.after(at(from), minutes))).toBe(found))

  test.each([
    ['02T17:00', 0, '02T17:00'],
    ['02T20:00', 0, '02T20:00'],
    ['02T17:00', 60, '02T16:00'],
    ['02T20:00', 60, '02T16:00'],
    ['02T13:30', 60, '02T11:30'],
    ['02T13:00', 180, '02T09:00'],
    ['03T09:20', 30, '02T16:50'],
    ['09T09:20', 30, '06T16:50'],
    ['02T09:00', 1, 'never'],
  ])('up to %s, %d minutes of it', (to, minutes, found) => expect(said(hours.before(at(to), minutes))).toBe(found))

  test('never, where nobody ever works', () => {
    const none = hoursOf({ ...WORKSHOP, hours: [] }, MONDAY)
    expect(none.after(MONDAY, 1)).toBe(Number.POSITIVE_INFINITY)
    expect(none.before(MONDAY, 1)).toBe(Number.NEGATIVE_INFINITY)
    expect(none.attendBy(MONDAY, 0)).toBe(Number.NEGATIVE_INFINITY)
    expect(none.after(MONDAY, 0)).toBe(MONDAY)
  })
})

describe('days away', () => {
  const away = hoursOf({ ...withNoon, daysAway: [{ from: '2026-03-03', to: '2026-03-05' }] }, MONDAY)
  test('are days without hours, the first and the last included', () => {
    expect(said(away.attend(at('02T16:30'), 0, 60))).toBe('06T09:00')
    expect(said(away.after(at('02T16:30'), 60))).toBe('06T09:30')
    const oneDay = hoursOf({ ...withNoon, daysAway: [{ from: '2026-03-03', to: '2026-03-03' }] }, MONDAY)
    expect(said(oneDay.attend(at('02T16:30'), 0, 60))).toBe('04T09:00')
  })
})

describe('the days of the plan', () => {
  const dayOf = (own: Hours, utc: string) => own.dayIndex(minuteAt(utc))
  test('begin with the day before, at midnight on the wall', () => {
    expect(dayOf(hours, '2026-03-01T00:00Z')).toBe(0)
    expect(dayOf(hours, '2026-03-01T23:59Z')).toBe(0)
    expect(dayOf(hours, '2026-03-02T00:00Z')).toBe(1)
    expect(dayOf(hours, '2026-03-02T23:59Z')).toBe(1)
    expect(dayOf(hours, '2026-04-01T12:00Z')).toBe(31)
  })

  test('have the minutes of their hours', () => {
    dayOf(hours, '2026-03-12T12:00Z')
    expect([0, 1, 2, 6, 7, 8].map(index => hours.dayMinutes(index))).toEqual([0, 420, 420, 0, 0, 420])
    expect(hours.dayMinutes(100_000)).toBe(0)
  })

  // London: clocks go forward on 29 March 2026 at 01:00 UTC, back on 25 October 2026 at 01:00 UTC.
  test('are an hour shorter in spring', () => {
    const spring = hoursOf(withNoon, minuteAt('2026-03-28T12:00Z'))
    expect(dayOf(spring, '2026-03-28T23:59Z')).toBe(1)
    expect(dayOf(spring, '2026-03-29T00:00Z')).toBe(2)
    expect(dayOf(spring, '2026-03-29T22:59Z')).toBe(2)
    expect(dayOf(spring, '2026-03-29T23:00Z')).toBe(3)
    expect(instantAt(spring.attend(minuteAt('2026-03-29T12:00Z'), 0, 0))).toBe('2026-03-30T08:00:00.000Z')
  })

  test('are an hour longer in autumn', () => {
    const autumn = hoursOf(withNoon, minuteAt('2026-10-24T12:00Z'))
    expect(dayOf(autumn, '2026-10-24T22:59Z')).toBe(1)
    expect(dayOf(autumn, '2026-10-24T23:00Z')).toBe(2)
    expect(dayOf(autumn, '2026-10-25T23:59Z')).toBe(2)
    expect(dayOf(autumn, '2026-10-26T00:00Z')).toBe(3)
    expect(instantAt(autumn.attend(minuteAt('2026-10-25T12:00Z'), 0, 0))).toBe('2026-10-26T09:00:00.000Z')
  })

  test('are those of the wall in a zone far from Greenwich', () => {
    const far = hoursOf({ ...withNoon, timeZone: 'Pacific/Auckland' }, minuteAt('2026-06-01T20:00Z'))
    // 08:00 on Tuesday 2 June in Auckland, twelve hours ahead in winter: the first day is the Monday.
    expect(instantAt(far.attend(minuteAt('2026-06-01T20:00Z'), 0, 0))).toBe('2026-06-01T21:00:00.000Z')
    expect(dayOf(far, '2026-06-01T11:59Z')).toBe(0)
    expect(dayOf(far, '2026-06-01T12:00Z')).toBe(1)
  })
})

test('nothing is planned further ahead than a thousand days', () => {
  expect(hours.endMin).toBe(MONDAY + 1000 * 1440)
  const late = hoursOf({ ...withNoon, daysAway: [{ from: '2026-01-01', to: '2028-10-01' }] }, MONDAY)
  expect(instantAt(late.attend(MONDAY, 0, 0))).toBe('2028-10-02T08:00:00.000Z')
  const gone = hoursOf({ ...withNoon, daysAway: [{ from: '2026-01-01', to: '2030-01-01' }] }, MONDAY)
  expect(gone.attend(MONDAY, 0, 0)).toBe(Number.POSITIVE_INFINITY)
})
