/** The plan of everything that is here. */
import type { Plan, PlanOptions } from '../domain/plan.js'
import { planCuts, type Ways } from '../domain/plan-cuts.js'
import { type Minute, minuteAt, type PlanLoad } from '../domain/plan-input.js'
import type { Db } from './db.js'
import { keptPlans } from './kept-plans.js'
import { factsCut, type Item, type Learnt, type OpenFacts, openFacts, type PlanFacts } from './plan-facts.js'

export type WorkPlan = { facts: PlanFacts; plan: Plan }

/** The plan as it is at `at` (ISO 8601 UTC): the plan so far, as it was kept last, is followed where it can be. */
export async function workPlan(db: Db, at: string, learnt?: Learnt): Promise<WorkPlan> {
  return planOf(await openFacts(db, at, learnt), minuteAt(at), await planSoFar(db))
}

export async function planSoFar(db: Db): Promise<PlanOptions> {
  const { last } = await keptPlans(db)
  return last === undefined ? {} : { from: last.plan, keepTo: last.plan }
}

/** How the lots that wait are cut into loads is part of the plan. */
export function planOf(facts: OpenFacts, now: Minute, options: PlanOptions): WorkPlan {
  const { plan, chosen } = planCuts(facts.workshop, loadsIn(facts.laid), waysIn(facts.waiting), now, options)
  return { facts: factsCut(facts, chosen), plan }
}

export const loadsIn = (items: readonly Item[]): PlanLoad[] => items.map(({ load }) => load)
export const waysIn = (waiting: readonly Item[][][]): Ways[] => waiting.map(ways => ways.map(loadsIn))
