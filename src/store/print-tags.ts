import { sql } from 'kysely'
import type { OpenPoint } from '../domain/open-point.js'
import type { Place } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { ready } from './ready.js'
import type { TagPrintTable } from './schema-of-tags.js'

export type PrintTags = { commissionId: number; bundleIds: readonly number[]; how: TagPrintTable['how'] }

/** Notes that the tags of these bundles are brought to paper, for the first time or again. Answers the sheet's number. */
export async function printTags(trx: Trx, by: By, { commissionId, bundleIds, how }: PrintTags): Promise<number> {
  if (bundleIds.length === 0) throw new Refusal('wrong', 'Choose the bundles whose tags you want.', 'bundles')
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
  if (tags.length < bundleIds.length)
    throw new Refusal('conflict', 'Some of these bundles have no tag in this commission. Look at the list again.')
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

/** A bundle's tag with all that is printed on it, and how often it was. */
export type TagToPrint = {
  bundleId: number
  n: number
  of: number
  lotId: number
  commissionId: number
  clientName: string
  clientMark: string
  nameOnTag: boolean
  colour: string
  swatch: string | null
  tiesUndyed: boolean
  tiesIn: number
  place: Place
  code: string
  takenInAt: string
  prints: number
}

const toPrint = (db: Db) =>
  db
    .selectFrom('tag')
    .innerJoin('bundle', 'bundle.id', 'tag.bundle_id')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .where('tag.void_at', 'is', null)
    .select([
      'bundle.id as bundleId',
      'bundle.n',
      'lot.id as lotId',
      'lot.commission_id as commissionId',
      'client.name as clientName',
      'client.mark as clientMark',
      'client.name_on_tag as nameOnTag',
      'lot.colour',
      'lot.swatch',
      'lot.ties_undyed as tiesUndyed',
      'bundle.ties_in as tiesIn',
      'bundle.place',
      'tag.code',
      'commission.taken_in_at as takenInAt',
      sql<number>`(select count(*) from bundle b where b.lot_id = lot.id and b.place <> 'withdrawn')`.as('of'),
      sql<number>`(select count(*) from tag_print p where p.tag_id = tag.id)`.as('prints'),
    ])
    .orderBy('bundle.lot_id')
    .orderBy('bundle.n')

type Row = Omit<TagToPrint, 'nameOnTag' | 'tiesUndyed'> & { nameOnTag: 0 | 1; tiesUndyed: 0 | 1 }
const opened = (row: Row): TagToPrint => ({ ...row, nameOnTag: row.nameOnTag === 1, tiesUndyed: row.tiesUndyed === 1 })

/** The tags that count of a commission's bundles, lot by lot. */
export async function tagsOfCommission(db: Db, commissionId: number): Promise<TagToPrint[]> {
  const rows = await toPrint(db).where('lot.commission_id', '=', commissionId).execute()
  return rows.map(opened)
}

/** The codes that count in a lot. */
export const liveCodes: (db: Db, lotId: number) => Promise<{ n: number; code: string }[]> = ready((db, lotId: number) =>
  db
    .selectFrom('bundle')
    .innerJoin('tag', join => join.onRef('tag.bundle_id', '=', 'bundle.id').on('tag.void_at', 'is', null))
    .select(['bundle.n', 'tag.code'])
    .where('bundle.lot_id', '=', lotId),
)

export type TagSheet = { sheet: number; at: string; who: string; how: TagPrintTable['how']; tags: TagToPrint[] }

/** A sheet as it was printed, without the tags that were replaced since; undefined when there is no such sheet. */
export async function findTagSheet(db: Db, sheet: number): Promise<TagSheet | undefined> {
  const head = await db
    .selectFrom('tag_print')
    .innerJoin('worker', 'worker.id', 'tag_print.worker_id')
    .select(['tag_print.at', 'tag_print.how', 'worker.name as who'])
    .where('sheet', '=', sheet)
    .executeTakeFirst()
  if (!head) return undefined
  const printed = db.selectFrom('tag_print').select('tag_id').where('sheet', '=', sheet)
  const rows = await toPrint(db).where('tag.id', 'in', printed).execute()
  return { sheet, ...head, tags: rows.map(opened) }
}

/** Bundles on the arrivals shelf whose tag is not on paper yet: it can wait, and it hinders nothing. */
export async function tagPoints(db: Db, commissionId: number): Promise<OpenPoint[]> {
  const rows = await toPrint(db)
    .where('lot.commission_id', '=', commissionId)
    .where('bundle.place', '=', 'arrivals shelf')
    .where(({ not, exists, selectFrom }) =>
      not(exists(selectFrom('tag_print').select('id').whereRef('tag_print.tag_id', '=', 'tag.id'))),
    )
    .execute()
  if (rows.length === 0) return []
  const tags = rows.length === 1 ? 'A tag is' : `${rows.length} tags are`
  const sentence = `${tags} neither printed nor written yet.`
  return [
    {
      lotId: null,
      bundleIds: rows.map(({ bundleId }) => bundleId),
      sentence,
      to: `/commissions/${commissionId}/tags`,
      hinders: false,
    },
  ]
}
