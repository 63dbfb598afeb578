/**
 * Reads when something happened, as people say it beside a pot: "14:05", "20 min ago", "yesterday 21:30",
 * "5 Dec 21:30". Only what lies behind us: a clock time that is still to come today is asked back.
 */
import { clockOf, dayOf, localToUtc, sayTime } from './day.js'
import { readDay } from './read-day.js'
import { quote } from './read-measure.js'
import { type Read, read, unread } from './refusal.js'
import { tidy } from './typed-number.js'

/** `earliest` and `now` are ISO 8601 UTC and inclusive; `since` names what began at `earliest`: "this step began". */
export type MomentOptions = { now: string; timeZone: string; earliest?: string | undefined; since?: string | undefined }

const LONGEST = 60
const MINUTE_MS = 60_000
const UNIT_MINUTES = new Map([
  ['min', 1],
  ['mins', 1],
  ['minute', 1],
  ['minutes', 1],
  ['h', 60],
  ['hour', 60],
  ['hours', 60],
])
const AGO = /^(\d{1,3}|a|an|half an) ?(min|mins|minutes?|h|hours?) ago$/
const CLOCK = /^(?:(.+?),? )?(\d{1,2})[:.h](\d{2})(?: ?([ap])\.?m\.?)?$/

/** The instant that was typed, as ISO 8601 UTC, or a sentence. */
export function readMoment(typed: string, options: MomentOptions): Read<string> {
  if (typed.trim().length > LONGEST) return unreadable(typed)
  const text = tidy(typed)
  const meant = agoAt(text, options) ?? clockAt(text, typed, options)
  return meant === undefined ? unreadable(typed) : meant.ok ? within(meant.value, typed, options) : meant
}

const unreadable = (typed: string): Read<never> =>
  unread(`${quote(typed)} cannot be read as a time. Write it like 14:05, 20 min ago or yesterday 21:30.`)

function agoAt(text: string, { now }: MomentOptions): Read<string> | undefined {
  const [, figure = '', unit = ''] = AGO.exec(text) ?? []
  const minutes = UNIT_MINUTES.get(unit)
  if (minutes === undefined) return undefined
  const count = figure === 'half an' ? 0.5 : /^a/.test(figure) ? 1 : Number(figure)
  return read(new Date(Date.parse(now) - count * minutes * MINUTE_MS).toISOString())
}

function clockAt(text: string, typed: string, { now, timeZone }: MomentOptions): Read<string> | undefined {
  const [, dayWords, hour = '', minute = '', half] = CLOCK.exec(text.replace(/\bat (?=\d)/, '')) ?? []
  const clock = clockOfHalf(Number(hour), minute, half)
  if (hour === '' || clock === undefined) return undefined
  const today = dayOf(now, timeZone)
  if (dayWords !== undefined) {
    const day = readDay(dayWords, today, { label: 'day before the time', lean: 'back' })
    return day.ok ? read(localToUtc(day.value, clock, timeZone)) : day
  }
  if (clock > clockOf(now, timeZone))
    return unread(`${quote(typed)} is still to come today. If it was the day before, write “yesterday ${clock}”.`)
  return read(localToUtc(today, clock, timeZone))
}

/** "9", "05", "p" is "21:05"; undefined when no clock shows it. */
function clockOfHalf(hour: number, minute: string, half: string | undefined): string | undefined {
  if (Number(minute) > 59 || hour > 23 || (half !== undefined && (hour < 1 || hour > 12))) return undefined
  const full = half === undefined ? hour : (hour % 12) + (half === 'p' ? 12 : 0)
  return `${String(full).padStart(2, '0')}:${minute}`
}

/** A clock shows no seconds: a step that began at 14:05:40 may be told as 14:05, and is taken as its beginning. */
function within(at: string, typed: string, { now, timeZone, earliest, since }: MomentOptions): Read<string> {
  if (at > now) return unread(`${quote(typed)} is still to come. Write when it happened.`)
  if (earliest === undefined || at >= earliest) return read(at)
  if (Date.parse(earliest) - Date.parse(at) < MINUTE_MS) return read(earliest)
  const began = sayTime(earliest, timeZone, dayOf(now, timeZone))
  return unread(`${quote(typed)} is before ${since ?? 'it began'} (${began}). Write a later time.`)
}
