/** Whether the day that somebody asks for at drop-off can be kept, before it is accepted. */
import { type Day, sayDay } from './calendar.js'
import { type Plan, type PlannedLoad, type PlanOptions, planWork } from './plan.js'
import { type LoadChange, planChanges } from './plan-change.js'
import type { Minute, PlanLoad, PlanWorkshop } from './plan-input.js'
import type { PlanProblem } from './plan-problem.js'
import { dayAt, earliestOf, endOfDay, keptDay } from './plan-promise.js'

export type AskedDay = {
  neededBy: Day
  /** With today's plan as it is; null: it cannot be planned at all. */
  earliest: Day | null
  problem: PlanProblem | null
  /** An earlier day than that, for which others would move, none of them past its own day; null: there is none, or no need. */
  byMoving: { day: Day; changes: LoadChange[] } | null
  /** What of it is done last with today's plan as it is; null: it cannot be planned. */
  last: PlannedLoad | null
  /** By its day as planned, by its day when others move, or not. */
  answer: 'kept' | 'by moving' | 'not kept' | 'not planned'
}

/**
 * `plan` is the plan of `loads` at `now`; `newcomers` are the loads of what has just come, and not among them. Nobody
 * asks for an earlier day than `neededBy`, so none is looked for.
 */
export function askedDay(
  workshop: PlanWorkshop,
  loads: readonly PlanLoad[],
  now: Minute,
  plan: Plan,
  newcomers: readonly PlanLoad[],
  neededBy: Day,
  options: Pick<PlanOptions, 'effort'> = {},
): AskedDay {
  const { timeZone } = workshop
  const ids = new Set(newcomers.map(({ id }) => id))
  const wanting = (neededByMin: Minute | null) => newcomers.map(load => ({ ...load, neededByMin }))
  const lastDay = (one: Plan): Day =>
    dayAt(Math.max(...one.loads.filter(({ loadId }) => ids.has(loadId)).map(({ doneMin }) => doneMin)), timeZone)
  const atTheEnd = planWork(workshop, [...loads, ...wanting(null)], now, { effort: 0, from: plan })
  const problem = atTheEnd.problems.find(({ loadId }) => ids.has(loadId)) ?? null
  const placed = atTheEnd.loads.filter(({ loadId }) => ids.has(loadId)).length
  if (problem !== null || placed < newcomers.length || placed === 0)
    return { neededBy, earliest: null, problem, byMoving: null, last: null, answer: 'not planned' }
  const earliest = lastDay(atTheEnd)
  const own = atTheEnd.loads.filter(({ loadId }) => ids.has(loadId))
  const last = own.toSorted((a, b) => b.doneMin - a.doneMin)[0] ?? null
  if (earliest <= neededBy) return { neededBy, earliest, problem, byMoving: null, last, answer: 'kept' }
  const kept = loads.map(load => keptDay(load, plan))
  const trial = (day: Day) => {
    const wanted = wanting(endOfDay(day, timeZone))
    const after = planWork(workshop, [...kept, ...wanted], now, { ...options, from: plan, keepTo: plan })
    const isThere = wanted.every(({ id }) => after.loads.some(({ loadId }) => loadId === id))
    if (!isThere || after.score.late > 0) return null
    const changes = planChanges(plan, after, timeZone).filter(({ loadId }) => !ids.has(loadId))
    return { day: lastDay(after), changes }
  }
  const byMoving = earliestOf(neededBy, earliest, trial)
  const answer = byMoving !== null && byMoving.day <= neededBy ? 'by moving' : 'not kept'
  return { neededBy, earliest, problem, byMoving, last, answer }
}

type Said = Omit<AskedDay, 'last'>

/** The earliest day, where nobody asked for one. */
export function sayEarliest({ earliest, problem, byMoving }: Said): string {
  if (earliest === null) return sayNoDay(problem)
  const sooner = byMoving === null ? '' : `, or ${sayDay(byMoving.day)} when others move`
  return `The earliest day is ${sayDay(earliest)} as things are planned${sooner}.`
}

const sayNoDay = (problem: PlanProblem | null): string =>
  `No day can be promised yet.${problem === null ? '' : ` ${problem.words}`}`

/** One line beside the needed-by day. */
export function sayAskedDay({ neededBy, earliest, problem, byMoving, answer }: Said): string {
  if (earliest === null) return sayNoDay(problem)
  if (answer === 'kept') return `Can be done by ${sayDay(earliest)} as things are planned.`
  if (answer === 'by moving')
    return `Can be done by ${sayDay(neededBy)} when others move; as planned, by ${sayDay(earliest)}.`
  return `Cannot be done by ${sayDay(neededBy)}. ${sayEarliest({ neededBy, earliest, problem, byMoving, answer })}`
}
