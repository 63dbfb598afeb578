/** The plan so far, as it was kept each time. */
import type { Plan } from '../domain/plan.js'
import type { By, Db, Trx } from './db.js'
import { ready } from './ready.js'

export type KeptPlan = { id: number; at: string; who: string; why: string; plan: Plan }

/** `why`: what happened, in the dyer's words: "Pot 2 is out of use". */
export async function keepPlan(trx: Trx, by: By, plan: Plan, why: string): Promise<void> {
  await trx
    .insertInto('kept_plan')
    .values({ at: by.at, worker_id: by.workerId, why, plan: JSON.stringify(plan) })
    .execute()
}

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
  const [last, before] = (await newest(db)).map(row => ({ ...row, plan: JSON.parse(row.plan) as Plan }))
  return { last, before }
}
