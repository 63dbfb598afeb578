/** What a workshop's calendar shows: the work of the plan, the days by which something is needed, and days away. */
import type { Day } from './calendar.js'
import type { CalendarEvent } from './icalendar.js'
import type { Plan } from './plan.js'
import { type ActNames, actsOf } from './plan-acts.js'
import { instantAt, type PlanLoad } from './plan-input.js'

/** The least that a lift takes in a calendar: common practice, no source. */
const LIFT_MINUTES = 10

/** One event for each time that hands are wanted. `uid`: a load's own part of the event's name, without a person's. */
export function workEvents(
  plan: Plan,
  loads: readonly PlanLoad[],
  names: ActNames & { uid(loadId: string): string; about(loadId: string): string },
): CalendarEvent[] {
  return actsOf(plan, loads, names).map(({ loadId, stepN, words, handsFromMin, handsToMin, hotUntilMin }) => {
    const endMin = Math.max(handsFromMin + LIFT_MINUTES, hotUntilMin ?? handsToMin)
    return {
      uid: `${names.uid(loadId)}-${stepN === null ? 'ready' : `step-${stepN}`}@tie-for-tie`,
      summary: words,
      description: names.about(loadId),
      when: { startsAt: instantAt(handsFromMin), endsAt: instantAt(endMin) },
    }
  })
}

/** Lots of one commission that are counted on for the same day: by a promise, or because they are needed by then. */
export type NeededBy = {
  commissionId: number
  day: Day
  isPromised: boolean
  lotIds: number[]
  clientName: string | null
}

export const neededEvents = (needed: readonly NeededBy[]): CalendarEvent[] =>
  needed.map(({ commissionId, day, isPromised, lotIds, clientName }) => ({
    uid: `commission-${commissionId}-lot-${lotIds[0]}-needed@tie-for-tie`,
    summary: `${isPromised ? 'Promised' : 'Needed'}: ${lotIds.length === 1 ? 'lot' : 'lots'} ${lotIds.join(', ')}${clientName === null ? '' : `, ${clientName}`}`,
    description: '',
    when: { fromDay: day, toDay: day },
  }))

export const awayEvents = (away: readonly { id: number; from: Day; to: Day }[]): CalendarEvent[] =>
  away.map(({ id, from, to }) => ({
    uid: `away-${id}@tie-for-tie`,
    summary: 'Nobody is in the workshop',
    description: '',
    when: { fromDay: from, toDay: to },
  }))
