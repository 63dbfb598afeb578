/** Wishes bound to days, seasons or hours, in which a client wants nothing done to their fibre. */
import { addDays, type Day, sayDay, weekdayOf } from './calendar.js'
import { minuteAt, type PlanWish } from './plan-input.js'
import { localToUtc } from './wall-clock.js'

/** What all that is said of agrees with; what is null or empty says nothing. */
export type TimedWish = {
  /** 0 for Sunday to 6 for Saturday; empty = every day. */
  weekdays: number[]
  /** Both included; null = always. With `yearly` only month and date count, and may run over the new year. */
  fromDay: Day | null
  toDay: Day | null
  yearly: boolean
  /** Hours on the workshop's wall, "18:00" to "08:00" of the next morning; null = the whole day. */
  fromClock: string | null
  toClock: string | null
  /** What the client says of it, or ''. */
  words: string
}

export const WEEKDAY_KEYS = ['sun', 'mon', 'tue', 'wed', 'thu', 'fri', 'sat'] as const
export const WEEKDAY_WORDS = [
  'Sundays',
  'Mondays',
  'Tuesdays',
  'Wednesdays',
  'Thursdays',
  'Fridays',
  'Saturdays',
] as const

/** The spans of each wish from `from` to `to`, both days included; days that follow one another are one span. */
export function wishSpans(wishes: readonly TimedWish[], from: Day, to: Day, timeZone: string): PlanWish[] {
  const firstMin = minuteAt(localToUtc(from, '00:00', timeZone))
  return wishes.flatMap(wish => {
    const spans: PlanWish[] = []
    // Hours that began the evening before reach into the first morning.
    for (let day = addDays(from, -1); day <= to; day = addDays(day, 1)) {
      if (!isWished(wish, day)) continue
      const span = spanOn(wish, day, timeZone)
      const last = spans.at(-1)
      if (last !== undefined && span.fromMin <= last.toMin) last.toMin = Math.max(last.toMin, span.toMin)
      else spans.push(span)
    }
    return spans.filter(span => span.toMin > firstMin)
  })
}

/** Whether a wish is about this day at all. */
export function isWished(wish: TimedWish, day: Day): boolean {
  return (wish.weekdays.length === 0 || wish.weekdays.includes(weekdayOf(day))) && isInSeason(wish, day)
}

function isInSeason({ fromDay, toDay, yearly }: TimedWish, day: Day): boolean {
  if (fromDay === null || toDay === null) return true
  if (!yearly) return fromDay <= day && day <= toDay
  const [from, to, date] = [fromDay.slice(5), toDay.slice(5), day.slice(5)]
  return from <= to ? from <= date && date <= to : from <= date || date <= to
}

function spanOn(wish: TimedWish, day: Day, timeZone: string): PlanWish {
  const { fromClock, toClock } = wish
  const begins = fromClock ?? '00:00'
  const ends = toClock ?? '00:00'
  const lastDay = ends <= begins ? addDays(day, 1) : day
  const words = sayTimedWish(wish)
  const minute = (on: Day, clock: string) => minuteAt(localToUtc(on, clock, timeZone))
  return { fromMin: minute(day, begins), toMin: minute(lastDay, ends), words }
}

/** "Nothing on Sundays, from 20 Dec to 6 Jan each year: the house is closed." */
export function sayTimedWish({ weekdays, fromDay, toDay, yearly, fromClock, toClock, words }: TimedWish): string {
  const date = (day: Day) => sayDay(day).slice(4, -5)
  const days = weekdays.map(weekday => WEEKDAY_WORDS[weekday] ?? '')
  const parts = [
    days.length === 0 ? '' : `on ${inARow(days)}`,
    fromClock === null || toClock === null ? '' : `between ${fromClock} and ${toClock}`,
    fromDay === null || toDay === null ? '' : saySeason(fromDay, toDay, yearly ? day => date(day) : sayDay),
  ].filter(part => part !== '')
  const own = words === '' ? '.' : `: ${words}`
  return `Nothing ${parts.join(', ')}${yearly ? ' each year' : ''}${own}`
}

const inARow = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`

const saySeason = (from: Day, to: Day, say: (day: Day) => string): string =>
  from === to ? `on ${say(from)}` : `from ${say(from)} to ${say(to)}`

/** Why it is no wish, with the field that is wrong; null when it is one. */
export function whyNoTimedWish(wish: TimedWish): { field: string; sentence: string } | null {
  if (wish.weekdays.length === 7)
    return { field: 'weekdays', sentence: 'On every weekday, nothing could ever be done. Leave at least one of them.' }
  if ((wish.fromDay === null) !== (wish.toDay === null)) {
    const field = wish.fromDay === null ? 'fromDay' : 'toDay'
    return { field, sentence: 'A season needs its first and its last day. Write the same day twice for one day.' }
  }
  if ((wish.fromClock === null) !== (wish.toClock === null)) {
    const field = wish.fromClock === null ? 'fromClock' : 'toClock'
    return { field, sentence: 'Hours need both ends: from when, and until when.' }
  }
  if (wish.fromClock !== null && wish.fromClock === wish.toClock)
    return { field: 'toClock', sentence: 'These hours begin and end at once. Leave both empty for the whole day.' }
  if (wish.weekdays.length === 0 && wish.fromDay === null && wish.fromClock === null)
    return { field: 'weekdays', sentence: 'Say which weekdays, which days or which hours are meant.' }
  if (wish.fromDay !== null && wish.toDay !== null && wish.yearly && dayCount(wish.fromDay, wish.toDay) > 364)
    return { field: 'toDay', sentence: 'That is the whole year, each year. Leave some days in which it may be worked.' }
  return null
}

const dayCount = (from: Day, to: Day): number => (Date.parse(to) - Date.parse(from)) / 86_400_000 + 1
