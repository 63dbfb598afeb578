import fc from 'fast-check'
import ICAL from 'ical.js'
import { expect, test } from 'vitest'
import { type CalendarEvent, foldLine, writeCalendar } from '../../src/domain/icalendar.js'

const AT = '2026-03-02T09:00:00.000Z'
const event = (more: Partial<CalendarEvent> = {}): CalendarEvent => ({
  uid: 'load-12-step-3@tie-for-tie',
  summary: 'Lift Load 12 out of Pot 2 and rinse it',
  description: '',
  when: { startsAt: '2026-03-02T10:00:00.000Z', endsAt: '2026-03-02T10:45:00.000Z' },
  ...more,
})
const write = (...events: CalendarEvent[]) => writeCalendar({ name: 'The Weir Shed', at: AT, events })
/** Read by ical.js, which shares no code with the writer. */
const read = (text: string) =>
  new ICAL.Component(ICAL.parse(text)).getAllSubcomponents('vevent').map(one => new ICAL.Event(one))
const octets = (text: string) => Buffer.byteLength(text, 'utf8')

test('every line ends with CRLF and has at most 75 octets; PRODID, VERSION, UID and DTSTAMP stand once (RFC 5545, 3.1, 3.6)', () => {
  const text = write(event({ summary: 'ß'.repeat(200) }))
  expect(text.endsWith('\r\n')).toBe(true)
  expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/)
  for (const line of text.split('\r\n')) expect(octets(line)).toBeLessThanOrEqual(75)
  for (const name of ['PRODID', 'VERSION', 'UID', 'DTSTAMP', 'DTSTART', 'SEQUENCE'])
    expect(text.match(new RegExp(`^${name}[:;]`, 'gm')), name).toHaveLength(1)
})

test('folds at 75 octets and never within a character (RFC 5545, 3.1)', () => {
  expect(foldLine('a'.repeat(75))).toBe('a'.repeat(75))
  expect(foldLine('a'.repeat(76))).toBe(`${'a'.repeat(75)}\r\n a`)
  expect(foldLine(`${'a'.repeat(74)}é`)).toBe(`${'a'.repeat(74)}\r\n é`)
  expect(foldLine(`${'a'.repeat(72)}🧺`)).toBe(`${'a'.repeat(72)}\r\n 🧺`)
  expect(foldLine(`${'a'.repeat(75)}${'b'.repeat(75)}`)).toBe(`${'a'.repeat(75)}\r\n ${'b'.repeat(74)}\r\n b`)
})

test('escapes backslash, semicolon, comma and the end of a line (RFC 5545, 3.3.11)', () => {
  expect(write(event({ summary: 'a\\b;c,d\r\ne' }))).toContain('SUMMARY:a\\\\b\\;c\\,d\\ne\r\n')
})

test('whole days end on the day after (RFC 5545, 3.6.1)', () => {
  const text = write(event({ when: { fromDay: '2026-02-27', toDay: '2026-02-28' } }))
  expect(text).toContain('DTSTART;VALUE=DATE:20260227\r\nDTEND;VALUE=DATE:20260301\r\n')
  const [one] = read(text)
  expect([one?.startDate.isDate, one?.startDate.toString(), one?.endDate.toString()]).toEqual([
    true,
    '2026-02-27',
    '2026-03-01',
  ])
})

test('on the days when clocks change an event is when it is (IANA time zone database: 29 March and 25 October 2026)', () => {
  for (const startsAt of [
    '2026-03-29T00:30:00.000Z',
    '2026-03-29T01:30:00.000Z',
    '2026-10-25T00:30:00.000Z',
    '2026-10-25T01:30:00.000Z',
  ]) {
    const endsAt = new Date(Date.parse(startsAt) + 3_600_000).toISOString()
    const [one] = read(write(event({ when: { startsAt, endsAt } })))
    expect([one?.startDate.toJSDate().toISOString(), one?.endDate.toJSDate().toISOString()]).toEqual([startsAt, endsAt])
  }
})

test('the number of a writing rises with time (RFC 5545, 3.8.7.4)', () => {
  const sequence = (at: string) => read(writeCalendar({ name: 'x', at, events: [event()] }))[0]?.sequence ?? -1
  expect(sequence('2026-03-02T09:01:00.000Z')).toBe(sequence(AT) + 1)
  expect(sequence('2090-01-01T00:00:00.000Z')).toBeLessThan(2 ** 31)
})

test('any words come back as they were, but for control signs and halves of characters', () => {
  const words = fc.oneof(fc.string({ unit: 'grapheme' }), fc.string({ unit: 'binary' }))
  fc.assert(
    fc.property(words, words, (summary, description) => {
      const text = write(event({ summary: `x${summary}x`, description: `x${description}x` }))
      for (const line of text.split('\r\n')) expect(octets(line)).toBeLessThanOrEqual(75)
      const [one] = read(text)
      const plain = (typed: string) => typed.replace(/\r\n?/g, '\n').replace(/(?!\n)\p{Cc}/gu, ' ')
      expect(one?.summary).toBe(`x${plain(summary)}x`)
      expect(one?.description).toBe(`x${plain(description)}x`)
    }),
    { numRuns: 200 },
  )
})
