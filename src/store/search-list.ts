import { sql } from 'kysely'
import { GONE_PLACES } from '../domain/place.js'
import type { Db } from './db.js'

/** Where to look for a bundle: what the records know of its last place and of what was with it. */
export type SearchList = {
  bundleId: number
  n: number
  last: { spotName: string | null; place: string; potName: string | null; at: string; who: string; why: string }
  /** When a shelf count last saw it. */
  seen: { countId: number; at: string; who: string } | null
  /** Bundles in the same place (and load) at that moment, with where they are now. */
  beside: { bundleId: number; lotId: number; n: number; now: string }[]
  /** Bundles that ever shared a bath with it. */
  sameBath: { bundleId: number; lotId: number; n: number; now: string }[]
}

/** At most this many neighbours: a search list is walked on foot. */
const MOST_BESIDE = 60

export async function searchListOf(db: Db, bundle: { id: number; n: number }): Promise<SearchList> {
  const moved = await db
    .selectFrom('move')
    .innerJoin('worker', 'worker.id', 'move.worker_id')
    .leftJoin('load', 'load.id', 'move.load_id')
    .leftJoin('pot', 'pot.id', 'load.pot_id')
    .select([
      'move.id',
      'move.to_place as place',
      'move.load_id',
      'move.at',
      'worker.name as who',
      'move.why',
      'pot.name as potName',
    ])
    .where('bundle_id', '=', bundle.id)
    .where('to_place', 'not in', [...GONE_PLACES])
    .orderBy('move.id', 'desc')
    .limit(1)
    .executeTakeFirstOrThrow()
  const { id: moveId, load_id: loadId, ...lastMove } = moved
  const { rows: beside } = await sql<SearchList['beside'][number]>`
    select b.id as bundleId, b.lot_id as lotId, b.n, b.place as now from bundle b
    join move m on m.id = (select max(id) from move where bundle_id = b.id and id <= ${moveId})
    where b.id <> ${bundle.id} and m.to_place = ${moved.place} and m.load_id is ${loadId}
    order by b.lot_id, b.n limit ${MOST_BESIDE}`.execute(db)
  const sameBath = await db
    .selectFrom('load_bundle as own')
    .innerJoin('load_bundle as other', 'other.load_id', 'own.load_id')
    .innerJoin('bundle', 'bundle.id', 'other.bundle_id')
    .select(['bundle.id as bundleId', 'bundle.lot_id as lotId', 'bundle.n', 'bundle.place as now'])
    .distinct()
    .where('own.bundle_id', '=', bundle.id)
    .where('other.bundle_id', '<>', bundle.id)
    .orderBy('bundle.lot_id')
    .orderBy('bundle.n')
    .limit(MOST_BESIDE)
    .execute()
  const last = { ...lastMove, spotName: await spotOf(db, bundle.id) }
  return { bundleId: bundle.id, n: bundle.n, last, seen: await lastSeen(db, bundle.id), beside, sameBath }
}

async function spotOf(db: Db, bundleId: number): Promise<string | null> {
  const spot = await db
    .selectFrom('bundle')
    .innerJoin('spot', 'spot.id', 'bundle.spot_id')
    .select('spot.name')
    .where('bundle.id', '=', bundleId)
    .executeTakeFirst()
  return spot?.name ?? null
}

async function lastSeen(db: Db, bundleId: number): Promise<SearchList['seen']> {
  const seen = await db
    .selectFrom('shelf_count_seen as s')
    .innerJoin('worker', 'worker.id', 's.worker_id')
    .select(['s.count_id as countId', 's.at', 'worker.name as who'])
    .where('s.bundle_id', '=', bundleId)
    .where('s.seen', '=', 1)
    .where(
      sql<boolean>`s.id = (select max(id) from shelf_count_seen where count_id = s.count_id and bundle_id = s.bundle_id)`,
    )
    .orderBy('s.id', 'desc')
    .limit(1)
    .executeTakeFirst()
  return seen ?? null
}
