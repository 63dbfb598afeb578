import { describe, expect, test } from 'vitest'
import { localToUtc, sayTime } from '../../src/domain/day.js'
import { dueAt } from '../../src/domain/load.js'
import { pressedAt } from '../../src/domain/press-time.js'
import { clocksChangeWords, stepTime } from '../../src/domain/step-time.js'

const hour = { minutes: 60, lateAfterMinutes: null }
const overnight = { minutes: 720, lateAfterMinutes: 1440 }
const at = (clock: string) => `2026-03-02T${clock}:00.000Z`

describe('the time of a step', () => {
  test('had and left add up to its minutes', () => {
    expect(stepTime(hour, at('09:00'), at('09:40'))).toEqual({ hadMinutes: 40, toGo: { words: 'left', minutes: 20 } })
  })

  test('is over once it is due, unless it may stand on', () => {
    expect(stepTime(hour, at('09:00'), at('10:05')).toGo).toEqual({ words: 'over by', minutes: 5 })
    expect(stepTime(overnight, at('09:00'), at('22:00')).toGo).toEqual({ words: 'may stand on', minutes: 660 })
    expect(stepTime(overnight, at('09:00'), '2026-03-03T09:30:00.000Z').toGo).toEqual({ words: 'over by', minutes: 30 })
  })

  test('has nothing to go when it lasts until it is done', () => {
    expect(stepTime({ minutes: null, lateAfterMinutes: null }, at('09:00'), at('09:10'))).toEqual({
      hadMinutes: 10,
      toGo: null,
    })
  })
})

/** The days and hours of the changes stand in the IANA time zone database: Rule EU, Rule US. */
const CHANGES = [
  ['Europe/Lisbon', '2026-03-28', '22:00', 'today 11:00', 'forward'],
  ['Europe/Lisbon', '2026-10-24', '22:00', 'today 09:00', 'back'],
  ['America/New_York', '2026-03-07', '22:00', 'today 11:00', 'forward'],
  ['America/New_York', '2026-10-31', '22:00', 'today 09:00', 'back'],
] as const

describe('a night in which the clocks change', () => {
  test.each(CHANGES)('%s, from %s %s: twelve hours are twelve hours', (timeZone, day, clock, dueWords, way) => {
    const since = localToUtc(day, clock, timeZone)
    const due = dueAt(overnight, since) ?? ''
    const nextDay = due.slice(0, 10)
    expect(Date.parse(due) - Date.parse(since)).toBe(12 * 3_600_000)
    expect(sayTime(due, timeZone, nextDay)).toBe(dueWords)
    const eight = localToUtc(nextDay, '08:00', timeZone)
    const had = way === 'back' ? 11 : 9
    expect(stepTime(overnight, since, eight)).toEqual({
      hadMinutes: had * 60,
      toGo: { words: 'left', minutes: (12 - had) * 60 },
    })
    expect(clocksChangeWords(since, due, timeZone)).toBe(`The clocks go ${way} by an hour in between.`)
  })

  test('any other night needs no words', () => {
    expect(clocksChangeWords(at('22:00'), '2026-03-03T10:00:00.000Z', 'Europe/Lisbon')).toBe('')
  })

  test('a zone that moves by half an hour says so (Rule LH of the time zone database)', () => {
    expect(clocksChangeWords('2026-04-04T12:00:00Z', '2026-04-05T00:00:00Z', 'Australia/Lord_Howe')).toBe(
      'The clocks go back by 30 min in between.',
    )
  })
})

describe('when a press was made that had to wait', () => {
  const bounds = { now: at('12:00'), earliest: at('11:00'), since: 'this step began' }
  test.each([
    ['', undefined],
    [at('11:59'), at('11:59')],
    ['2026-03-02T11:59:45.000Z', undefined],
    [at('13:00'), undefined],
    [at('11:00'), at('11:00')],
    ['2026-03-02T10:59:30Z', at('11:00')],
  ])('%j counts as made at %j', (told, made) => {
    expect(pressedAt(told, bounds)).toEqual({ ok: true, value: made })
  })

  test.each([at('10:58'), '2020-01-01T00:00:00Z'])('%s is from before the step, and is refused', told => {
    expect(pressedAt(told, bounds)).toEqual({ ok: false, sentence: expect.stringContaining('before this step began') })
  })

  test.each(['noon', '2026-13-02T11:00:00Z', `${at('11:59')}x`, 'x'.repeat(10_000)])('%.20s is no time', told => {
    expect(pressedAt(told, bounds)).toEqual({ ok: false, sentence: expect.stringContaining('cannot be read') })
  })
})
