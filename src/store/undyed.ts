/** Fibre that goes back without a bath: taken in by mistake, or not to be dyed after all. Its ties never came off. */
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { findLot, type Lot } from './lots.js'

/** Begins the reason of such a move, so that a slip can tell it from every other. */
const UNDYED = 'goes back undyed: '

/** Bundles of a lot that still wait on the arrivals shelf and never lay in a pot that was used. */
export const mayGoUndyed = (lot: Pick<Lot, 'bundles' | 'closedAt'>) =>
  lot.closedAt === null ? lot.bundles.filter(({ place, tiesOff }) => place === 'arrivals shelf' && tiesOff === 0) : []

export type Undyed = { lotId: number; why: string }

/** Lays what waits of a lot on the ready shelf as it is; the hand-back then goes its ordinary way. */
export async function layReadyUndyed(trx: Trx, by: By, { lotId, why }: Undyed): Promise<number> {
  const lot = await findLot(trx, lotId)
  if (!lot) throw new Refusal('not-found', 'There is no such lot.')
  const bundles = mayGoUndyed(lot)
  if (bundles.length === 0)
    throw new Refusal(
      'conflict',
      `Nothing of lot ${lotId} waits on the arrivals shelf: there is nothing to send back undyed.`,
    )
  for (const { id, place } of bundles) {
    await trx.updateTable('bundle').set({ place: 'ready shelf' }).where('id', '=', id).execute()
    const move = {
      bundle_id: id,
      from_place: place,
      to_place: 'ready shelf',
      at: by.at,
      worker_id: by.workerId,
    } as const
    await trx
      .insertInto('move')
      .values({ ...move, load_id: null, why: `${UNDYED}${why}` })
      .execute()
  }
  const ns = bundles.map(({ n }) => n)
  await remember(trx, by, {
    lotId,
    commissionId: lot.commissionId,
    what: 'goes back undyed',
    became: { ns },
    words: why,
  })
  return bundles.length
}

/** Why a lot that was in no bath goes back undyed; '' when nobody said so. */
export async function undyedWhyOf(db: Db, lotId: number): Promise<string> {
  const row = await db
    .selectFrom('move')
    .innerJoin('bundle', 'bundle.id', 'move.bundle_id')
    .select('move.why')
    .where('bundle.lot_id', '=', lotId)
    .where('move.why', 'like', `${UNDYED}%`)
    .orderBy('move.id', 'desc')
    .executeTakeFirst()
  return row?.why.slice(UNDYED.length) ?? ''
}
