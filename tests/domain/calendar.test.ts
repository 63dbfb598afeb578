import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addDays, dayFrom, daysBetween, isDay, sayDay, sayLapse, weekdayOf } from '../../src/domain/day.js'

const someDay = fc.integer({ min: 0, max: 110_000 }).map(days => addDays('1900-01-01', days))

describe('days', () => {
  test.each([
    ['2026-12-05', true],
    ['2024-02-29', true],
    ['2000-02-29', true],
    ['2026-02-29', false],
    ['1900-02-29', false], // Gregorian rule: hundreds are leap years only by four hundred
    ['2026-04-31', false],
    ['2026-13-01', false],
    ['2026-00-10', false],
    ['2026-01-00', false],
    ['2026-1-05', false],
    ['x2026-01-05', false],
    ['2026-01-05T00:00Z', false],
    ['', false],
  ])('“%s” is a day: %s', (text, expected) => expect(isDay(text)).toBe(expected))

  test('from numbers', () => {
    expect(dayFrom(2026, 3, 9)).toBe('2026-03-09')
    expect(dayFrom(800, 12, 25)).toBe('0800-12-25')
    expect(dayFrom(2026, 2, 30)).toBeUndefined()
    expect(dayFrom(2026, 1.5, 3)).toBeUndefined()
    expect(dayFrom(12026, 1, 3)).toBeUndefined()
  })

  test('known weekdays: 1 January 2000 was a Saturday, 29 February 2024 a Thursday', () => {
    expect([weekdayOf('2000-01-01'), weekdayOf('2024-02-29'), weekdayOf('2026-12-06')]).toEqual([6, 4, 0])
  })

  test('adding crosses months, leap days and years', () => {
    expect(addDays('2026-12-31', 1)).toBe('2027-01-01')
    expect(addDays('2024-03-01', -1)).toBe('2024-02-29')
    expect(addDays('2026-03-01', -1)).toBe('2026-02-28')
    expect(daysBetween('2026-03-28', '2026-03-30')).toBe(2)
    expect(daysBetween('2026-03-30', '2026-03-28')).toBe(-2)
    expect(() => addDays('2026-02-30', 1)).toThrow('not a day: 2026-02-30')
  })

  test('there and back', () => {
    fc.assert(
      fc.property(someDay, fc.integer({ min: -20_000, max: 20_000 }), (day, days) => {
        const other = addDays(day, days)
        expect(daysBetween(day, other)).toBe(days)
        expect((weekdayOf(day) + (days % 7) + 7) % 7).toBe(weekdayOf(other))
      }),
      { numRuns: 100 },
    )
  })

  test('said in every month and on every weekday', () => {
    const firsts = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12].map(month => sayDay(dayFrom(2026, month, month + 4) ?? ''))
    expect(firsts).toEqual([
      'Mon 5 Jan 2026',
      'Fri 6 Feb 2026',
      'Sat 7 Mar 2026',
      'Wed 8 Apr 2026',
      'Sat 9 May 2026',
      'Wed 10 Jun 2026',
      'Sat 11 Jul 2026',
      'Wed 12 Aug 2026',
      'Sun 13 Sep 2026',
      'Wed 14 Oct 2026',
      'Sun 15 Nov 2026',
      'Wed 16 Dec 2026',
    ])
    expect([sayDay('2026-12-01'), sayDay('2026-12-03')]).toEqual(['Tue 1 Dec 2026', 'Thu 3 Dec 2026'])
  })
})

describe('a lapse of time', () => {
  test.each([
    [0, '0 min'],
    [0.3, 'under a minute'],
    [0.5, '1 min'],
    [45, '45 min'],
    [59.4, '59 min'],
    [59.6, '1 h'],
    [60, '1 h'],
    [200, '3 h 20 min'],
    [1439, '23 h 59 min'],
    [1439.7, '1 day'],
    [1440, '1 day'],
    [1470, '1 day 1 h'],
    [1469, '1 day'],
    [2880, '2 days'],
    [3060, '2 days 3 h'],
    [7 * 1440 - 31, '6 days 23 h'],
    [7 * 1440 - 29, '7 days'],
    [7 * 1440 + 300, '7 days'],
    [30 * 1440, '30 days'],
    [-20, '−20 min'],
  ])('%d min is “%s”', (minutes, said) => expect(sayLapse(minutes)).toBe(said))

  test('what is not a number is never said', () => {
    for (const minutes of [Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => sayLapse(minutes)).toThrow('must be finite')
  })
})
