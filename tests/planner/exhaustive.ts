/**
 * The best plan of a tiny workshop, by trying every one: all moments on a grid of whole hours, all pots, all loads. Only
 * for workshops in which every figure is a whole number of hours and the clocks stay as they are (UTC).
 */
import type { PlanLoad, PlanStep, PlanWorkshop } from '../../src/domain/plan-input.js'
import type { Figures } from './validator.js'

const HOUR = 60

/** A use of something from one hour up to another; `key` names it: "hands", "pot 2", "line". */
type Use = { key: string; from: number; to: number; amount: number }
type Way = { uses: Use[]; pot: string; potFrom: number; potTo: number; done: number; handsByDay: [number, number][] }

/** Hours are counted from `now`, which is the beginning of a UTC day. */
export function bestFigures(workshop: PlanWorkshop, loads: readonly PlanLoad[], now: number, days: number): Figures {
  const there = Array.from({ length: days * 24 }, (_, hour) => isThere(workshop, now, hour))
  const ways = loads.map(load => waysOf(workshop, load, now, there))
  const rooms: Record<string, number> = {
    hands: workshop.hands,
    tubs: workshop.soakTubs,
    sinks: workshop.sinks,
    line: workshop.lineRoom,
  }
  const used = new Map<string, number[]>()
  const hands = Array.from({ length: days }, () => 0)
  const chosen: { way: Way; load: PlanLoad }[] = []
  let best: Figures = {
    late: Number.POSITIVE_INFINITY,
    lateMin: Number.POSITIVE_INFINITY,
    crowdedMin: Number.POSITIVE_INFINITY,
  }

  const change = (way: Way, sign: 1 | -1): void => {
    for (const { key, from, to, amount } of way.uses) {
      const row = used.get(key) ?? Array.from({ length: days * 24 }, () => 0)
      used.set(key, row)
      for (let hour = from; hour < to; hour += 1) row[hour] = (row[hour] ?? 0) + sign * amount
    }
    for (const [day, hours] of way.handsByDay) hands[day] = (hands[day] ?? 0) + sign * hours
  }
  const fits = (way: Way, load: PlanLoad): boolean =>
    way.uses.every(({ key, from, to, amount }) => {
      const row = used.get(key)
      for (let hour = from; row !== undefined && hour < to; hour += 1)
        if ((row[hour] ?? 0) + amount > (rooms[key] ?? 1)) return false
      return true
    }) && chosen.every(other => isScoured(workshop, there, other, { way, load }))
  const lateness = (load: PlanLoad, done: number): number =>
    Math.max(0, now + done * HOUR - (load.neededByMin ?? Number.POSITIVE_INFINITY))
  // What the loads from here on are late at least, each in a workshop of its own.
  const ahead = loads.map((_, index) =>
    loads.slice(index).map((load, n) => Math.min(...(ways[index + n] ?? []).map(way => lateness(load, way.done)))),
  )
  const visit = (index: number, late: number, lateMin: number): void => {
    const crowdedMin = hands.reduce((sum, hours, day) => sum + Math.max(0, hours - hoursOn(there, day) / 2) * HOUR, 0)
    const rest = ahead[index] ?? []
    const atLeast = {
      late: late + rest.filter(minutes => minutes > 0).length,
      lateMin: lateMin + rest.reduce((sum, minutes) => sum + minutes, 0),
      crowdedMin,
    }
    if (!isLess(atLeast, best)) return
    const load = loads[index]
    if (load === undefined) {
      best = atLeast
      return
    }
    for (const way of ways[index] ?? []) {
      const over = lateness(load, way.done)
      const others = ahead[index + 1] ?? []
      const lateAll = late + [over, ...others].filter(minutes => minutes > 0).length
      const minutesAll = lateMin + [over, ...others].reduce((sum, minutes) => sum + minutes, 0)
      // The ways are in the order of their ends: the rest is later still.
      if (isLess(best, { late: lateAll, lateMin: minutesAll, crowdedMin: 0 })) return
      if (!fits(way, load)) continue
      change(way, 1)
      chosen.push({ way, load })
      visit(index + 1, late + (over > 0 ? 1 : 0), lateMin + over)
      chosen.pop()
      change(way, -1)
    }
  }
  visit(0, 0, 0)
  return best
}

const isLess = (a: Figures, b: Figures): boolean =>
  (a.late - b.late || a.lateMin - b.lateMin || a.crowdedMin - b.crowdedMin) < 0

function isThere(workshop: PlanWorkshop, now: number, hour: number): boolean {
  const date = new Date((now + hour * HOUR) * 60_000)
  const clock = `${String(date.getUTCHours()).padStart(2, '0')}:00`
  return (workshop.hours[date.getUTCDay()] ?? []).some(({ from, to }) => from <= clock && clock < to)
}

