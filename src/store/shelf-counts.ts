/** Shelf counts: a list made from the records, what somebody saw, and what came of it. A count moves nothing by itself. */
import type { Place, SpotPlace } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import { type Finding, findingsOf } from '../domain/shelf-count.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { findSpot } from './spots.js'
import { allWishes } from './timed-wishes.js'

export type ShelfCount = {
  id: number
  place: SpotPlace
  spotId: number | null
  spotName: string | null
  listed: number
  begunAt: string
  who: string
  endedAt: string | null
  endedWho: string | null
}

const heads = (db: Db) =>
  db
    .selectFrom('shelf_count')
    .innerJoin('worker', 'worker.id', 'shelf_count.worker_id')
    .leftJoin('worker as ender', 'ender.id', 'shelf_count.ended_by')
    .leftJoin('spot', 'spot.id', 'shelf_count.spot_id')
    .select(['shelf_count.id', 'shelf_count.place', 'shelf_count.spot_id as spotId', 'spot.name as spotName', 'listed'])
    .select(['begun_at as begunAt', 'worker.name as who', 'ended_at as endedAt', 'ender.name as endedWho'])

export const findShelfCount = (db: Db, id: number): Promise<ShelfCount | undefined> =>
  heads(db).where('shelf_count.id', '=', id).executeTakeFirst()

/** The open ones and the latest that are done, the newest first. */
export const latestShelfCounts = (db: Db): Promise<ShelfCount[]> =>
  heads(db).orderBy('shelf_count.id', 'desc').limit(30).execute()

const recordedAt = async (db: Db, place: Place, spotId: number | null): Promise<number[]> => {
  const there = db.selectFrom('bundle').select('id').where('place', '=', place)
  const rows = await (spotId === null ? there : there.where('spot_id', '=', spotId))
    .orderBy('lot_id')
    .orderBy('n')
    .execute()
  return rows.map(({ id }) => id)
}

/** Begins a count of a place, or of one spot of it: its list is what the records say now, and stays so. */
export async function beginShelfCount(trx: Trx, by: By, place: SpotPlace, spotId: number | null): Promise<number> {
  const open = await trx
    .selectFrom('shelf_count')
    .select('id')
    .where('place', '=', place)
    .where('ended_at', 'is', null)
    .executeTakeFirst()
  if (open) throw new Refusal('conflict', `Shelf count ${open.id} of this place is not done yet. Finish it first.`)
  if (spotId !== null && (await findSpot(trx, spotId))?.place !== place)
    throw new Refusal('wrong', 'Choose a spot of the place that is counted.', 'where')
  const ids = await recordedAt(trx, place, spotId)
  const { id } = await trx
    .insertInto('shelf_count')
    .values({
      ...{ place, spot_id: spotId, listed: ids.length, begun_at: by.at, worker_id: by.workerId },
      ...{ ended_at: null, ended_by: null },
    })
    .returning('id')
    .executeTakeFirstOrThrow()
  for (const bundleId of ids)
    await trx.insertInto('shelf_count_bundle').values({ count_id: id, bundle_id: bundleId }).execute()
  return id
}

async function openCount(trx: Trx, id: number): Promise<ShelfCount> {
  const count = await findShelfCount(trx, id)
  if (!count) throw new Refusal('not-found', 'There is no such shelf count.')
  if (count.endedAt !== null) throw new Refusal('conflict', `Shelf count ${id} is done already. Begin another one.`)
  return count
}

/** The newest line of each bundle says whether it was seen. */
async function seenIn(db: Db, countId: number): Promise<Set<number>> {
  const rows = await db
    .selectFrom('shelf_count_seen')
    .select(['bundle_id as id', 'seen'])
    .where('count_id', '=', countId)
    .orderBy('id')
    .execute()
  const newest = new Map(rows.map(({ id, seen }) => [id, seen]))
  return new Set([...newest].filter(([, seen]) => seen === 1).map(([id]) => id))
}

