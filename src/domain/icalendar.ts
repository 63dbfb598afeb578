/** Writes a calendar as RFC 5545 has it; the sections are named where they apply. */
import { addDays, type Day } from './calendar.js'

export type CalendarEvent = {
  /** Stays the same as long as it is the same event (3.8.4.7). */
  uid: string
  summary: string
  description: string
  /** Whole days, both included; or instants, ISO 8601 UTC. */
  when: { fromDay: Day; toDay: Day } | { startsAt: string; endsAt: string }
}

export type Calendar = {
  name: string
  /** When it is written; it dates every event. */
  at: string
  events: readonly CalendarEvent[]
}

/** Lines end with CRLF (3.1); PRODID and VERSION stand once (3.6). */
export function writeCalendar({ name, at, events }: Calendar): string {
  const lines = [
    'BEGIN:VCALENDAR',
    'VERSION:2.0',
    'PRODID:-//Tie for Tie//Workshop days//EN',
    'CALSCALE:GREGORIAN',
    `X-WR-CALNAME:${escapeText(name)}`,
    ...events.flatMap(event => eventLines(event, at)),
    'END:VCALENDAR',
  ]
  return lines.map(line => `${foldLine(line)}\r\n`).join('')
}

/**
 * A calendar that is only read asks whether what it knows is older: SEQUENCE rises with the minute of writing (3.8.7.4), so
 * that the newest writing always counts. Instants are in UTC, since a plan's times are instants (3.3.5, form 2); the end of
 * whole days is the day after (3.6.1).
 */
function eventLines({ uid, summary, description, when }: CalendarEvent, at: string): string[] {
  const times =
    'fromDay' in when
      ? [`DTSTART;VALUE=DATE:${plainDay(when.fromDay)}`, `DTEND;VALUE=DATE:${plainDay(addDays(when.toDay, 1))}`]
      : [`DTSTART:${plainInstant(when.startsAt)}`, `DTEND:${plainInstant(when.endsAt)}`]
  return [
    'BEGIN:VEVENT',
    `UID:${escapeText(uid)}`,
    `DTSTAMP:${plainInstant(at)}`,
    `SEQUENCE:${sequenceAt(at)}`,
    ...times,
    `SUMMARY:${escapeText(summary)}`,
    ...(description === '' ? [] : [`DESCRIPTION:${escapeText(description)}`]),
    'fromDay' in when ? 'TRANSP:TRANSPARENT' : 'TRANSP:OPAQUE',
    'END:VEVENT',
  ]
}

/** Minutes since the first day of 2026: the number must stay within 32 bits (3.3.8). */
const sequenceAt = (at: string): number => Math.max(0, Math.floor((Date.parse(at) - Date.UTC(2026, 0, 1)) / 60_000))

const plainDay = (day: Day): string => day.replaceAll('-', '')
const plainInstant = (at: string): string =>
  `${new Date(at).toISOString().slice(0, 19).replaceAll('-', '').replaceAll(':', '')}Z`

/** TEXT (3.3.11): what has a meaning of its own is escaped; other control signs have no place in it. */
export const escapeText = (text: string): string =>
  text
    .replace(/\r\n?/g, '\n')
    .replace(/\p{Surrogate}/gu, '\ufffd')
    .replace(/(?!\n)[\p{Cc}]/gu, ' ')
    .replace(/[\\;,]/g, sign => `\\${sign}`)
    .replaceAll('\n', '\\n')

const MOST_OCTETS = 75

/** No line is longer than 75 octets without its break, and none is broken within a character (3.1). */
export function foldLine(line: string): string {
  const parts = ['']
  let octets = 0
  for (const character of line) {
    const more = octetsOf(character)
    if (octets + more > MOST_OCTETS) {
      parts.push('')
      // The blank with which a line goes on counts.
      octets = 1
    }
    parts[parts.length - 1] += character
    octets += more
  }
  return parts.join('\r\n ')
}

/** In UTF-8 (RFC 3629, section 3). */
function octetsOf(character: string): number {
  const code = character.codePointAt(0) ?? 0
  if (code < 0x80) return 1
  if (code < 0x800) return 2
  return code < 0x10000 ? 3 : 4
}
