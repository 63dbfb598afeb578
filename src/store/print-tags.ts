import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import type { TagPrintTable } from './schema-of-tags.js'

export type PrintTags = { commissionId: number; bundleIds: readonly number[]; how: TagPrintTable['how'] }

/** Notes that the tags of these bundles are brought to paper, for the first time or again. Answers the sheet's number. */
export async function printTags(trx: Trx, by: By, { commissionId, bundleIds, how }: PrintTags): Promise<number> {
  const tags = await trx
    .selectFrom('tag')
    .innerJoin('bundle', 'bundle.id', 'tag.bundle_id')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .select('tag.id')
    .where('lot.commission_id', '=', commissionId)
    .where('bundle.id', 'in', bundleIds)
    .where('tag.void_at', 'is', null)
    .orderBy('bundle.lot_id')
    .orderBy('bundle.n')
    .execute()
  if (tags.length === 0) throw new Refusal('wrong', 'Choose the bundles whose tags you want.', 'bundles')
  if (tags.length < bundleIds.length) throw new Refusal('wrong', 'Some of these bundles belong elsewhere.', 'bundles')
  const sheet = (await lastSheet(trx)) + 1
  const rows = tags.map(({ id }) => ({ tag_id: id, sheet, how, at: by.at, worker_id: by.workerId }))
  await trx.insertInto('tag_print').values(rows).execute()
  return sheet
}

async function lastSheet(db: Db): Promise<number> {
  const { last } = await db
    .selectFrom('tag_print')
    .select(({ fn }) => fn.max<number | null>('sheet').as('last'))
    .executeTakeFirstOrThrow()
  return last ?? 0
}
