/**
 * Reads a day as people write it: "2026-12-05", "5 Dec", "Saturday 5 December 2026", "tomorrow", "in 3 days",
 * "Friday". "5/12/2026" is asked back, since it is two different days on the two sides of an ocean, and "next Friday" while
 * a Friday of this week is still to come. A weekday is never today itself: "Friday" on a Friday is in a week.
 * What is wrong is said in this order: a part is missing, there is no such day, it is out of range.
 */
import { addDays, type Day, dayFrom, sayDay, weekdayOf } from './calendar.js'
import { quote } from './read-measure.js'
import { type Read, read, unread } from './refusal.js'
import { LONGEST, tidy } from './typed-number.js'

/**
 * `label` names the day in sentences: "needed-by day". A day without a year, or a weekday, is the first one from today
 * on, unless `lean` is 'back'. `earliest` and `latest` are inclusive.
 */
export type DayOptions = {
  label?: string | undefined
  lean?: 'ahead' | 'back' | undefined
  earliest?: Day | undefined
  latest?: Day | undefined
}

const EARLIEST = '1900-01-01'
const LATEST = '2199-12-31'

const WEEKDAY = /^(sun|mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?)(?:day)?$/
const WEEKDAY_STARTS = ['su', 'mo', 'tu', 'we', 'th', 'fr', 'sa']
const MONTH_NAMES = [
  'january',
  'february',
  'march',
  'april',
  'may',
  'june',
  'july',
  'august',
  'september',
  'october',
  'november',
  'december',
]

type Lean = 'ahead' | 'back'
/** What the words say before it is known whether there is such a day. */
type Parts = {
  year?: number | undefined
  month?: number | undefined
  date?: number | undefined
  weekday?: number | undefined
}

/** 0 to 6, or undefined. */
const weekdayNamed = (word: string): number | undefined =>
  WEEKDAY.test(word) ? WEEKDAY_STARTS.indexOf(word.slice(0, 2)) : undefined

/** 1 to 12 for a name or its first three letters or more ("sept"), or undefined. */
const monthNamed = (word: string): number | undefined => {
  const at = word.length < 3 ? -1 : MONTH_NAMES.findIndex(name => name.startsWith(word))
  return at === -1 ? undefined : at + 1
}

const COUNT_WORDS = ['one', 'two', 'three', 'four', 'five', 'six', 'seven']
const UNIT_DAYS = new Map([
  ['day', 1],
  ['days', 1],
  ['week', 7],
  ['weeks', 7],
  ['fortnight', 14],
])
const FIXED = new Map([
  ['today', 0],
  ['tomorrow', 1],
  ['yesterday', -1],
])

const countNamed = (word: string): number | undefined => {
  if (/^\d+$/.test(word)) return Number(word)
  const at = COUNT_WORDS.indexOf(word === 'a' || word === 'an' ? 'one' : word)
  return at === -1 ? undefined : at + 1
}

/** "today", "in 3 days", "a week ago": days from today, or undefined. */
const daysFromToday = (text: string): number | undefined => {
  const fixed = FIXED.get(text)
  if (fixed !== undefined) return fixed
  const [, ahead, figure = '', unit = '', ago] = /^(in )?(\d{1,4}|[a-z]+) ([a-z]+)( ago)?$/.exec(text) ?? []
  const count = countNamed(figure)
  const days = UNIT_DAYS.get(unit)
  if (count === undefined || days === undefined || (ahead === undefined) === (ago === undefined)) return undefined
  return (ago === undefined ? 1 : -1) * count * days
}

/** The nearest such weekday before or after today, never today itself. */
const nearestWeekday = (weekday: number, today: Day, lean: Lean): Day => {
  const ahead = ((weekday - weekdayOf(today) + 6) % 7) + 1
  return addDays(today, lean === 'ahead' ? ahead : (ahead % 7) - 7)
}

/** "next friday" while this week's is still to come, or is tomorrow: it may be the one after. Weeks begin on Monday. */
const nextOrAfterNext = (text: string, today: Day): [Day, Day] | undefined => {
  const [, word = ''] = /^next ([a-z]+)$/.exec(text) ?? []
  const weekday = weekdayNamed(word)
  if (weekday === undefined) return undefined
  const first = nearestWeekday(weekday, today, 'ahead')
  const nextMonday = nearestWeekday(1, today, 'ahead')
  return first < nextMonday || first === addDays(today, 1) ? [first, addDays(first, 7)] : undefined
}

/** "friday", "on friday", "next friday", "last friday". */
const weekdayAlone = (text: string, today: Day, lean: Lean): Day | undefined => {
  const [, which, word = ''] = /^(?:(on|this|next|last) )?([a-z]+)$/.exec(text) ?? []
  const weekday = weekdayNamed(word)
  if (weekday === undefined) return undefined
  const toward = which === 'last' ? 'back' : which === 'next' ? 'ahead' : lean
  return nearestWeekday(weekday, today, toward)
}