async function listedIn(db: Db, countId: number): Promise<Set<number>> {
  const rows = await db.selectFrom('shelf_count_bundle').select('bundle_id').where('count_id', '=', countId).execute()
  return new Set(rows.map(({ bundle_id }) => bundle_id))
}

/** Notes bundles that were seen, and those that were ticked and then not seen after all. Answers how many are seen. */
export async function noteSeen(
  trx: Trx,
  by: By,
  countId: number,
  { seen, unseen }: { seen: readonly number[]; unseen: readonly number[] },
): Promise<number> {
  await openCount(trx, countId)
  const known = await seenIn(trx, countId)
  const note = (bundleId: number, flag: 0 | 1) =>
    trx
      .insertInto('shelf_count_seen')
      .values({ count_id: countId, bundle_id: bundleId, seen: flag, at: by.at, worker_id: by.workerId })
      .execute()
  for (const id of new Set(seen)) if (!known.has(id)) await note(id, 1)
  for (const id of new Set(unseen)) if (known.has(id) && !seen.includes(id)) await note(id, 0)
  return (await seenIn(trx, countId)).size
}

/** Ends a count: what is fine, missing or unexpected is written down for good. Answers what has to be answered. */
export async function endShelfCount(trx: Trx, by: By, countId: number): Promise<number> {
  const count = await openCount(trx, countId)
  const findings = findingsOf({
    listed: await listedIn(trx, countId),
    seen: await seenIn(trx, countId),
    here: new Set(await recordedAt(trx, count.place, count.spotId)),
  })
  for (const [bundleId, finding] of findings)
    await trx.insertInto('shelf_count_finding').values({ count_id: countId, bundle_id: bundleId, finding }).execute()
  await trx
    .updateTable('shelf_count')
    .set({ ended_at: by.at, ended_by: by.workerId })
    .where('id', '=', countId)
    .execute()
  const questions = (await bundlesInCount(trx, countId)).filter(({ finding }) => isQuestion(finding))
  for (const { lotId, commissionId, n, finding } of questions)
    await remember(trx, by, {
      ...{ lotId, commissionId, what: `shelf count ${countId}: bundle ${n} ${finding}` },
      became: { counted: count.spotName ?? count.place },
    })
  return questions.length
}

const isQuestion = (finding: Finding | null): finding is 'missing' | 'unexpected' =>
  finding === 'missing' || finding === 'unexpected'

export type CountedBundle = {
  bundleId: number
  n: number
  lotId: number
  commissionId: number
  colour: string
  clientName: string
  clientMark: string
  wishes: string
  code: string | null
  place: Place
  spotName: string | null
  isListed: boolean
  isSeen: boolean
  findingId: number | null
  finding: Finding | null
}

/** Every bundle that a count lists or that was seen in it, as it stands now, in the order of lots. */
export async function bundlesInCount(db: Db, countId: number): Promise<CountedBundle[]> {
  const [listed, seen] = [await listedIn(db, countId), await seenIn(db, countId)]
  const all = [...new Set([...listed, ...seen])]
  const rows = await db
    .selectFrom('bundle')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .leftJoin('tag', join => join.onRef('tag.bundle_id', '=', 'bundle.id').on('tag.void_at', 'is', null))
    .leftJoin('spot', 'spot.id', 'bundle.spot_id')
    .leftJoin('shelf_count_finding as f', join =>
      join.onRef('f.bundle_id', '=', 'bundle.id').on('f.count_id', '=', countId),
    )
    .where('bundle.id', 'in', all)
    .orderBy('bundle.lot_id')
    .orderBy('bundle.n')
    .select(['bundle.id as bundleId', 'bundle.n', 'bundle.lot_id as lotId', 'lot.commission_id as commissionId'])
    .select(['lot.colour', 'client.name as clientName', 'client.mark as clientMark', 'tag.code', 'bundle.place'])
    .select(['spot.name as spotName', 'f.id as findingId', 'f.finding', allWishes().as('wishes')])
    .execute()
  return rows.map(row => ({ ...row, isListed: listed.has(row.bundleId), isSeen: seen.has(row.bundleId) }))
}
