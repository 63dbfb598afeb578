/** Reads clock times and hours as people write them: "9", "9:30", "17.30", "5 pm"; "8:00-12:00, 13:00-17:30". */
import type { WorkHours } from './plan-input.js'
import { quote } from './read-measure.js'
import { type Read, read, unread } from './refusal.js'

const CLOCK = /^(\d{1,2})(?:[:.h](\d{2}))? ?(?:([ap])\.?m\.?)?$/i
const WORDS: Record<string, string> = { noon: '12:00', midnight: '24:00' }

/** "09:30", up to "24:00". */
export function readClock(typed: string, label = 'time'): Read<string> {
  const text = typed.trim().toLowerCase()
  const clock = WORDS[text] ?? clockOf(text)
  return clock === undefined
    ? unread(`${label}: ${quote(typed)} cannot be read as a time of day. Write it like 9:30 or 17:00.`)
    : read(clock)
}

function clockOf(text: string): string | undefined {
  const [, hours = '', minutes = '00', half] = CLOCK.exec(text) ?? []
  const [hour, minute] = [Number(hours), Number(minutes)]
  const isHalf = half !== undefined
  if (hours === '' || minute > 59 || hour > 24 || (hour === 24 && minute > 0)) return undefined
  if (isHalf && (hour < 1 || hour > 12)) return undefined
  const full = isHalf ? (hour % 12) + (half === 'p' ? 12 : 0) : hour
  return `${String(full).padStart(2, '0')}:${minutes}`
}

const BETWEEN = /\s*(?:-|–|—|\bto\b|\buntil\b)\s*/
/** Spans of one day at most. */
const MOST = 6
const LONGEST = 200

/** The hours of one weekday, in order and apart; nothing typed is a day off. */
export function readHours(typed: string, label: string): Read<WorkHours[]> {
  if (typed.trim() === '') return read([])
  const asked = `${label}: write hours like 8:00-12:00, 13:00-17:30, or leave it empty for a day off.`
  const spans = typed.length > LONGEST ? [] : typed.split(/[,;]|\band\b/)
  if (spans.length === 0 || spans.length > MOST) return unread(asked)
  const hours: WorkHours[] = []
  for (const span of spans) {
    const [first = '', second = '', ...rest] = span.trim().split(BETWEEN)
    if (first === '' || second === '' || rest.length > 0) return unread(asked)
    const [from, to] = [readClock(first, label), readClock(second, label)]
    if (!from.ok) return from
    if (!to.ok) return to
    if (from.value >= to.value)
      return unread(
        `${label}: ${quote(span)} ends before it begins. Hours end by 24:00; go on with them the day after.`,
      )
    hours.push({ from: from.value, to: to.value })
  }
  hours.sort((a, b) => (a.from < b.from ? -1 : 1))
  const twice = hours.find((span, n) => n > 0 && span.from < (hours[n - 1]?.to ?? ''))
  return twice === undefined ? read(hours) : unread(`${label}: the hours overlap at ${twice.from}. Write each once.`)
}

/** "08:00-12:00, 13:00-17:30"; '' for a day off. */
export const sayHours = (hours: readonly WorkHours[]): string => hours.map(({ from, to }) => `${from}-${to}`).join(', ')
