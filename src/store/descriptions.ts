/** How lots and bundles looked, in words: append-only. */
import type { Moment } from '../domain/photograph.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { ownerOf, type Shown, subjectOf } from './photographs.js'
import { ready } from './ready.js'

export type Description = {
  id: number
  lotId: number
  bundleId: number | null
  n: number | null
  moment: Moment
  at: string
  who: string
  words: string
}

export const descriptionsOfLot: (db: Db, lotId: number) => Promise<Description[]> = ready((db, lotId: number) =>
  db
    .selectFrom('description')
    .innerJoin('worker', 'worker.id', 'description.worker_id')
    .leftJoin('bundle', 'bundle.id', 'description.bundle_id')
    .select([
      'description.id',
      'description.lot_id as lotId',
      'description.bundle_id as bundleId',
      'bundle.n',
      'description.moment',
      'description.at',
      'worker.name as who',
      'description.words',
    ])
    .where('description.lot_id', '=', lotId)
    .orderBy('description.id'),
)

export async function describe(trx: Trx, by: By, shown: Shown): Promise<void> {
  await ownerOf(trx, shown.lotId)
  const subject = await subjectOf(trx, shown)
  await trx
    .insertInto('description')
    .values({
      lot_id: shown.lotId,
      bundle_id: shown.bundleId,
      moment: shown.moment,
      at: by.at,
      worker_id: by.workerId,
      words: shown.words,
    })
    .execute()
  await remember(trx, by, { lotId: shown.lotId, what: `described ${shown.moment}: ${subject}`, words: shown.words })
}
