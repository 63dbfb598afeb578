/**
 * The week as a picture: places as rows, days as columns, each load a band in its own colour. Nights are drawn narrower
 * than working hours. A band is edged dark and pale, so that it stands out on any ground and in black and white; where it
 * has had its time and only stands, it is hatched. No ids, so that a page may hold any number of them.
 */
import type { Span } from '../../domain/plan-input.js'
import type { Week, WeekBar, WeekDay, WeekPart } from '../../domain/week.js'
import { escaped, inkOn } from './bundle-drawing.js'

export type WeekWords = {
  title: string
  row(place: Week['rows'][number]): string
  load(loadId: string): { name: string; swatch: string | null }
  day(day: string): string
  /** A step of a load in words: "Lot 7: Dye, Mon 9:00 to 10:00". */
  part(loadId: string, part: WeekPart): string
  /** "Pot 2 is out of use, Mon 9:00 to Wed 18:00". */
  out(row: Week['rows'][number], span: Span): string
}

const SIDE = 92
const HEAD = 40
const LANE = 26
const GAP = 8
const NIGHT = 0.11
const LINE = 16

/** All of `days` side by side in `width`; the height follows from the rows. */
export function weekDrawing(week: Week, days: readonly WeekDay[], width: number, words: WeekWords): string {
  const x = acrossOf(days, width)
  const [first, last] = [days[0]?.fromMin ?? 0, days.at(-1)?.toMin ?? 0]
  const rows: string[] = []
  let y = HEAD
  const lines: string[] = []
  for (const row of week.rows) {
    const high = Math.max(1, row.lanes.length) * LANE
    rows.push(text(4, y + GAP / 2 + 17, words.row(row), 'row'))
    for (const span of row.out.filter(one => one.fromMin < last && one.toMin > first))
      rows.push(outOf(span, { x, first, last, y: y + GAP / 2, words }, words.out(row, span)))
    for (const [lane, bars] of row.lanes.entries())
      for (const bar of bars.filter(one => one.fromMin < last && one.toMin > first))
        rows.push(barOf(bar, { x, first, last, y: y + GAP / 2 + lane * LANE, words }))
    y += high + GAP
    lines.push(`<path d="M0 ${y}H${width}" class="rule"/>`)
  }
  const needed = days.map(({ day }) => week.needed.filter(one => one.day === day))
  const below = Math.max(0, ...needed.map(own => own.length)) * LINE
  const bottom = below === 0 ? y : y + below + GAP
  const columns = days.map(day => columnOf(day, x, y, words))
  const now = week.nowMin >= first && week.nowMin < last ? nowLine(x(week.nowMin), y) : ''
  const flags = needed.flatMap((own, n) =>
    own.map((one, k) => flag(one, x(days[n]?.fromMin ?? 0), y + LINE * (k + 1), words)),
  )
  const side = below === 0 ? '' : text(4, y + LINE, 'Needed by', 'row')
  const inside = [`<title>${escaped(words.title)}</title>`, ...columns, ...lines, ...rows, now, side, ...flags].join('')
  return `<svg viewBox="0 0 ${width} ${bottom + 2}" role="img" class="week-picture" font-family="sans-serif" fill="none">${inside}</svg>`
}

/** Where a minute lies from left to right. Each day is as wide as any other, also when it has 23 or 25 hours. */
export function acrossOf(days: readonly WeekDay[], width: number): (minute: number) => number {
  const wide = (width - SIDE) / Math.max(1, days.length)
  return minute => {
    const index = days.findIndex(day => minute < day.toMin)
    const day = days[index < 0 ? days.length - 1 : index]
    if (day === undefined) return SIDE
    const marks = [day.fromMin, day.openMin, day.closeMin, day.toMin]
    const shares = [0, marks[1] === marks[0] ? 0 : NIGHT, marks[2] === marks[3] ? 1 : 1 - NIGHT, 1]
    const within = Math.min(Math.max(minute, day.fromMin), day.toMin)
    const part = within < day.openMin ? 0 : within < day.closeMin ? 1 : 2
    const [from = 0, to = 0, low = 0, high = 0] = [marks[part], marks[part + 1], shares[part], shares[part + 1]]
    const share = to === from ? high : low + ((within - from) / (to - from)) * (high - low)
    return round(SIDE + (days.indexOf(day) + share) * wide)
  }
}

const round = (value: number): number => Math.round(value * 10) / 10

const text = (x: number, y: number, words: string, kind: string, how = ''): string =>
  `<text x="${round(x)}" y="${round(y)}" class="${kind}"${how}>${escaped(words)}</text>`

const box = (x: number, y: number, width: number, height: number, how: string): string =>
  `<rect x="${round(x)}" y="${round(y)}" width="${round(Math.max(width, 0))}" height="${round(height)}" ${how}/>`

