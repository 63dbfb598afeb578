import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addDays, clockOf, dayOf, isTimeZone, localToUtc, sayTime } from '../../src/domain/day.js'

test('the day and the clock on the wall', () => {
  expect(dayOf('2026-12-05T07:59:00Z', 'America/Vancouver')).toBe('2026-12-04')
  expect(dayOf('2026-12-05T08:00:00Z', 'America/Vancouver')).toBe('2026-12-05')
  expect(dayOf('2026-12-05T10:59:59.999Z', 'Pacific/Auckland')).toBe('2026-12-05')
  expect(dayOf('2026-12-05T11:00:00Z', 'Pacific/Auckland')).toBe('2026-12-06')
  expect(clockOf('2026-12-05T00:05:30Z', 'UTC')).toBe('00:05')
  expect(clockOf('2026-12-05T23:59:59Z', 'Asia/Kolkata')).toBe('05:29')
  expect(() => dayOf('yesterday', 'UTC')).toThrow('not an instant: yesterday')
})

test('time zones that exist', () => {
  expect(['UTC', 'Europe/London', 'Asia/Kathmandu'].map(isTimeZone)).toEqual([true, true, true])
  expect(['', 'Middle/Earth', 'x'.repeat(10_000)].map(isTimeZone)).toEqual([false, false, false])
})

test.each([
  ['2026-12-05T14:05:00Z', 'today 14:05'],
  ['2026-12-04T21:30:00Z', 'yesterday 21:30'],
  ['2026-12-06T09:00:00Z', 'tomorrow 09:00'],
  ['2026-12-03T21:30:00Z', 'Thu 3 Dec 21:30'],
  ['2026-01-01T00:00:00Z', 'Thu 1 Jan 00:00'],
  ['2025-12-31T23:59:00Z', 'Wed 31 Dec 2025 23:59'],
])('%s is “%s” on Saturday 5 December 2026', (at, said) => {
  expect(sayTime(at, 'UTC', '2026-12-05')).toBe(said)
})

test('near days are those of the wall, not of UTC', () => {
  expect(sayTime('2026-12-05T07:30:00Z', 'America/Vancouver', '2026-12-05')).toBe('yesterday 23:30')
  expect(sayTime('2026-12-31T23:30:00Z', 'Europe/Berlin', '2026-12-31')).toBe('tomorrow 00:30')
})

const wallAt = (utc: string, timeZone: string): string => `${dayOf(utc, timeZone)} ${clockOf(utc, timeZone)}`

/** Every quarter of an hour for a day before and after. */
const instantsAround = (utc: string): string[] =>
  Array.from({ length: 193 }, (_, i) => new Date(Date.parse(utc) + (i - 96) * 900_000).toISOString())

describe('from the wall to UTC (rules of summer time: IANA time zone database)', () => {
  test.each([
    ['2026-01-15', '12:00', 'Europe/London', '2026-01-15T12:00:00.000Z'],
    ['2026-07-15', '12:00', 'Europe/London', '2026-07-15T11:00:00.000Z'],
    ['2026-07-15', '12:00', 'Asia/Kathmandu', '2026-07-15T06:15:00.000Z'],
    ['2026-07-15', '00:30', 'Pacific/Auckland', '2026-07-14T12:30:00.000Z'],
    ['2026-07-14', '23:30', 'America/Vancouver', '2026-07-15T06:30:00.000Z'],
    // Clocks go forward: 29 March 2026 at 01:00 in London, 8 March 2026 at 02:00 in New York.
    ['2026-03-29', '00:59', 'Europe/London', '2026-03-29T00:59:00.000Z'],
    ['2026-03-29', '01:30', 'Europe/London', '2026-03-29T01:30:00.000Z'],
    ['2026-03-29', '02:00', 'Europe/London', '2026-03-29T01:00:00.000Z'],
    ['2026-03-08', '02:30', 'America/New_York', '2026-03-08T07:30:00.000Z'],
    ['2026-03-08', '03:30', 'America/New_York', '2026-03-08T07:30:00.000Z'],
    ['2026-03-08', '01:59', 'America/New_York', '2026-03-08T06:59:00.000Z'],
    // Clocks go back: 25 October 2026 at 02:00 in London, 1 November 2026 at 02:00 in New York.
    ['2026-10-25', '00:59', 'Europe/London', '2026-10-24T23:59:00.000Z'],
    ['2026-10-25', '01:30', 'Europe/London', '2026-10-25T00:30:00.000Z'],
    ['2026-10-25', '02:00', 'Europe/London', '2026-10-25T02:00:00.000Z'],
    ['2026-11-01', '01:30', 'America/New_York', '2026-11-01T05:30:00.000Z'],
    ['2026-11-01', '02:00', 'America/New_York', '2026-11-01T07:00:00.000Z'],
    // Half an hour of summer time on Lord Howe Island, 4 October 2026; a whole day left out in Apia, 30 December 2011.
    ['2026-10-04', '02:15', 'Australia/Lord_Howe', '2026-10-03T15:45:00.000Z'],
    ['2011-12-30', '12:00', 'Pacific/Apia', '2011-12-30T22:00:00.000Z'],
  ])('%s %s %s', (day, clock, zone, utc) => expect(localToUtc(day, clock, zone)).toBe(utc))

  test('a time in the gap is shown moved on by it', () => {
    expect(clockOf(localToUtc('2026-03-29', '01:30', 'Europe/London'), 'Europe/London')).toBe('02:30')
    expect(clockOf(localToUtc('2026-10-04', '02:15', 'Australia/Lord_Howe'), 'Australia/Lord_Howe')).toBe('02:45')
    expect(dayOf(localToUtc('2011-12-30', '12:00', 'Pacific/Apia'), 'Pacific/Apia')).toBe('2011-12-31')
  })

  test.each([
    ['2026-02-30', '12:00'],
    ['2026-02-03', '24:00'],
    ['2026-02-03', '9:00'],
    ['2026-02-03', '12:60'],
    ['2026-02-03', '12:00:00'],
  ])('%s %s is no time', (day, clock) =>
    expect(() => localToUtc(day, clock, 'UTC')).toThrow('not a day and a clock time'),
  )

  test('there and back, except in the hours that are left out', () => {
    const zone = fc.constantFrom(
      'Europe/London',
      'America/New_York',
      'Asia/Kolkata',
      'Australia/Lord_Howe',
      'Africa/Casablanca',
    )
    const quarter = fc.nat({ max: 95 })
    fc.assert(
      fc.property(zone, fc.nat({ max: 36_000 }), quarter, (timeZone, days, quarters) => {
        const day = addDays('1972-01-01', days)
        const clock = `${String(Math.floor(quarters / 4)).padStart(2, '0')}:${['00', '15', '30', '45'][quarters % 4]}`
        const wanted = `${day} ${clock}`
        const utc = localToUtc(day, clock, timeZone)
        if (wallAt(utc, timeZone) !== wanted) {
          expect(wallAt(utc, timeZone) > wanted).toBe(true)
          expect(instantsAround(utc).map(at => wallAt(at, timeZone))).not.toContain(wanted)
        }
        expect(Math.abs(Date.parse(utc) - Date.parse(`${day}T${clock}Z`))).toBeLessThanOrEqual(14 * 3_600_000)
      }),
      { numRuns: 150 },
    )
  })
})