/** Three figures with the year first, or two with one clearly a day: null when it could be two different days. */
const figuresOnly = (text: string): Parts | null | undefined => {
  const iso = /^(\d{4})[-/. ](\d{1,2})[-/. ](\d{1,2})$/.exec(text)
  if (iso) return { year: Number(iso[1]), month: Number(iso[2]), date: Number(iso[3]) }
  const [, first, second, year] = /^(\d{1,2})[-/.](\d{1,2})(?:[-/.](\d{4}))?$/.exec(text) ?? []
  if (first === undefined) return undefined
  const [a, b] = [Number(first), Number(second)]
  if (a >= 1 && b >= 1 && a <= 12 && b <= 12 && a !== b) return null
  const monthFirst = b > 12 && a <= 12
  return { year: year === undefined ? undefined : Number(year), month: monthFirst ? a : b, date: monthFirst ? b : a }
}

/** "saturday 5th december 2026", in any order of its words; undefined when a word is none of these. */
const inWords = (text: string): Parts | undefined => {
  const parts: Parts = {}
  for (const word of text.split(/[ ,.]+/).filter(each => each !== '' && each !== 'of' && each !== 'the')) {
    const [, figure] = /^(\d{1,2})(?:st|nd|rd|th)?$/.exec(word) ?? []
    const found: Parts = {
      date: figure === undefined ? undefined : Number(figure),
      year: /^\d{4}$/.test(word) ? Number(word) : undefined,
      month: monthNamed(word),
      weekday: weekdayNamed(word),
    }
    const key = (['date', 'year', 'month', 'weekday'] as const).find(each => found[each] !== undefined)
    if (key === undefined || parts[key] !== undefined) return undefined
    parts[key] = found[key]
  }
  return Object.keys(parts).length > 0 ? parts : undefined
}

const MISSING = { date: 'the day of the month', month: 'the month' } as const

/** 29 February is at most eight years off (1896 to 1904). */
const YEARS_TO_LOOK = [0, 1, 2, 3, 4, 5, 6, 7, 8]

/** A day of the year without its year: the nearest on the side that `lean` says, today included. */
const nearestYear = (month: number, date: number, today: Day, lean: Lean): Day | undefined => {
  const thisYear = Number(today.slice(0, 4))
  return YEARS_TO_LOOK.map(step => dayFrom(lean === 'ahead' ? thisYear + step : thisYear - step, month, date)).find(
    day => day !== undefined && (lean === 'ahead' ? day >= today : day <= today),
  )
}

const fromParts = (parts: Parts, typed: string, today: Day, label: string, lean: Lean): Read<Day> => {
  const { year, month, date, weekday } = parts
  if (date === undefined)
    return unread(`${quote(typed)} leaves out ${MISSING.date}. Write the ${label} like 5 Dec 2026.`)
  if (month === undefined)
    return unread(`${quote(typed)} leaves out ${MISSING.month}. Write the ${label} like 5 Dec 2026.`)
  const day = year === undefined ? nearestYear(month, date, today, lean) : dayFrom(year, month, date)
  if (day === undefined) return unread(`There is no such day as ${quote(typed)}. Check the ${label}.`)
  if (weekday !== undefined && weekdayOf(day) !== weekday)
    return unread(`${quote(typed)} does not agree with the calendar: that day is ${sayDay(day)}. Check the ${label}.`)
  return read(day)
}

const ambiguous = (typed: string, label: string): Read<never> =>
  unread(
    `${quote(typed)} could be two days, month first or day first. Write the month of the ${label} as a word, like 5 Dec 2026.`,
  )

const whichNext = (typed: string, label: string, [first, after]: [Day, Day]): Read<never> =>
  unread(`${quote(typed)} could be ${sayDay(first)} or ${sayDay(after)}. Write the ${label} with its date.`)

const unreadable = (typed: string, label: string): Read<never> =>
  unread(`${quote(typed)} cannot be read as a day. Write the ${label} like 5 Dec 2026, 2026-12-05 or tomorrow.`)

/** The day that the text means, before its range is looked at. */
const meantDay = (typed: string, today: Day, label: string, lean: Lean): Read<Day> => {
  const text = tidy(typed).replace(/\.$/, '')
  const days = daysFromToday(text)
  if (days !== undefined) return read(addDays(today, days))
  const two = nextOrAfterNext(text, today)
  if (two !== undefined) return whichNext(typed, label, two)
  const weekday = weekdayAlone(text, today, lean)
  if (weekday !== undefined) return read(weekday)
  const figures = figuresOnly(text)
  if (figures === null) return ambiguous(typed, label)
  const parts = figures ?? inWords(text)
  return parts ? fromParts(parts, typed, today, label, lean) : unreadable(typed, label)
}

/** The day that was typed, or a sentence. `today` is the workshop's day now. */
export const readDay = (typed: string, today: Day, options: DayOptions = {}): Read<Day> => {
  const { label = 'day', lean = 'ahead', earliest = EARLIEST, latest = LATEST } = options
  if (typed.trim() === '') return unread(`Enter the ${label}, for example 5 Dec 2026 or tomorrow.`)
  if (typed.trim().length > LONGEST) return unreadable(typed, label)
  const meant = meantDay(typed, today, label, lean)
  if (!meant.ok) return meant
  const day = meant.value
  if (day < earliest) return unread(`${sayDay(day)} is too early: the ${label} must be ${sayDay(earliest)} or later.`)
  if (day > latest) return unread(`${sayDay(day)} is too late: the ${label} must be ${sayDay(latest)} or earlier.`)
  return read(day)
}
