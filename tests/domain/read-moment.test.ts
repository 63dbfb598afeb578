import { describe, expect, test } from 'vitest'
import { readMoment } from '../../src/domain/read-moment.js'

// Lisbon keeps UTC in winter and is an hour ahead in summer.
const now = '2026-03-02T14:30:00.000Z'
const options = { now, timeZone: 'Europe/Lisbon' }

describe('a moment that was typed', () => {
  test.each([
    ['14:05', '2026-03-02T14:05:00.000Z'],
    ['9.30', '2026-03-02T09:30:00.000Z'],
    ['at 9:30', '2026-03-02T09:30:00.000Z'],
    ['2:05 pm', '2026-03-02T14:05:00.000Z'],
    ['12:05 a.m.', '2026-03-02T00:05:00.000Z'],
    ['today 14:05', '2026-03-02T14:05:00.000Z'],
    ['yesterday 21:30', '2026-03-01T21:30:00.000Z'],
    ['yesterday at 21:30', '2026-03-01T21:30:00.000Z'],
    ['28 Feb 21:30', '2026-02-28T21:30:00.000Z'],
    ['20 min ago', '2026-03-02T14:10:00.000Z'],
    ['2 hours ago', '2026-03-02T12:30:00.000Z'],
    ['an hour ago', '2026-03-02T13:30:00.000Z'],
    ['half an hour ago', '2026-03-02T14:00:00.000Z'],
  ])('%s', (typed, at) => {
    expect(readMoment(typed, options)).toEqual({ ok: true, value: at })
  })

  test('is on the clock of the workshop', () => {
    const summer = { now: '2026-07-02T14:30:00.000Z', timeZone: 'America/Vancouver' }
    expect(readMoment('7:05', summer)).toEqual({ ok: true, value: '2026-07-02T14:05:00.000Z' })
  })

  test.each(['', 'later', '25:00', '9:75', '14:05 pm', 'x'.repeat(10_000), '14'])('%#: cannot be read', typed => {
    expect(readMoment(typed, options)).toMatchObject({ ok: false, sentence: expect.stringContaining('14:05') })
  })

  test('that is still to come today is asked back, not taken for yesterday', () => {
    expect(readMoment('15:00', options)).toEqual({
      ok: false,
      sentence: '“15:00” is still to come today. If it was the day before, write “yesterday 15:00”.',
    })
  })

  test('before the step began is refused, saying when that was', () => {
    const earliest = '2026-03-02T14:00:20.000Z'
    expect(readMoment('13:00', { ...options, earliest, since: 'this step began' })).toEqual({
      ok: false,
      sentence: '“13:00” is before this step began (today 14:00). Write a later time.',
    })
  })

  test('in the very minute in which it began counts as its beginning', () => {
    const earliest = '2026-03-02T14:00:20.000Z'
    expect(readMoment('14:00', { ...options, earliest })).toEqual({ ok: true, value: earliest })
  })
})
