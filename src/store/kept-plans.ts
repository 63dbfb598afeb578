/** The plan so far, as it was kept each time. */
import type { PlanSoFar } from '../domain/plan.js'
import type { By, Db, Trx } from './db.js'
import { ready } from './ready.js'

export type KeptPlan = { id: number; at: string; who: string; why: string; plan: PlanSoFar }

/** `why`: what happened, in the dyer's words: "Pot 2 is out of use". */
export async function keepPlan(trx: Trx, by: By, plan: PlanSoFar, why: string): Promise<void> {
  await trx
    .insertInto('kept_plan')
    .values({ at: by.at, worker_id: by.workerId, why, plan: JSON.stringify(slim(plan)) })
    .execute()
}

/** Without its reasons, which nobody asks of what has been. */
const slim = ({ loads, problems }: PlanSoFar): PlanSoFar => ({
  loads: loads.map(({ loadId, potId, startMin, doneMin, neededByMin, lateMin, steps }) => ({
    ...{ loadId, potId, startMin, doneMin, neededByMin, lateMin },
    steps: steps.map(step => ({ n: step.n, title: step.title, startMin: step.startMin, potId: step.potId })),
  })),
  problems: problems.map(({ loadId }) => ({ loadId })),
})

const newest = ready(db =>
  db
    .selectFrom('kept_plan')
    .innerJoin('worker', 'worker.id', 'kept_plan.worker_id')
    .select(['kept_plan.id', 'at', 'worker.name as who', 'why', 'plan'])
    .orderBy('kept_plan.id', 'desc')
    .limit(2),
)

/** The last plan that was kept, and the one before it. */
export async function keptPlans(db: Db): Promise<{ last: KeptPlan | undefined; before: KeptPlan | undefined }> {
  const [last, before] = (await newest(db)).map(row => ({ ...row, plan: JSON.parse(row.plan) as PlanSoFar }))
  return { last, before }
}
