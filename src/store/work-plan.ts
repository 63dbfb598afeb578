/** The plan of everything that is here. */
import { type Plan, type PlanOptions, planWork } from '../domain/plan.js'
import { type Minute, minuteAt } from '../domain/plan-input.js'
import type { Db } from './db.js'
import { keptPlans } from './kept-plans.js'
import { type Learnt, type PlanFacts, planFacts } from './plan-facts.js'

export const planNow = (facts: Pick<PlanFacts, 'workshop' | 'loads'>, now: Minute, options: PlanOptions = {}): Plan =>
  planWork(facts.workshop, facts.loads, now, options)

export type WorkPlan = { facts: PlanFacts; plan: Plan }

/** The plan as it is at `at` (ISO 8601 UTC): the plan so far, as it was kept last, is followed where it can be. */
export async function workPlan(db: Db, at: string, learnt?: Learnt): Promise<WorkPlan> {
  const facts = await planFacts(db, at, learnt)
  const { last } = await keptPlans(db)
  return { facts, plan: planNow(facts, minuteAt(at), last === undefined ? {} : { from: last.plan }) }
}
