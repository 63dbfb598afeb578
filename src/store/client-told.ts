import { sql } from 'kysely'
import type { Told } from '../domain/client-told.js'
import { lotStanding } from '../domain/hand-back.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { lotsOfCommission } from './lots.js'
import { ready } from './ready.js'

/** What the client was last told of a lot that is ready, or why not. `onDay` is YYYY-MM-DD. */
export type LotTold = { onDay: string; how: Told; words: string; who: string }

/** A lot all of which is on the ready shelf; `told` is null as long as the client does not know. */
export type ReadyLot = { lotId: number; commissionId: number; colour: string; told: LotTold | null }

/** A later bath makes a lot ready anew, and then the client is told anew: only what was told since counts. */
const readyLots = ready(db =>
  db
    .selectFrom('lot')
    .innerJoin('bundle', 'bundle.lot_id', 'lot.id')
    .leftJoin('client_told', join =>
      join.on(
        'client_told.id',
        '=',
        sql<number>`(select max(t.id) from client_told t where t.lot_id = lot.id and t.at >= coalesce((
          select max(at) from correction where of_table = 'commission' and row_id = lot.commission_id), '')
          and t.at >= coalesce((
          select max(move.at) from move join bundle b on b.id = move.bundle_id
          where b.lot_id = lot.id and move.to_place = 'ready shelf'), ''))`,
      ),
    )
    .leftJoin('worker', 'worker.id', 'client_told.worker_id')
    .where('lot.closed_at', 'is', null)
    .groupBy('lot.id')
    .having(sql<boolean>`sum(bundle.place = 'ready shelf') > 0
      and sum(bundle.place not in ('ready shelf', 'handed back', 'not found', 'withdrawn')) = 0`)
    .select([
      'lot.id as lotId',
      'lot.commission_id as commissionId',
      'lot.colour',
      'client_told.on_day as onDay',
      'client_told.how',
      'client_told.words',
      'worker.name as who',
    ])
    .orderBy('lot.id'),
)

/** Every lot that is ready to be fetched, with what its client knows of it. */
export async function lotsReadyToFetch(db: Db): Promise<ReadyLot[]> {
  const rows = await readyLots(db)
  return rows.map(({ lotId, commissionId, colour, onDay, how, words, who }) => ({
    lotId,
    commissionId,
    colour,
    told: onDay === null || how === null ? null : { onDay, how, words: words ?? '', who: who ?? '' },
  }))
}

/** Writes down that the client was told of everything of theirs that is ready, or why they cannot be. */
export async function tellClient(
  trx: Trx,
  by: By,
  { commissionId, onDay, how, words }: { commissionId: number; onDay: string; how: Told; words: string },
): Promise<void> {
  const lots = await lotsOfCommission(trx, commissionId)
  if (lots.length === 0) throw new Refusal('not-found', 'There is no such commission.')
  const untold = (await lotsReadyToFetch(trx)).filter(lot => lot.commissionId === commissionId && lot.told === null)
  if (untold.length === 0) throw new Refusal('conflict', saidWhenNoneWaits(lots.map(lot => lot.bundles)))
  for (const { lotId } of untold) {
    await trx
      .insertInto('client_told')
      .values({ lot_id: lotId, on_day: onDay, how, words, at: by.at, worker_id: by.workerId })
      .execute()
    // Its words stay where they can be erased with the client.
    const what = how === 'cannot be told' ? 'ready; the client cannot be told' : `client told ${how} that it is ready`
    await remember(trx, by, { lotId, commissionId, what, became: { onDay } })
  }
}

const saidWhenNoneWaits = (lots: readonly (readonly { place: Parameters<typeof lotStanding>[0][number] }[])[]) =>
  lots.some(bundles => lotStanding(bundles.map(({ place }) => place)) === 'ready')
    ? 'The client was told of everything that is ready already.'
    : 'Nothing of this commission is ready as a whole lot; there is nothing to tell yet.'
