/** When the day goes otherwise: what it does to the plan, whose day it moves, and what is to be said to them. */
import { type Day, sayDay } from './calendar.js'
import type { Plan } from './plan.js'
import { instantAt, type Minute, minuteAt, type PlanLoad, type PlanWorkshop } from './plan-input.js'
import { dayOf } from './wall-clock.js'

/** By how much longer a step takes than was planned. */
export type Overrun = { loadId: string; stepN: number; minutes: number }
/** A pot that cannot be used; instants in ISO 8601 UTC. */
export type PotRest = { potId: string; fromAt: string; untilAt: string }

/**
 * By how much longer a step takes that ends `stillMinutes` from now than it does now, by which it is to end at
 * `plannedEnd` and runs over by `overMinutes` already. It never ends sooner than without running over at all.
 */
export const overrunMinutes = (plannedEnd: Minute, now: Minute, stillMinutes: number, overMinutes: number): number =>
  Math.max(-overMinutes, Math.ceil(now + stillMinutes - plannedEnd))

/** The load with the steps that run over as long as they take now. */
export function withOverruns(load: PlanLoad, overruns: readonly Overrun[]): PlanLoad {
  const own = overruns.filter(({ loadId }) => loadId === load.id)
  if (own.length === 0) return load
  const more = (n: number) => own.reduce((sum, { stepN, minutes }) => sum + (stepN === n ? minutes : 0), 0)
  return { ...load, steps: load.steps.map(step => ({ ...step, minutes: step.minutes + more(step.n) })) }
}

/** The workshop without the pots that are out of use for a while. */
export const withPotRests = (workshop: PlanWorkshop, rests: readonly PotRest[]): PlanWorkshop => ({
  ...workshop,
  pots: workshop.pots.map(pot => ({
    ...pot,
    outOfUse: [
      ...pot.outOfUse,
      ...rests
        .filter(({ potId }) => potId === pot.id)
        .map(({ fromAt, untilAt }) => ({ fromMin: minuteAt(fromAt), toMin: minuteAt(untilAt) })),
    ],
  })),
})

/** A lot in the plan: which of the plan's loads it is in, and the day that its client counts on. */
export type CountedOn = {
  lotId: number
  loadIds: string[]
  /** The day that was last promised, or that it is needed by; null: they know of no day. */
  day: Day | null
  /** The earliest day that the plan had when that was said, as the client may have heard it. */
  earliest: Day | null
}

/** `to` null: it cannot be planned any more, so no day can be given. */
export type Telling = { lotId: number; from: Day; to: Day | null }

/** Whose lots will not be done on the day that they count on. Whoever was told already counts on the later day. */
export function tellingsOf(plan: Plan, lots: readonly CountedOn[], timeZone: string): Telling[] {
  const done = doneDays(plan, timeZone)
  const failed = new Set(plan.problems.map(({ loadId }) => loadId))
  return lots.flatMap(({ lotId, loadIds, day }): Telling[] => {
    if (day === null || loadIds.length === 0) return []
    if (loadIds.some(loadId => !done.has(loadId) && failed.has(loadId))) return [{ lotId, from: day, to: null }]
    const last = lastOf(loadIds, done)
    return last > day ? [{ lotId, from: day, to: last }] : []
  })
}

const doneDays = (plan: Plan, timeZone: string): Map<string, Day> =>
  new Map(plan.loads.map(load => [load.loadId, dayOf(instantAt(load.doneMin), timeZone)]))

const lastOf = (loadIds: readonly string[], done: ReadonlyMap<string, Day>): Day =>
  loadIds
    .map(loadId => done.get(loadId) ?? '')
    .sort()
    .at(-1) ?? ''

/** Done later than the plan had it when their day was said, and on that day or before: nobody has to be told. */
export type InTime = { lotId: number; earliest: Day; to: Day; day: Day }

export function laterInTime(plan: Plan, lots: readonly CountedOn[], timeZone: string): InTime[] {
  const done = doneDays(plan, timeZone)
  return lots.flatMap(({ lotId, loadIds, day, earliest }) => {
    const to = lastOf(loadIds, done)
    return day !== null && earliest !== null && to > earliest && to <= day ? [{ lotId, earliest, to, day }] : []
  })
}

export type MovedDay = {
  workshopName: string
  clientName: string
  lotId: number
  fibreName: string
  colour: string
  purpose: string
  from: Day
  to: Day | null
}

/** What the dyer may send to a client whose day moves: it knows of nobody else. */
export function movedDayMessage(moved: MovedDay): string {
  const { workshopName, clientName, lotId, fibreName, colour, purpose, from, to } = moved
  const news =
    to === null
      ? `It will not be ready on ${sayDay(from)} as I said, and I cannot give you a new day yet. I will write as soon as I can.`
      : `It will be ready on ${sayDay(to)}, not on ${sayDay(from)} as I said.`
  const ask =
    to === null
      ? 'If you need it back before, please tell me, and we will find a way.'
      : 'Please tell me whether that still does, or whether you would rather have it back sooner, as it is.'
  return [
    `Dear ${clientName},`,
    '',
    `this is about your ${fibreName}, ${colour}, for ${purpose} (lot ${lotId}).`,
    news,
    ask,
    '',
    'I am sorry for the change.',
    workshopName,
  ].join('\n')
}
