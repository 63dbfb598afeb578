import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readClock, readHours, sayHours } from '../../src/domain/read-clock.js'
import { readLapse, sayMinutes } from '../../src/domain/read-lapse.js'

describe('clock times', () => {
  test.each([
    ['9', '09:00'],
    ['9:30', '09:30'],
    ['17.30', '17:30'],
    ['14h05', '14:05'],
    ['5 pm', '17:00'],
    ['12 am', '00:00'],
    ['12:15 p.m.', '12:15'],
    ['24:00', '24:00'],
    ['midnight', '24:00'],
    ['noon', '12:00'],
  ])('%s is %s', (typed, clock) => {
    expect(readClock(typed)).toEqual({ ok: true, value: clock })
  })

  test.each(['', '25', '9:60', '24:01', '13 pm', '0 am', 'nine', '9:3', '-1'])('“%s” is asked again', typed => {
    expect(readClock(typed).ok).toBe(false)
  })
})

describe('hours of a day', () => {
  test('are sorted, and nothing is a day off', () => {
    expect(readHours('13:00-17:30, 8-12', 'Hours')).toEqual({
      ok: true,
      value: [
        { from: '08:00', to: '12:00' },
        { from: '13:00', to: '17:30' },
      ],
    })
    expect(readHours(' ', 'Hours')).toEqual({ ok: true, value: [] })
  })

  test('may touch, but not overlap', () => {
    expect(readHours('8-12, 12-17', 'Hours').ok).toBe(true)
    expect(readHours('8-12:01, 12-17', 'Hours').ok).toBe(false)
  })

  test('read back what they say', () => {
    const clock = fc.integer({ min: 0, max: 1440 }).map(minute => minute)
    fc.assert(
      fc.property(fc.uniqueArray(clock, { minLength: 2, maxLength: 8 }), minutes => {
        const sorted = [...minutes].sort((a, b) => a - b)
        const text = (minute: number) =>
          `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`
        const hours = Array.from({ length: Math.floor(sorted.length / 2) }, (_, n) => ({
          from: text(sorted[2 * n] ?? 0),
          to: text(sorted[2 * n + 1] ?? 0),
        }))
        expect(readHours(sayHours(hours), 'Hours')).toEqual({ ok: true, value: hours })
      }),
      { numRuns: 100 },
    )
  })
})

describe('how long something takes', () => {
  test.each([
    ['45', 45],
    ['45 min', 45],
    ['1 h 30 min', 90],
    ['1h30min', 90],
    ['1.5 h', 90],
    ['1,5 hours', 90],
    ['2 days', 2880],
  ])('%s is %i minutes', (typed, minutes) => {
    expect(readLapse(typed, 'Time', 0, 5000)).toEqual({ ok: true, value: minutes })
  })

  test.each(['', 'a while', '5 weeks', '1 h 30', 'min', '99 days'])('“%s” is asked again', typed => {
    expect(readLapse(typed, 'Time', 0, 5000).ok).toBe(false)
  })

  test('said and read again is the same', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 43_200 }), minutes => {
        expect(readLapse(sayMinutes(minutes), 'Time', 0, 43_200)).toEqual({ ok: true, value: minutes })
      }),
      { numRuns: 100 },
    )
  })
})