function columnOf(day: WeekDay, x: (minute: number) => number, bottom: number, words: WeekWords): string {
  const from = x(day.fromMin)
  // The end of a day is the beginning of the next one: a moment before it lies within.
  const to = x(day.toMin - 0.001)
  const work = day.work.map(({ fromMin, toMin }) =>
    box(x(fromMin), HEAD, x(Math.min(toMin, day.toMin - 0.001)) - x(fromMin), bottom - HEAD, 'class="hours"'),
  )
  const name = text(from + 4, 16, words.day(day.day), 'day')
  return `${box(from, HEAD, to - from, bottom - HEAD, 'class="night"')}${work.join('')}<path d="M${from} 4V${round(bottom)}" class="rule"/>${name}`
}

type Place = { x: (minute: number) => number; first: number; last: number; y: number; words: WeekWords }

function barOf(bar: WeekBar, { x, first, last, y, words }: Place): string {
  const { name, swatch } = words.load(bar.loadId)
  const fibre = /^#[0-9a-f]{6}$/i.test(swatch ?? '') ? (swatch ?? '') : '#f8f8f8'
  const ink = inkOn(fibre)
  const within = (minute: number): number => x(Math.min(Math.max(minute, first), last - 0.001))
  const [left, right] = [within(bar.fromMin), Math.max(within(bar.toMin), within(bar.fromMin) + 3)]
  const high = LANE - 4
  const parts = bar.parts.map(part => {
    const [from, had, to] = [within(part.fromMin), within(part.hadMin), within(part.toMin)]
    const edge = part.fromMin > bar.fromMin && part.fromMin > first ? `M${from} ${y}v${high}` : ''
    const lines = `${edge}${hatching(had, y, to - had, high)}`
    const area = box(from, y, Math.max(to - from, 1), high, 'fill="transparent"')
    return `${lines === '' ? '' : `<path d="${lines}" stroke="${ink}"/>`}<g><title>${escaped(words.part(bar.loadId, part))}</title>${area}</g>`
  })
  const body = box(left, y, right - left, high, `fill="${fibre}" stroke="#1c1c1c" stroke-width="2"`)
  const pale = box(left + 1.5, y + 1.5, right - left - 3, high - 3, 'stroke="#ffffff"')
  const room = right - left - 8
  const label = fitting(name, room)
  // Letters stand on their own ground, so that hatching does not run through them.
  const ground = label === '' ? '' : box(left + 3, y + 4, label.length * 6.6 + 4, high - 8, `fill="${fibre}"`)
  const written = label === '' ? '' : text(left + 5, y + 15, label, 'load', ` fill="${ink}"`)
  return `<g>${body}${pale}${parts.join('')}${ground}${written}</g>`
}

function outOf({ fromMin, toMin }: Span, { x, first, last, y }: Place, title: string): string {
  const [left, right] = [x(Math.max(fromMin, first)), x(Math.min(toMin, last - 0.001))]
  const said = right - left > 70 ? text(left + 5, y + 15, 'out of use', 'out-word') : ''
  return `<g><title>${escaped(title)}</title>${box(left, y, right - left, LANE - 4, 'class="out"')}${said}</g>`
}

/** The name, or its number alone, or nothing: whatever there is room for. */
function fitting(name: string, room: number): string {
  const short = name.replace(/, part (\d+) of \d+$/, '/$1').replace(/, load \d+$/, '')
  return [short, short.replace(/^[^\d]*/, '')].find(one => one !== '' && one.length * 6.6 <= room) ?? ''
}

/** Slanting lines within a box, cut off at its edges. */
function hatching(x: number, y: number, width: number, height: number): string {
  const lines: string[] = []
  for (let at = 6; at < width + height && width > 1; at += 7)
    lines.push(
      `M${round(x + Math.min(at, width))} ${round(y + Math.max(0, at - width))}L${round(x + Math.max(0, at - height))} ${round(y + Math.min(at, height))}`,
    )
  return lines.join('')
}

const nowLine = (x: number, bottom: number): string =>
  `<path d="M${x} ${HEAD - 4}V${round(bottom)}" class="now-under"/><path d="M${x} ${HEAD - 4}V${round(bottom)}" class="now"/>${text(x, HEAD - 7, 'now', 'now-word', ' text-anchor="middle"')}`

const flag = ({ loadId, late }: Week['needed'][number], x: number, y: number, words: WeekWords): string =>
  `<path d="M${round(x + 4)} ${round(y - 9)}l8 4.5l-8 4.5z" class="mark"/>${text(x + 15, y, `${words.load(loadId).name}${late ? ', late' : ''}`, late ? 'late' : 'needed')}`
