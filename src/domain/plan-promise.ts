/** The earliest day that can be promised for a load that has just come, and what would have to move for an earlier one. */
import { addDays, type Day, daysBetween } from './calendar.js'
import { draftOf, EFFORT, follow, type Plan, type PlannedLoad, planFrom, planWork } from './plan.js'
import { type LoadChange, planChanges } from './plan-change.js'
import { instantAt, type Minute, minuteAt, type PlanLoad, type PlanWorkshop } from './plan-input.js'
import type { PlanProblem } from './plan-problem.js'
import { dayOf, localToUtc } from './wall-clock.js'

export type Offer = {
  /** The day on which it is done. */
  day: Day
  planned: PlannedLoad
}

export type EarlierOffer = Offer & { plan: Plan; changes: LoadChange[] }

export type DayPromise = {
  /** It cannot be planned at all; there is no day then. */
  problem: PlanProblem | null
  /** With today's plan as it is. */
  asPlanned: Offer | null
  /** An earlier day for which others would move, but none past its needed-by moment (or later than it is now). */
  byMoving: EarlierOffer | null
}

export type PromiseOptions = { effort?: number }

/** `plan` is the plan of `loads` at `now`; `newcomer` is not among them. Its own needed-by moment plays no part. */
export function earliestPromise(
  workshop: PlanWorkshop,
  loads: readonly PlanLoad[],
  now: Minute,
  plan: Plan,
  newcomer: PlanLoad,
  options: PromiseOptions = {},
): DayPromise {
  const wantless = { ...newcomer, neededByMin: null }
  const asPlanned = atTheEnd(workshop, loads, now, plan, wantless)
  const alone = planWork(workshop, [wantless], now, { effort: 0 })
  const problem = alone.problems.find(one => one.loadId === newcomer.id) ?? null
  if (asPlanned === null || problem !== null) return { problem, asPlanned: null, byMoving: null }
  const soonest = dayAt(alone.loads[0]?.doneMin ?? now, workshop.timeZone)
  const kept = loads.map(load => keptDay(load, plan))
  const trial = (day: Day): EarlierOffer | null => {
    const wanted = { ...newcomer, neededByMin: endOfDay(day, workshop.timeZone) }
    const effort = options.effort ?? EFFORT.least + EFFORT.perLoad * loads.length
    const after = planWork(workshop, [...kept, wanted], now, { effort, from: plan })
    const planned = after.loads.find(load => load.loadId === newcomer.id)
    if (planned === undefined || after.score.late > 0) return null
    const changes = planChanges(plan, after, workshop.timeZone).filter(change => change.loadId !== newcomer.id)
    return { day: dayAt(planned.doneMin, workshop.timeZone), planned, plan: after, changes }
  }
  return { problem, asPlanned, byMoving: earliestOf(soonest, asPlanned.day, trial) }
}

/** Tries the days between, halving: a day that can be had leaves those before it, one that cannot those after it. */
export function earliestOf<Had extends { day: Day }>(
  soonest: Day,
  sure: Day,
  trial: (day: Day) => Had | null,
): Had | null {
  let best: Had | null = null
  let [low, high] = [0, daysBetween(soonest, sure)]
  while (low < high) {
    const middle = (low + high) >> 1
    const offer = trial(addDays(soonest, middle))
    if (offer !== null) best = offer
    if (offer !== null) high = Math.min(middle, daysBetween(soonest, offer.day))
    else low = middle + 1
  }
  return best
}

function atTheEnd(
  workshop: PlanWorkshop,
  loads: readonly PlanLoad[],
  now: Minute,
  plan: Plan,
  newcomer: PlanLoad,
): Offer | null {
  const draft = draftOf(workshop, [...loads, newcomer], now)
  follow(draft, plan)
  const planned = planFrom(draft).loads.find(load => load.loadId === newcomer.id)
  return planned === undefined ? null : { day: dayAt(planned.doneMin, workshop.timeZone), planned }
}

/** Nobody else is to suffer: needed by when it was needed, or by when it is planned now if that is later. */
export function keptDay(load: PlanLoad, plan: Plan): PlanLoad {
  const doneMin = plan.loads.find(one => one.loadId === load.id)?.doneMin
  if (load.neededByMin === null || doneMin === undefined) return load
  return { ...load, neededByMin: Math.max(load.neededByMin, doneMin) }
}

export const dayAt = (minute: Minute, timeZone: string): Day => dayOf(instantAt(minute), timeZone)

/** The midnight at the end of a day: what is done then is done on that day. */
export const endOfDay = (day: Day, timeZone: string): Minute => minuteAt(localToUtc(addDays(day, 1), '00:00', timeZone))
