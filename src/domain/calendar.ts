/**
 * Calendar days ("2026-12-05"), without time or time zone, by the Gregorian calendar. Nothing here asks what day it is
 * now: today comes in as an argument.
 */
export type Day = string

const WEEKDAYS = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'] as const
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'] as const

const DAY_MS = 86_400_000
const ISO_DAY = /^\d{4}-\d{2}-\d{2}$/

const two = (figure: number): string => String(figure).padStart(2, '0')

/** The day of these three numbers, or undefined when there is no such day (31 February). Months from 1; years 0 to 9999. */
export const dayFrom = (year: number, month: number, date: number): Day | undefined => {
  const day = `${String(year).padStart(4, '0')}-${two(month)}-${two(date)}`
  return isDay(day) ? day : undefined
}

/** Whether a text is a day that exists. */
export const isDay = (text: string): boolean => !Number.isNaN(msAt(text))

const isLeapYear = (year: number): boolean => (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0
const MONTH_LENGTHS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] as const
const lengthOf = (year: number, month: number): number =>
  month === 2 && isLeapYear(year) ? 29 : (MONTH_LENGTHS[month - 1] ?? 0)

/** Where a day begins, in ms of UTC; NaN for what is no day. */
const msAt = (text: string): number => {
  if (!ISO_DAY.test(text)) return Number.NaN
  const date = Number(text.slice(8))
  const isThere = date >= 1 && date <= lengthOf(Number(text.slice(0, 4)), Number(text.slice(5, 7)))
  return isThere ? Date.parse(text) : Number.NaN
}

const startOf = (day: Day): number => {
  const ms = msAt(day)
  if (Number.isNaN(ms)) throw new Error(`not a day: ${day}`)
  return ms
}

const dayAt = (instantMs: number): Day => new Date(instantMs).toISOString().slice(0, 10)

export const addDays = (day: Day, days: number): Day => dayAt(startOf(day) + days * DAY_MS)

/** How many days `to` lies after `from`; negative when before. */
export const daysBetween = (from: Day, to: Day): number => (startOf(to) - startOf(from)) / DAY_MS

/** 0 for Sunday to 6 for Saturday. */
export const weekdayOf = (day: Day): number => new Date(startOf(day)).getUTCDay()

/** "Sat 5 Dec 2026". */
export const sayDay = (day: Day): string => `${sayDayAndMonth(day)} ${day.slice(0, 4)}`

const sayDayAndMonth = (day: Day): string =>
  `${WEEKDAYS[weekdayOf(day)]} ${Number(day.slice(8))} ${MONTHS[Number(day.slice(5, 7)) - 1]}`

/** "under a minute", "45 min", "3 h 20 min", "1 day 4 h", "12 days". Throws when `minutes` is not finite. */
export const sayLapse = (minutes: number): string => {
  if (!Number.isFinite(minutes)) throw new Error(`a lapse of time must be finite, not ${minutes}`)
  if (minutes < 0) return `−${sayLapse(-minutes)}`
  const whole = Math.round(minutes)
  if (whole === 0) return minutes === 0 ? '0 min' : 'under a minute'
  if (whole < 60) return `${whole} min`
  if (whole < 24 * 60) return pair(Math.floor(whole / 60), 'h', whole % 60, 'min')
  const hours = Math.round(minutes / 60)
  const days = Math.floor(hours / 24)
  return pair(days, days === 1 ? 'day' : 'days', days < 7 ? hours % 24 : 0, 'h')
}

const pair = (large: number, largeUnit: string, small: number, smallUnit: string): string =>
  small === 0 ? `${large} ${largeUnit}` : `${large} ${largeUnit} ${small} ${smallUnit}`
