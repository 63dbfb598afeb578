/** Lots that share no bath and no shelf with another until somebody releases them with a note. */
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { numbersIn, ready } from './ready.js'

export type Apart = { lotId: number; why: string; at: string; who: string }

const apart = ready((db, lotIds: string) =>
  db
    .selectFrom('keep_apart')
    .innerJoin('worker', 'worker.id', 'keep_apart.worker_id')
    .select(['lot_id as lotId', 'why', 'keep_apart.at', 'worker.name as who'])
    .where('lot_id', 'in', numbersIn(lotIds))
    .where('released_at', 'is', null)
    .orderBy('lot_id'),
)

/** Those of these lots that are kept apart now, each with the reason. */
export const keptApart = (db: Db, lotIds: readonly number[]): Promise<Apart[]> => apart(db, JSON.stringify(lotIds))

const sharedBy = ready((db, lotIds: string) =>
  db
    .selectFrom('bundle')
    .innerJoin('spot', 'spot.id', 'bundle.spot_id')
    .innerJoin('bundle as other', join =>
      join.onRef('other.spot_id', '=', 'bundle.spot_id').onRef('other.lot_id', '<>', 'bundle.lot_id'),
    )
    .select(['bundle.lot_id as lotId', 'spot.name as spotName'])
    .distinct()
    .where('bundle.lot_id', 'in', numbersIn(lotIds))
    .orderBy('spot.name'),
)

/** The spots at which these lots lie beside others: where they lay before somebody saw that they must not. */
export const spotsShared = (db: Db, lotIds: readonly number[]): Promise<{ lotId: number; spotName: string }[]> =>
  sharedBy(db, JSON.stringify(lotIds))

/** Marks a lot at its drop-off; the line of history is that of taking it in. */
export async function writeKeptApart(trx: Trx, by: By, lotId: number, why: string): Promise<void> {
  await trx.insertInto('keep_apart').values({ lot_id: lotId, why, at: by.at, worker_id: by.workerId }).execute()
}

/** Marks a lot later: something was seen on the shelf. */
export async function keepApart(trx: Trx, by: By, lotId: number, why: string): Promise<void> {
  const lot = await openLot(trx, lotId)
  const [already] = await keptApart(trx, [lotId])
  if (already) throw new Refusal('conflict', `Lot ${lotId} is kept apart already, because: ${already.why}.`)
  await writeKeptApart(trx, by, lotId, why)
  await remember(trx, by, { commissionId: lot.commissionId, lotId, what: 'kept apart', words: why })
}

export async function release(trx: Trx, by: By, lotId: number, note: string): Promise<void> {
  const lot = await openLot(trx, lotId)
  const [mark] = await keptApart(trx, [lotId])
  if (!mark) throw new Refusal('conflict', `Lot ${lotId} is not kept apart any more.`)
  if (note.trim() === '') throw new Refusal('wrong', `Say why lot ${lotId} may lie beside others again.`)
  await trx
    .updateTable('keep_apart')
    .set({ released_at: by.at, released_by: by.workerId, release_note: note })
    .where('lot_id', '=', lotId)
    .where('released_at', 'is', null)
    .execute()
  await remember(trx, by, {
    commissionId: lot.commissionId,
    lotId,
    what: 'not kept apart any more',
    words: note,
  })
}

async function openLot(trx: Trx, lotId: number): Promise<{ commissionId: number }> {
  const lot = await trx
    .selectFrom('lot')
    .select(['commission_id as commissionId', 'closed_at as closedAt'])
    .where('id', '=', lotId)
    .executeTakeFirst()
  if (!lot) throw new Refusal('not-found', 'There is no such lot.')
  if (lot.closedAt !== null) throw new Refusal('conflict', `Lot ${lotId} has gone back.`)
  return lot
}
