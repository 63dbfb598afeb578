import type { Nearness } from '../domain/outcome.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { ready } from './ready.js'
import { noteLotText } from './search.js'

export type Outcome = { swatch: string | null; nearness: Nearness; words: string }
export type KnownOutcome = Outcome & { id: number; at: string; who: string }

/**
 * Writes down what came out, also of a lot that has long gone back (a colour may turn later). A later word is added
 * beside the earlier ones, and touches neither what was asked nor what was computed.
 */
export async function noteOutcome(trx: Trx, by: By, { lotId, ...outcome }: Outcome & { lotId: number }): Promise<void> {
  const lot = await trx
    .selectFrom('lot')
    .select('commission_id as commissionId')
    .where('id', '=', lotId)
    .executeTakeFirst()
  if (!lot) throw new Refusal('not-found', 'There is no such lot.')
  await trx
    .insertInto('outcome')
    .values({ ...outcome, lot_id: lotId, at: by.at, worker_id: by.workerId })
    .execute()
  await remember(trx, by, {
    lotId,
    commissionId: lot.commissionId,
    what: `came out ${outcome.nearness}`,
    became: outcome,
    words: outcome.words,
  })
  await noteLotText(trx, lotId)
}

/** All that was said of what came out, the newest first. */
export const outcomesOfLot: (db: Db, lotId: number) => Promise<KnownOutcome[]> = ready((db, lotId: number) =>
  db
    .selectFrom('outcome')
    .innerJoin('worker', 'worker.id', 'outcome.worker_id')
    .select(['outcome.id', 'outcome.at', 'worker.name as who', 'swatch', 'nearness', 'words'])
    .where('lot_id', '=', lotId)
    .orderBy('outcome.id', 'desc'),
)
