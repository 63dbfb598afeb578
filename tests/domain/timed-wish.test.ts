import { describe, expect, test } from 'vitest'
import { instantAt } from '../../src/domain/plan-input.js'
import { sayTimedWish, type TimedWish, whyNoTimedWish, wishSpans } from '../../src/domain/timed-wish.js'

const any: TimedWish = {
  weekdays: [],
  fromDay: null,
  toDay: null,
  yearly: false,
  fromClock: null,
  toClock: null,
  words: '',
}
const LISBON = 'Europe/Lisbon'
const said = (wish: TimedWish, from: string, to: string, zone = LISBON) =>
  wishSpans([wish], from, to, zone).map(
    span => `${instantAt(span.fromMin).slice(0, 16)} ${instantAt(span.toMin).slice(0, 16)}`,
  )

describe('the spans of a wish', () => {
  test('are whole days on the wall of the workshop, also of 23 and 25 hours', () => {
    const sundays = { ...any, weekdays: [0] }
    // Clocks go forward on 29 March and back on 25 October 2026 (Directive 2000/84/EC).
    expect(said(sundays, '2026-03-23', '2026-04-05')).toEqual([
      '2026-03-29T00:00 2026-03-29T23:00',
      '2026-04-04T23:00 2026-04-05T23:00',
    ])
    expect(said(sundays, '2026-10-20', '2026-10-26')).toEqual(['2026-10-24T23:00 2026-10-26T00:00'])
  })

  test('run over the new year, each year, as one', () => {
    const holiday = { ...any, fromDay: '2026-12-20', toDay: '2027-01-06', yearly: true }
    expect(said(holiday, '2026-12-01', '2028-01-31')).toEqual([
      '2026-12-20T00:00 2027-01-07T00:00',
      '2027-12-20T00:00 2028-01-07T00:00',
    ])
    expect(said({ ...holiday, yearly: false }, '2026-12-01', '2028-01-31')).toEqual([
      '2026-12-20T00:00 2027-01-07T00:00',
    ])
    expect(said(holiday, '2027-01-03', '2027-02-01')).toEqual(['2027-01-02T00:00 2027-01-07T00:00'])
  })

  test('with hours begin in the evening and reach into the morning', () => {
    const dark = { ...any, fromClock: '18:00', toClock: '08:00', weekdays: [5] }
    expect(said(dark, '2026-01-03', '2026-01-09')).toEqual([
      '2026-01-02T18:00 2026-01-03T08:00',
      '2026-01-09T18:00 2026-01-10T08:00',
    ])
    expect(said({ ...any, fromClock: '12:00', toClock: '13:00' }, '2026-01-05', '2026-01-05')).toEqual([
      '2026-01-05T12:00 2026-01-05T13:00',
    ])
  })

  test('a week of weekdays next to each other is one span', () => {
    expect(said({ ...any, weekdays: [0, 6] }, '2026-01-05', '2026-01-11')).toEqual([
      '2026-01-10T00:00 2026-01-12T00:00',
    ])
  })
})

test('is said in a sentence', () => {
  expect(sayTimedWish({ ...any, weekdays: [0], words: 'a day of rest' })).toBe('Nothing on Sundays: a day of rest')
  expect(sayTimedWish({ ...any, weekdays: [0, 1, 6], fromClock: '18:00', toClock: '08:00' })).toBe(
    'Nothing on Sundays, Mondays and Saturdays, between 18:00 and 08:00.',
  )
  expect(sayTimedWish({ ...any, fromDay: '2026-12-20', toDay: '2027-01-06', yearly: true })).toBe(
    'Nothing from 20 Dec to 6 Jan each year.',
  )
  expect(sayTimedWish({ ...any, fromDay: '2026-12-24', toDay: '2026-12-24' })).toBe('Nothing on Thu 24 Dec 2026.')
})

test.each([
  [{}, 'weekdays'],
  [{ weekdays: [0, 1, 2, 3, 4, 5, 6] }, 'weekdays'],
  [{ fromDay: '2026-12-20' }, 'toDay'],
  [{ toDay: '2026-12-20' }, 'fromDay'],
  [{ fromClock: '18:00' }, 'toClock'],
  [{ fromClock: '18:00', toClock: '18:00' }, 'toClock'],
  [{ fromDay: '2026-01-01', toDay: '2026-12-31', yearly: true }, 'toDay'],
])('%o is no wish: %s', (but, field) => {
  expect(whyNoTimedWish({ ...any, ...but })?.field).toBe(field)
})
