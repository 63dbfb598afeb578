/** Wishes that cannot be met here: each waits for the client's decision, and the work with it. */
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { ready } from './ready.js'

export type UnmetWish = {
  id: number
  words: string
  at: string
  who: string
  decision: string
  decidedBy: string
  decidedAt: string | null
}

/** The history tells that there is one; its words are the client's and stand only here, where they can be erased. */
export async function noteUnmetWish(trx: Trx, by: By, commissionId: number, words: string): Promise<void> {
  await trx
    .insertInto('unmet_wish')
    .values({ commission_id: commissionId, words, at: by.at, worker_id: by.workerId })
    .execute()
  await remember(trx, by, { commissionId, what: 'a wish cannot be met: the client is to decide' })
}

export type Decision = { decision: string; decidedBy: string }

export async function decideWish(trx: Trx, by: By, commissionId: number, id: number, decided: Decision): Promise<void> {
  const wish = (await unmetWishes(trx, commissionId)).find(one => one.id === id)
  if (!wish) throw new Refusal('not-found', 'There is no such wish.')
  if (wish.decidedAt !== null) throw new Refusal('conflict', 'This was decided already; what was decided stands below.')
  await trx
    .updateTable('unmet_wish')
    .set({ decision: decided.decision, decided_by: decided.decidedBy, decided_at: by.at, noted_by: by.workerId })
    .where('id', '=', id)
    .execute()
  await remember(trx, by, { commissionId, what: 'the client decided about a wish' })
}

const wishes = ready((db, commissionId: number) =>
  db
    .selectFrom('unmet_wish')
    .innerJoin('worker', 'worker.id', 'unmet_wish.worker_id')
    .select([
      'unmet_wish.id',
      'words',
      'unmet_wish.at',
      'worker.name as who',
      'decision',
      'decided_by as decidedBy',
      'decided_at as decidedAt',
    ])
    .where('commission_id', '=', commissionId)
    .orderBy('unmet_wish.id'),
)

export const unmetWishes = (db: Db, commissionId: number): Promise<UnmetWish[]> => wishes(db, commissionId)

export const openWishes = async (db: Db, commissionId: number): Promise<UnmetWish[]> =>
  (await unmetWishes(db, commissionId)).filter(({ decidedAt }) => decidedAt === null)