const hoursOn = (there: readonly boolean[], day: number): number =>
  there.slice(day * 24, day * 24 + 24).filter(Boolean).length

/** A lift needs somebody there just before or just after; work needs them all through. */
const attended = (there: readonly boolean[], from: number, to: number): boolean =>
  from === to ? Boolean(there[from] || there[from - 1]) : there.slice(from, to).every(Boolean) && to <= there.length

function waysOf(workshop: PlanWorkshop, load: PlanLoad, now: number, there: readonly boolean[]): Way[] {
  const { steps } = load
  const first = Math.max(0, Math.ceil((load.releaseMin - now) / HOUR))
  const found: number[][] = []
  const hours = (minutes: number): number => minutes / HOUR
  const visit = (moments: number[]): void => {
    const at = moments.length
    const step = steps[at]
    const before = steps[at - 1]
    const earliest = before === undefined ? first : (moments[at - 1] ?? 0) + hours(before.minutes)
    const stand =
      before === undefined ? Number.POSITIVE_INFINITY : hours(before.standAtMostMinutes ?? Number.POSITIVE_INFINITY)
    for (let hour = earliest; hour <= Math.min(there.length - 1, earliest + stand); hour += 1) {
      if (!isMomentFree(there, load, now, hour, before, step)) continue
      if (step === undefined) found.push([...moments, hour])
      else visit([...moments, hour])
    }
  }
  visit([])
  const pots = workshop.pots.filter(pot => load.bathMl <= pot.usableMl && !(load.iron && pot.noIron))
  const ways = found.flatMap(moments => pots.map(pot => wayOf(load, moments, pot.id)))
  return ways.sort((a, b) => a.done - b.done)
}

function isMomentFree(
  there: readonly boolean[],
  { wishes }: PlanLoad,
  now: number,
  hour: number,
  before: PlanStep | undefined,
  step: PlanStep | undefined,
): boolean {
  const from = hour - (before?.handsLastMinutes ?? 0) / HOUR
  const to = hour + Math.max(step?.handsFirstMinutes ?? 0, step?.heat ? step.minutes : 0) / HOUR
  // One stay without a break: hand work that ends here and hand work that begins here follow one another.
  if (from < 0 || !attended(there, from, to)) return false
  if (from === to) return wishes.every(wish => !(wish.fromMin <= now + hour * HOUR && now + hour * HOUR < wish.toMin))
  return wishes.every(wish => now + to * HOUR <= wish.fromMin || now + from * HOUR >= wish.toMin)
}

function wayOf(load: PlanLoad, moments: number[], pot: string): Way {
  const at = (index: number): number => moments[index] ?? 0
  const days = new Map<number, number>()
  const uses: Use[] = []
  for (let k = 0; k < moments.length; k += 1) {
    const from = at(k) - (load.steps[k - 1]?.handsLastMinutes ?? 0) / HOUR
    const to = at(k) + (load.steps[k]?.handsFirstMinutes ?? 0) / HOUR
    if (from < to) uses.push({ key: 'hands', from, to, amount: 1 })
    if (from < to) days.set(Math.floor(from / 24), (days.get(Math.floor(from / 24)) ?? 0) + to - from)
  }
  const keys = { 'soak tub': 'tubs', rinse: 'sinks', 'drying line': 'line' } as const
  for (const [k, { place }] of load.steps.entries())
    if (place !== 'pot' && place !== 'shelf')
      uses.push({ key: keys[place], from: at(k), to: at(k + 1), amount: place === 'drying line' ? load.lineNeed : 1 })
  const inPot = load.steps.flatMap(({ place }, k) => (place === 'pot' ? [k] : []))
  const [potFrom, potTo] = [at(inPot[0] ?? 0), at((inPot.at(-1) ?? -1) + 1)]
  if (inPot.length > 0) uses.push({ key: `pot ${pot}`, from: potFrom, to: potTo, amount: 1 })
  return { uses, pot, potFrom, potTo, done: at(load.steps.length), handsByDay: [...days] }
}

type Choice = { way: Way; load: PlanLoad }

function isScoured(workshop: PlanWorkshop, there: readonly boolean[], a: Choice, b: Choice): boolean {
  if (a.way.pot !== b.way.pot) return true
  const [first, second] = a.way.potTo <= b.way.potFrom ? [a, b] : [b, a]
  if (first.load.depth <= second.load.depth) return true
  const idle = there.slice(first.way.potTo, second.way.potFrom).filter(Boolean).length
  return idle * HOUR >= workshop.scourMinutes
}
