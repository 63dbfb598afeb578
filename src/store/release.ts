import type { OpenPoint } from '../domain/open-point.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'

export type ReleaseMark = { held: boolean; reason: string; at: string; who: string }

/** The marks of a commission, newest first. The newest one counts. */
export async function releaseMarks(db: Db, commissionId: number): Promise<ReleaseMark[]> {
  const rows = await db
    .selectFrom('release_mark')
    .innerJoin('worker', 'worker.id', 'release_mark.worker_id')
    .select(['held', 'reason', 'release_mark.at', 'worker.name as who'])
    .where('commission_id', '=', commissionId)
    .orderBy('release_mark.id', 'desc')
    .execute()
  return rows.map(row => ({ ...row, held: row.held === 1 }))
}

/** Marks a commission "do not release", or lifts the mark; each with its reason. */
export async function markRelease(
  trx: Trx,
  by: By,
  { commissionId, held, reason }: { commissionId: number; held: boolean; reason: string },
): Promise<void> {
  const lots = await trx.selectFrom('lot').select('id').where('commission_id', '=', commissionId).execute()
  if (lots.length === 0) throw new Refusal('not-found', 'There is no such commission.')
  const [newest] = await releaseMarks(trx, commissionId)
  if ((newest?.held ?? false) === held)
    throw new Refusal('conflict', held ? 'This commission is marked already.' : 'The mark was lifted already.')
  await trx
    .insertInto('release_mark')
    .values({ commission_id: commissionId, held: held ? 1 : 0, reason, at: by.at, worker_id: by.workerId })
    .execute()
  for (const lot of lots)
    await remember(trx, by, {
      lotId: lot.id,
      commissionId,
      what: held ? 'marked: do not release' : 'mark lifted: may be released',
    })
}

/** What keeps the whole commission here, for the list of open points. */
export async function releaseOpenPoints(db: Db, commissionId: number): Promise<OpenPoint[]> {
  const [newest] = await releaseMarks(db, commissionId)
  if (!newest?.held) return []
  const sentence = `Do not release: “${newest.reason}” Lift the mark on the commission first.`
  return [{ lotId: null, bundleIds: [], sentence, to: `/commissions/${commissionId}/release`, hinders: true }]
}
