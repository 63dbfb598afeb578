/** Named spots on the shelves and the line, and which bundles lie on them. */
import type { Place, SpotPlace } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { keptApart } from './keep-apart.js'
import { ready } from './ready.js'

export type Spot = { id: number; place: SpotPlace; name: string; madeAt: string; withdrawnAt: string | null }

const spots = (db: Db) =>
  db.selectFrom('spot').select(['id', 'place', 'name', 'made_at as madeAt', 'withdrawn_at as withdrawnAt'])

/** All of them, also those out of use, in the order of the work and then of their names. */
export const listSpots = ready(db => spots(db).orderBy('place').orderBy('name'))

export const findSpot = (db: Db, id: number): Promise<Spot | undefined> =>
  spots(db).where('id', '=', id).executeTakeFirst()

/** A new spot; every name is there once, whatever the place. */
export async function addSpot(trx: Trx, by: By, { place, name }: { place: SpotPlace; name: string }): Promise<number> {
  const same = await trx.selectFrom('spot').select(['name', 'place']).where('name', '=', name).executeTakeFirst()
  if (same)
    throw new Refusal('wrong', `There is a spot “${same.name}” already (${same.place}). Choose another name.`, 'name')
  const { id } = await trx
    .insertInto('spot')
    .values({ place, name, made_at: by.at, worker_id: by.workerId, withdrawn_at: null })
    .returning('id')
    .executeTakeFirstOrThrow()
  await remember(trx, by, { what: 'a spot was named', became: { place, name } })
  return id
}

/** Takes a spot out of use, or brings it back. One on which bundles lie stays in use. */
export async function useSpot(trx: Trx, by: By, id: number, inUse: boolean): Promise<Spot> {
  const spot = await findSpot(trx, id)
  if (!spot) throw new Refusal('not-found', 'There is no such spot.')
  if ((spot.withdrawnAt === null) === inUse)
    throw new Refusal('conflict', inUse ? `“${spot.name}” is in use.` : `“${spot.name}” is out of use already.`)
  const lying = await trx.selectFrom('bundle').select('id').where('spot_id', '=', id).execute()
  if (!inUse && lying.length > 0)
    throw new Refusal('conflict', `Bundles lie at “${spot.name}” (${lying.length}). Put them somewhere else first.`)
  await trx
    .updateTable('spot')
    .set({ withdrawn_at: inUse ? null : by.at })
    .where('id', '=', id)
    .execute()
  await remember(trx, by, { what: `spot ${inUse ? 'in use again' : 'out of use'}: ${spot.name}` })
  return spot
}

/** Why this bundle cannot lie there, in words; null when it can. */
export const whyNotAt = (spot: Spot, place: Place): string | null =>
  place === spot.place ? null : `is at: ${place}, and “${spot.name}” is at: ${spot.place}; its next step moves it`

/** Puts bundles on a spot of their own place, or, with null, on none. Answers how many changed. */
export async function putAtSpot(
  trx: Trx,
  by: By,
  spot: Spot | null,
  bundleIds: readonly number[],
  /** `field`: the one that a refusal is about; `at`: when they were put there, where it was not just now. */
  { why = '', field = 'codes', at = by.at }: { why?: string; field?: string; at?: string } = {},
): Promise<number> {
  if (spot?.withdrawnAt) throw new Refusal('conflict', `“${spot.name}” is out of use. Bring it back into use first.`)
  const rows = await trx
    .selectFrom('bundle')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .leftJoin('spot', 'spot.id', 'bundle.spot_id')
    .where('bundle.id', 'in', [...bundleIds])
    .orderBy('bundle.lot_id')
    .orderBy('bundle.n')
    .select(['bundle.id', 'bundle.n', 'bundle.lot_id as lotId', 'lot.commission_id as commissionId', 'bundle.place'])
    .select(['bundle.spot_id as spotId', 'spot.name as spotName'])
    .execute()
  const elsewhere = spot && rows.find(({ place }) => whyNotAt(spot, place) !== null)
  if (spot && elsewhere)
    throw new Refusal(
      'wrong',
      `Bundle ${elsewhere.n} of lot ${elsewhere.lotId} ${whyNotAt(spot, elsewhere.place)}.`,
      field,
    )
  const apart = spot && (await whyNotBeside(trx, spot, [...new Set(rows.map(({ lotId }) => lotId))]))
  if (apart) throw new Refusal('wrong', apart, field)
  const changing = rows.filter(({ spotId }) => spotId !== (spot?.id ?? null))
  for (const { id, spotId } of changing) {
    await trx
      .updateTable('bundle')
      .set({ spot_id: spot?.id ?? null })
      .where('id', '=', id)
      .execute()
    await trx
      .insertInto('spot_move')
      .values({
        ...{ bundle_id: id, from_spot_id: spotId, to_spot_id: spot?.id ?? null },
        ...{ at, worker_id: by.workerId, why },
      })
      .execute()
  }
  for (const lotId of new Set(changing.map(row => row.lotId))) {
    const ofLot = changing.filter(row => row.lotId === lotId)
    await remember(trx, by, {
      lotId,
      ...(ofLot[0] ? { commissionId: ofLot[0].commissionId } : {}),
      what: spot ? `put at: ${spot.name}` : 'taken off its spot',
      became: { bundles: ofLot.map(({ n }) => n) },
      words: why,
    })
  }
  return changing.length
}

/** A lot that is kept apart lies alone at its spot; null when nothing is in the way. */
async function whyNotBeside(trx: Trx, spot: Spot, coming: readonly number[]): Promise<string | null> {
  const lying = await trx.selectFrom('bundle').select('lot_id as lotId').where('spot_id', '=', spot.id).execute()
  const lots = [...new Set([...coming, ...lying.map(({ lotId }) => lotId)])]
  const [apart] = await keptApart(trx, lots)
  const other = lots.find(lotId => lotId !== apart?.lotId)
  if (!apart || other === undefined) return null
  return `Lot ${apart.lotId} is kept apart (${apart.why}) and shares no spot: it cannot lie at “${spot.name}” with lot ${other}. Choose another spot, or write down on its page how it came why it may lie beside others again.`
}

export type SpotMove = { from: string | null; to: string | null; at: string; who: string; why: string }

const movesOf = ready((db, bundleId: number) =>
  db
    .selectFrom('spot_move')
    .innerJoin('worker', 'worker.id', 'spot_move.worker_id')
    .leftJoin('spot as before', 'before.id', 'spot_move.from_spot_id')
    .leftJoin('spot as after', 'after.id', 'spot_move.to_spot_id')
    .where('bundle_id', '=', bundleId)
    .orderBy('spot_move.id')
    .select(['before.name as from', 'after.name as to', 'spot_move.at', 'worker.name as who', 'spot_move.why']),
)

/** The spots that a bundle ever lay on, the first one first; the last one says where it is now. */
export const spotMovesOfBundle = (db: Db, bundleId: number): Promise<SpotMove[]> => movesOf(db, bundleId)
