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
    ['a minute ago', '2026-03-02T14:29:00.000Z'],
    ['20min ago', '2026-03-02T14:10:00.000Z'],
    ['1 minute ago', '2026-03-02T14:29:00.000Z'],
    ['45 minutes ago', '2026-03-02T13:45:00.000Z'],
    ['5 mins ago', '2026-03-02T14:25:00.000Z'],
    ['1 h ago', '2026-03-02T13:30:00.000Z'],
    ['120 min ago', '2026-03-02T12:30:00.000Z'],
    ['0:59', '2026-03-02T00:59:00.000Z'],
    ['9h30', '2026-03-02T09:30:00.000Z'],
    ['1:05 am', '2026-03-02T01:05:00.000Z'],
    ['1:05p.m.', '2026-03-02T13:05:00.000Z'],
    ['12:05pm', '2026-03-02T12:05:00.000Z'],
    ['yesterday, 23:59', '2026-03-01T23:59:00.000Z'],
    ['  14:05  ', '2026-03-02T14:05:00.000Z'],
    // This very minute has come.
    ['14:30', '2026-03-02T14:30:00.000Z'],
    ['0 min ago', '2026-03-02T14:30:00.000Z'],
  ])('%s', (typed, at) => {
    expect(readMoment(typed, options)).toEqual({ ok: true, value: at })
  })

  test('is on the clock of the workshop', () => {
    const summer = { now: '2026-07-02T14:30:00.000Z', timeZone: 'America/Vancouver' }
    expect(readMoment('7:05', summer)).toEqual({ ok: true, value: '2026-07-02T14:05:00.000Z' })
  })

  test.each([
    '',
    'later',
    '24:00',
    '9:75',
    '9:60',
    '14:05 pm',
    '13:05 pm',
    '0:05 am',
    '9:5',
    '123:05',
    '14',
    '20 min',
    'ago',
    '20 days ago',
    'in 20 min ago',
    '20 min ago today',
    '1000 min ago',
  ])('%s cannot be read', typed => {
    const sentence = `“${typed}” cannot be read as a time. Write it like 14:05, 20 min ago or yesterday 21:30.`
    expect(readMoment(typed, options)).toEqual({ ok: false, sentence })
  })

  test('longer than anybody says a time is not looked into', () => {
    const long = `20 min ago${' '.repeat(49)}x`
    expect(readMoment(long, options)).toMatchObject({ ok: false, sentence: expect.stringContaining('cannot be read') })
    expect(readMoment(' '.repeat(100).concat('14:05'), options).ok).toBe(true)
    expect(readMoment('x'.repeat(10_000), options).ok).toBe(false)
  })

  test('a day that cannot be read is asked about by itself', () => {
    expect(readMoment('soonish 14:05', options)).toMatchObject({
      ok: false,
      sentence: expect.stringContaining('day before the time'),
    })
  })

  test('a day that is still to come is refused', () => {
    expect(readMoment('tomorrow 9:00', options)).toEqual({
      ok: false,
      sentence: '“tomorrow 9:00” is still to come. Write when it happened.',
    })
    expect(readMoment('today 14:31', options)).toEqual({
      ok: false,
      sentence: '“today 14:31” is still to come. Write when it happened.',
    })
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

  test('at or after its beginning is read as it was told; a whole minute before is too early', () => {
    const earliest = '2026-03-02T14:00:00.000Z'
    expect(readMoment('14:00', { ...options, earliest })).toEqual({ ok: true, value: earliest })
    expect(readMoment('14:01', { ...options, earliest })).toEqual({ ok: true, value: '2026-03-02T14:01:00.000Z' })
    expect(readMoment('13:59', { ...options, earliest })).toEqual({
      ok: false,
      sentence: '“13:59” is before it began (today 14:00). Write a later time.',
    })
  })
})
