/** A week of the plan, row by row: which load is where from when to when, and the dyer's hours around it. */
import { addDays, type Day, weekdayOf } from './calendar.js'
import type { Plan, PlannedLoad, PlannedStep } from './plan.js'
import { hoursOn, wallMinute } from './plan-hours.js'
import { instantAt, type Minute, type PlanWorkshop, type Span } from './plan-input.js'
import { dayOf } from './wall-clock.js'

/** One step of a load in a row; from `hadMin` on it has had its time and stands until the next step takes it. */
export type WeekPart = { n: number; title: string; fromMin: Minute; hadMin: Minute; toMin: Minute }

/** One load in one row without a break. */
export type WeekBar = { loadId: string; fromMin: Minute; toMin: Minute; parts: WeekPart[] }

/** Bars of one lane never overlap; a pot has one lane, and is out of use for a while in the spans of `out`. */
export type WeekRow = { place: PlannedStep['place']; potId: string | null; lanes: WeekBar[][]; out: Span[] }

export type WeekDay = Span & {
  day: Day
  /** The dyer's hours. */
  work: Span[]
  /** Between these lie the working hours of the whole week on this day's wall: before and after it is night. */
  openMin: Minute
  closeMin: Minute
}

export type Week = {
  nowMin: Minute
  days: WeekDay[]
  rows: WeekRow[]
  /** Loads that are needed by the end of a day of this week. */
  needed: { loadId: string; day: Day; late: boolean }[]
}

export const mondayOf = (day: Day): Day => addDays(day, -((weekdayOf(day) + 6) % 7))

export function weekOf(plan: Plan, workshop: PlanWorkshop, monday: Day): Week {
  const days = weekDays(workshop, monday)
  const [fromMin, toMin] = [days[0]?.fromMin ?? 0, days.at(-1)?.toMin ?? 0]
  const bars = (isIn: (step: PlannedStep) => boolean): WeekBar[] =>
    plan.loads.flatMap(load => barsOf(load, isIn)).filter(bar => bar.fromMin < toMin && bar.toMin > fromMin)
  const pots = workshop.pots.map(
    ({ id, outOfUse }): WeekRow => ({
      place: 'pot',
      potId: id,
      lanes: lanesOf(bars(step => step.potId === id)),
      out: outOfUse.filter(span => span.fromMin < toMin && span.toMin > fromMin),
    }),
  )
  const others = (['soak tub', 'rinse', 'drying line'] as const).map(
    (place): WeekRow => ({
      place,
      potId: null,
      lanes: lanesOf(bars(step => step.place === place && step.potId === null)),
      out: [],
    }),
  )
  return {
    nowMin: plan.nowMin,
    days,
    rows: [...pots, ...others.filter(({ lanes }) => lanes.length > 0)],
    needed: plan.loads.flatMap(load => neededIn(load, days, workshop.timeZone)),
  }
}

function weekDays(workshop: PlanWorkshop, monday: Day): WeekDay[] {
  const clocks = workshop.hours.flat()
  const open = clocks.map(({ from }) => from).sort()[0] ?? '08:00'
  const close =
    clocks
      .map(({ to }) => to)
      .sort()
      .at(-1) ?? '18:00'
  const at = (day: Day, clock: string): Minute => wallMinute(day, clock, workshop.timeZone)
  return Array.from({ length: 7 }, (_, n) => addDays(monday, n)).map(day => ({
    day,
    fromMin: at(day, '00:00'),
    toMin: at(day, '24:00'),
    openMin: at(day, open),
    closeMin: at(day, close),
    work: hoursOn(workshop, day),
  }))
}

/** Steps that follow one another in the same row are one bar. */
function barsOf(load: PlannedLoad, isIn: (step: PlannedStep) => boolean): WeekBar[] {
  const bars: WeekBar[] = []
  for (const step of load.steps.filter(isIn)) {
    const { n, title, startMin, leaveMin } = step
    const part = { n, title, fromMin: startMin, hadMin: Math.min(step.endMin, leaveMin), toMin: leaveMin }
    const last = bars.at(-1)
    if (last === undefined || last.toMin !== startMin)
      bars.push({ loadId: load.loadId, fromMin: startMin, toMin: leaveMin, parts: [part] })
    else {
      last.parts.push(part)
      last.toMin = leaveMin
    }
  }
  return bars
}

/** As few lanes as it goes: each bar into the first that is free by then. */
function lanesOf(bars: WeekBar[]): WeekBar[][] {
  const lanes: WeekBar[][] = []
  for (const bar of bars.toSorted((a, b) => a.fromMin - b.fromMin || a.toMin - b.toMin)) {
    const free = lanes.find(lane => (lane.at(-1)?.toMin ?? 0) <= bar.fromMin)
    if (free) free.push(bar)
    else lanes.push([bar])
  }
  return lanes
}

function neededIn(load: PlannedLoad, days: readonly WeekDay[], timeZone: string): Week['needed'] {
  if (load.neededByMin === null) return []
  // The last minute of the day that was asked for.
  const day = dayOf(instantAt(load.neededByMin - 1), timeZone)
  return days.some(one => one.day === day) ? [{ loadId: load.loadId, day, late: load.lateMin > 0 }] : []
}
