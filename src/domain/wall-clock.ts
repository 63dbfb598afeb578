/**
 * Between instants in UTC and the clock on the workshop's wall, for any IANA time zone. Rules of summer time come from
 * `Intl`. An unknown time zone or a malformed instant is a fault of the program and throws.
 */
import { type Day, daysBetween, isDay, sayDay } from './calendar.js'

const formats = new Map<string, Intl.DateTimeFormat>()

/** One format per zone: making one is slow, using it is not. */
const formatFor = (timeZone: string): Intl.DateTimeFormat => {
  const known = formats.get(timeZone)
  if (known) return known
  const format = new Intl.DateTimeFormat('sv-SE', {
    timeZone,
    calendar: 'gregory',
    numberingSystem: 'latn',
    hourCycle: 'h23',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
  })
  formats.set(timeZone, format)
  return format
}

/** Whether this is a time zone that the clock here knows, for a settings form. */
export const isTimeZone = (name: string): boolean => {
  try {
    formatFor(name)
    return true
  } catch {
    return false
  }
}

type Wall = { day: Day; time: string }

/** How Swedish writes an instant: "2026-03-02 09:05". Reading the text is twice as fast as asking for its parts. */
const WRITTEN = /^(\d+-\d\d-\d\d)\D+(\d\d:\d\d)$/

const wallAt = (instantMs: number, timeZone: string): Wall => {
  const text = formatFor(timeZone).format(instantMs)
  const [, day, time] = WRITTEN.exec(text) ?? []
  if (day === undefined || time === undefined) throw new Error(`not a day and a time: ${text}`)
  return { day: day.padStart(10, '0'), time }
}

const msOf = (utcIso: string): number => {
  const instantMs = Date.parse(utcIso)
  if (Number.isNaN(instantMs)) throw new Error(`not an instant: ${utcIso}`)
  return instantMs
}

/** The day on the wall at an instant. */
export const dayOf = (utcIso: string, timeZone: string): Day => wallAt(msOf(utcIso), timeZone).day

/** The clock on the wall at an instant: "21:30". */
export const clockOf = (utcIso: string, timeZone: string): string => wallAt(msOf(utcIso), timeZone).time

/** "today 14:05", "yesterday 21:30", "tomorrow 09:00", "Fri 4 Dec 21:30"; with the year when it is not this one. */
export const sayTime = (utcIso: string, timeZone: string, today: Day): string => {
  const { day, time } = wallAt(msOf(utcIso), timeZone)
  return `${sayNearDay(day, today)} ${time}`
}

const sayNearDay = (day: Day, today: Day): string => {
  if (day === today) return 'today'
  const ahead = daysBetween(today, day)
  if (ahead === -1) return 'yesterday'
  if (ahead === 1) return 'tomorrow'
  return day.slice(0, 4) === today.slice(0, 4) ? sayDay(day).slice(0, -5) : sayDay(day)
}

const CLOCK = /^(?:[01]\d|2[0-3]):[0-5]\d$/

const asIfUtc = ({ day, time }: Wall): number => Date.parse(`${day}T${time}:00Z`)

/** How far the wall is ahead of UTC at an instant. */
const aheadMs = (instantMs: number, timeZone: string): number =>
  asIfUtc(wallAt(instantMs, timeZone)) - Math.floor(instantMs / 60_000) * 60_000

const DAY_MS = 86_400_000

/**
 * The instant at which the wall shows `day` and `clock` ("HH:MM"), as ISO 8601 UTC.
 * When clocks go back, the hour comes twice: the first one is meant. When they go forward, an hour is left out: a time
 * in it is moved on by the gap, so 02:30 becomes 03:30. (The rule "compatible" of ECMAScript's Temporal proposal.)
 */
export const localToUtc = (day: Day, clock: string, timeZone: string): string => {
  if (!isDay(day) || !CLOCK.test(clock)) throw new Error(`not a day and a clock time: ${day} ${clock}`)
  const wall = asIfUtc({ day, time: clock })
  const before = wall - aheadMs(wall - DAY_MS, timeZone)
  const after = wall - aheadMs(wall + DAY_MS, timeZone)
  const shows = (instantMs: number): boolean => aheadMs(instantMs, timeZone) === wall - instantMs
  return new Date(!shows(before) && shows(after) ? after : before).toISOString()
}

/** By how many minutes the wall moved against UTC between two instants: 60 when clocks went forward, −60 when back. */
export const clockShift = (fromIso: string, toIso: string, timeZone: string): number =>
  (aheadMs(msOf(toIso), timeZone) - aheadMs(msOf(fromIso), timeZone)) / 60_000
