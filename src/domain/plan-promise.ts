/** What a day to promise is looked for with: the days between, and the day that each other load keeps. */
import { addDays, type Day, daysBetween } from './calendar.js'
import type { Plan } from './plan.js'
import { instantAt, type Minute, minuteAt, type PlanLoad } from './plan-input.js'
import { dayOf, localToUtc } from './wall-clock.js'

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

/** Nobody else is to suffer: needed by when it was needed, or by when it is planned now if that is later. */
export function keptDay(load: PlanLoad, plan: Plan): PlanLoad {
  const doneMin = plan.loads.find(one => one.loadId === load.id)?.doneMin
  if (load.neededByMin === null || doneMin === undefined) return load
  return { ...load, neededByMin: Math.max(load.neededByMin, doneMin) }
}

export const dayAt = (minute: Minute, timeZone: string): Day => dayOf(instantAt(minute), timeZone)

/** The midnight at the end of a day: what is done then is done on that day. */
export const endOfDay = (day: Day, timeZone: string): Minute => minuteAt(localToUtc(addDays(day, 1), '00:00', timeZone))
