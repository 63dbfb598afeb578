/** The dyer's hours as spans of UTC minutes, worked out a day at a time, as far ahead as the plan needs to look. */
import { addDays, type Day, weekdayOf } from './calendar.js'
import { instantAt, type Minute, minuteAt, type PlanWorkshop, type Span } from './plan-input.js'
import { dayOf, localToUtc } from './wall-clock.js'

/** Nothing is planned further ahead than this. */
const HORIZON_DAYS = 1000

export interface Hours {
  /** The earliest `t` from `from` on with the dyer there from `t - before` to `t + length`; Infinity when never. */
  attend(from: Minute, before: number, length: number): Minute
  /** The latest `t` up to `to` with the dyer there from `t` on for `length` minutes. */
  attendBy(to: Minute, length: number): Minute
  /** The minute at which so much working time has gone by since `from`; and the one at which so much is left. */
  after(from: Minute, workMinutes: number): Minute
  before(to: Minute, workMinutes: number): Minute
  /** Which day of the plan it is: 0 is the first that the plan knows. */
  dayIndex(at: Minute): number
  /** The dyer's hours on that day, in minutes. */
  dayMinutes(dayIndex: number): number
  /** No later than this. */
  readonly endMin: Minute
}

export function hoursOf(workshop: PlanWorkshop, now: Minute): Hours {
  const { timeZone } = workshop
  const first = addDays(dayOf(instantAt(now), timeZone), -1)
  const startMin = wallMinute(first, '00:00', timeZone)
  const endMin = now + HORIZON_DAYS * 1440
  const spans: Span[] = []
  const days: { fromMin: Minute; minutes: number }[] = []
  /** For each 24 hours of what is known: the first span that ends in them or later. */
  const firstIn: number[] = []
  let knownTo: Minute = Number.NEGATIVE_INFINITY

  const addDay = (): void => {
    const day = addDays(first, days.length)
    const own = hoursOn(workshop, day)
    for (const span of own) append(spans, span)
    const fromMin = wallMinute(day, '00:00', timeZone)
    days.push({ fromMin, minutes: lengthOf(own) })
    knownTo = fromMin - 2880
    while (startMin + firstIn.length * 1440 <= knownTo)
      firstIn.push(firstEnding(spans, startMin + firstIn.length * 1440))
  }
  /** Two days more are known than `knownTo` says, so that hours which run past midnight are whole. */
  const lookTo = (minute: Minute): void => {
    const wanted = Math.min(minute, endMin)
    while (knownTo < wanted) addDay()
  }
  lookTo(now)

  /** The first span that ends at `minute` or later: asked so often that it is looked up. */
  const spanFor = (minute: Minute): number => {
    let at = firstIn[Math.floor((minute - startMin) / 1440)] ?? firstEnding(spans, minute)
    while ((spans[at]?.toMin ?? minute) < minute) at += 1
    return at
  }
  const attend = (from: Minute, before: number, length: number): Minute => {
    if (from + length > knownTo) lookTo(from + length)
    for (let at = spanFor(from + length); ; at += 1) {
      while (at >= spans.length && knownTo < endMin) addDay()
      const span = spans[at]
      if (span === undefined) return Number.POSITIVE_INFINITY
      const start = Math.max(from, span.fromMin + before)
      if (start + length <= span.toMin) return start
    }
  }
  const attendBy = (to: Minute, length: number): Minute => {
    lookTo(to)
    for (let at = firstEnding(spans, to); ; at -= 1) {
      const span = spans[at]
      if (span === undefined && at < 0) return Number.NEGATIVE_INFINITY
      if (span === undefined || span.fromMin > to) continue
      const start = Math.min(to, span.toMin - length)
      if (start >= span.fromMin) return start
    }
  }
  const after = (from: Minute, workMinutes: number): Minute => {
    let rest = workMinutes
    let at = from
    while (rest > 0) {
      const start = attend(at, 0, 1)
      const span = spans[firstEnding(spans, start + 1)]
      if (span === undefined || start === Number.POSITIVE_INFINITY) return Number.POSITIVE_INFINITY
      at = Math.min(span.toMin, start + rest)
      rest -= at - start
    }
    return at
  }
  const before = (to: Minute, workMinutes: number): Minute => {
    lookTo(to)
    let rest = workMinutes
    for (let index = firstEnding(spans, to); rest > 0; index -= 1) {
      const span = spans[index]
      if (span === undefined && index < 0) return Number.NEGATIVE_INFINITY
      const length = span === undefined ? 0 : Math.max(0, Math.min(to, span.toMin) - span.fromMin)
      if (span !== undefined && length >= rest) return Math.min(to, span.toMin) - rest
      rest -= length
    }
    return to
  }
  const dayIndex = (at: Minute): number => {
    lookTo(at)
    const guess = Math.floor((at - (days[0]?.fromMin ?? 0)) / 1440)
    if (at < (days[guess]?.fromMin ?? 0)) return guess - 1
    return at >= (days[guess + 1]?.fromMin ?? Number.POSITIVE_INFINITY) ? guess + 1 : guess
  }
  return { attend, attendBy, after, before, dayIndex, dayMinutes: index => days[index]?.minutes ?? 0, endMin }
}

/** The dyer's hours on one day; none on a day away. */
export const hoursOn = (workshop: PlanWorkshop, day: Day): Span[] =>
  isAway(workshop, day) ? [] : spansOn(workshop, day)

const isAway = ({ daysAway }: PlanWorkshop, day: Day): boolean =>
  daysAway.some(({ from, to }) => from <= day && day <= to)

/** The minute at which the wall shows this; "24:00" is the end of the day. */
export const wallMinute = (day: Day, clock: string, timeZone: string): Minute =>
  clock === '24:00' ? wallMinute(addDays(day, 1), '00:00', timeZone) : minuteAt(localToUtc(day, clock, timeZone))

function spansOn({ hours, timeZone }: PlanWorkshop, day: Day): Span[] {
  const spans = (hours[weekdayOf(day)] ?? []).map(({ from, to }) => ({
    fromMin: wallMinute(day, from, timeZone),
    toMin: wallMinute(day, to, timeZone),
  }))
  return spans.filter(span => span.fromMin < span.toMin).sort((a, b) => a.fromMin - b.fromMin)
}

const lengthOf = (spans: readonly Span[]): number => spans.reduce((sum, span) => sum + span.toMin - span.fromMin, 0)

/** Hours that touch are one: nobody goes home at noon between "9 to 12" and "12 to 5". */
function append(spans: Span[], span: Span): void {
  const last = spans.at(-1)
  if (last !== undefined && span.fromMin <= last.toMin) last.toMin = Math.max(last.toMin, span.toMin)
  else spans.push({ ...span })
}

/** The first span that ends at `minute` or later. */
function firstEnding(spans: readonly Span[], minute: Minute): number {
  let [low, high] = [0, spans.length]
  while (low < high) {
    const middle = (low + high) >> 1
    if ((spans[middle]?.toMin ?? 0) < minute) low = middle + 1
    else high = middle
  }
  return low
}
