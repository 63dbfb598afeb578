import { sql } from 'kysely'
import type { Place } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import { nextTagCode, readTagCode, sayTagCode } from '../domain/tag-code.js'
import { type Expected, WrongTag } from '../domain/wrong-tag.js'
import type { By, Db } from './db.js'
import { remember } from './history.js'
import { ready } from './ready.js'

/** A bundle that was named by its tag. */
export type TaggedBundle = {
  bundleId: number
  n: number
  lotId: number
  commissionId: number
  place: Place
  loadId: number | null
  /** As it is kept; `sayTagCode` prints it. */
  code: string
}

export type FoundTag = TaggedBundle & {
  tagId: number
  madeAt: string
  voidAt: string | null
  voidWhy: string
  /** The tag that hangs in its stead. */
  replacedBy: { code: string; at: string } | null
}

const tagOfCode = ready((db, code: string) =>
  db
    .selectFrom('tag')
    .innerJoin('bundle', 'bundle.id', 'tag.bundle_id')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .leftJoin('tag as next', 'next.replaces', 'tag.id')
    .select([
      'tag.id as tagId',
      'tag.code',
      'tag.made_at as madeAt',
      'tag.void_at as voidAt',
      'tag.void_why as voidWhy',
      'next.code as nextCode',
      'next.made_at as nextAt',
      'bundle.id as bundleId',
      'bundle.n',
      'bundle.lot_id as lotId',
      'lot.commission_id as commissionId',
      'bundle.place',
      'bundle.load_id as loadId',
    ])
    .where('tag.code', '=', code),
)

/** The tag with this code, also a void one; undefined when none was ever made. */
export async function findTag(db: Db, code: string): Promise<FoundTag | undefined> {
  const [row] = await tagOfCode(db, code)
  if (!row) return undefined
  const { nextCode, nextAt, ...tag } = row
  return { ...tag, replacedBy: nextCode === null || nextAt === null ? null : { code: nextCode, at: nextAt } }
}

const belongs = (bundle: TaggedBundle, { commissionId, lotId, loadId }: Expected): boolean =>
  (commissionId === undefined || bundle.commissionId === commissionId) &&
  (lotId === undefined || bundle.lotId === lotId) &&
  (loadId === undefined || bundle.loadId === loadId)

/**
 * The bundle whose tag was scanned or typed, when it belongs to what is being worked on. Only reads; refuses in words
 * that name nothing of another client: a slip in the code and an unknown code (422), a tag of something else
 * (`WrongTag`, 409: the form's page notes it in the history by itself), a void tag (409). `field` is the form's field.
 */
export async function bundleByTag(
  db: Db,
  typed: string,
  expected: Expected = {},
  field = 'tag',
): Promise<TaggedBundle> {
  const code = readTagCode(typed)
  if (!code.ok) throw new Refusal('wrong', code.sentence, field)
  const tag = await findTag(db, code.value)
  if (!tag) throw new Refusal('wrong', neverMade(code.value), field)
  if (!belongs(tag, expected)) throw new WrongTag(tag.code, expected, field)
  if (tag.voidAt !== null) throw new Refusal('conflict', isVoid(tag), field)
  const { bundleId, n, lotId, commissionId, place, loadId } = tag
  return { bundleId, n, lotId, commissionId, place, loadId, code: tag.code }
}

export const neverMade = (code: string): string =>
  `No tag with the code ${sayTagCode(code)} was ever made here. Look at the tag again.`

const isVoid = ({ code, replacedBy }: FoundTag): string =>
  `The tag ${sayTagCode(code)} no longer counts${replacedBy ? `: ${sayTagCode(replacedBy.code)} hangs in its stead` : ''}. Take the old one off.`

/** Notes that a bundle of something else was shown here; written after the refusal, which leaves nothing else. */
export async function noteWrongTag(db: Db, by: By, { expected, tagCode }: WrongTag): Promise<void> {
  const told = { what: 'a tag that does not belong here was shown', became: { tag: sayTagCode(tagCode) } }
  for (const place of await placesTold(db, expected)) await remember(db, by, { ...place, ...told })
}

/** Where that stands in the history: at the lot or the commission in hand, or at each lot in the pot. */
async function placesTold(db: Db, { commissionId, lotId, loadId }: Expected) {
  const lots = db.selectFrom('lot').select(['id as lotId', 'commission_id as commissionId'])
  if (lotId !== undefined) return lots.where('id', '=', lotId).execute()
  if (loadId === undefined) return commissionId === undefined ? [] : [{ commissionId }]
  const inLoad = db
    .selectFrom('load_bundle')
    .innerJoin('bundle', 'bundle.id', 'load_bundle.bundle_id')
    .select('bundle.lot_id')
    .where('load_bundle.load_id', '=', loadId)
  const rows = await lots.where('id', 'in', inLoad).orderBy('id').execute()
  return rows.map(row => ({ ...row, loadId }))
}

/** The number of the newest code; -1 before any. */
export async function lastTagNumber(db: Db): Promise<number> {
  const { last } = await db
    .selectFrom('tag')
    .select(({ fn }) => fn.max<number | null>('id').as('last'))
    .executeTakeFirstOrThrow()
  return last ?? -1
}

/** Gives each of these bundles its first tag, one code after the other. */
async function tagAll(db: Db, at: string, bundleIds: readonly number[]): Promise<void> {
  let after = await lastTagNumber(db)
  for (const bundleId of bundleIds) {
    const { number, code } = nextTagCode(after)
    await db.insertInto('tag').values({ id: number, code, bundle_id: bundleId, made_at: at }).execute()
    after = number
  }
}

const untagged = (db: Db) =>
  db
    .selectFrom('bundle')
    .select('bundle.id')
    .where(sql<boolean>`not exists (select 1 from tag where tag.bundle_id = bundle.id)`)
    .orderBy('bundle.id')

/** Gives the bundles of a commission their tags, in the order in which they were taken in. */
export async function tagBundles(trx: Db, by: By, commissionId: number): Promise<void> {
  const ofIt = trx.selectFrom('lot').select('id').where('commission_id', '=', commissionId)
  const rows = await untagged(trx).where('bundle.lot_id', 'in', ofIt).execute()
  await tagAll(
    trx,
    by.at,
    rows.map(({ id }) => id),
  )
}

/** At start: bundles that came before there were tags get theirs. Answers how many. */
export async function tagUntagged(trx: Db, at: string): Promise<number> {
  const rows = await untagged(trx).execute()
  await tagAll(
    trx,
    at,
    rows.map(({ id }) => id),
  )
  return rows.length
}
