/** Reads how long something takes: "45 min", "8 h", "1 h 30 min", "2 days"; a bare number is minutes. */
import { quote } from './read-measure.js'
import { type Read, read, unread } from './refusal.js'

const UNITS: readonly [RegExp, number][] = [
  [/^(m|min|mins|minutes?)$/, 1],
  [/^(h|hrs?|hours?)$/, 60],
  [/^(d|days?)$/, 1440],
]
const PART = /^(\d{1,5}(?:[.,]\d{1,2})?)\s*([a-z]*)\s*/
const LONGEST = 40

/** Whole minutes within `least` and `most`, both included. */
export function readLapse(typed: string, label: string, least: number, most: number): Read<number> {
  const minutes = minutesIn(typed.trim().toLowerCase())
  if (minutes === undefined)
    return unread(`${label}: ${quote(typed)} cannot be read. Write it like 45 min, 8 h or 2 days.`)
  if (minutes < least || minutes > most)
    return unread(`${label}: write a time from ${sayMinutes(least)} to ${sayMinutes(most)}.`)
  return read(minutes)
}

function minutesIn(text: string): number | undefined {
  if (text === '' || text.length > LONGEST) return undefined
  let [rest, total, first] = [text, 0, true]
  while (rest !== '') {
    const [whole = '', figure = '', unit = ''] = PART.exec(rest) ?? []
    const size = unit === '' && first && whole === rest ? 1 : UNITS.find(([words]) => words.test(unit))?.[1]
    if (whole === '' || size === undefined) return undefined
    total += Number(figure.replace(',', '.')) * size
    rest = rest.slice(whole.length)
    first = false
  }
  return Math.round(total)
}

/** The same minutes when it is read again: "45 min", "8 h", "25 h 30 min". */
export function sayMinutes(minutes: number): string {
  const [hours, rest] = [Math.floor(minutes / 60), Math.round(minutes % 60)]
  if (hours === 0) return `${rest} min`
  return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`
}
