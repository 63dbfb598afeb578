/** What a wet white cloth showed of each lot, and the least grade that is wanted here. */
import { sql } from 'kysely'
import type { OpenPoint } from '../domain/open-point.js'
import type { Purpose } from '../domain/recipe.js'
import { Refusal } from '../domain/refusal.js'
import { type Grade, sayWetCloth, type WetCloth, whyNotClean } from '../domain/wet-cloth.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { ready } from './ready.js'

export type WetClothSetting = { least: Grade; version: number }

export const wetClothSetting = (db: Db): Promise<WetClothSetting> =>
  db.selectFrom('wet_cloth_setting').select(['least', 'version']).executeTakeFirstOrThrow()

export async function changeWetClothSetting(trx: Trx, least: Grade, version: number): Promise<void> {
  const { numUpdatedRows } = await trx
    .updateTable('wet_cloth_setting')
    .set({ least, version: version + 1 })
    .where('version', '=', version)
    .executeTakeFirst()
  if (numUpdatedRows === 0n) throw new Refusal('conflict', 'This was changed elsewhere while you were choosing.')
}

export type KnownWetCloth = WetCloth & { id: number; at: string; who: string; least: Grade }

/** Every test of a lot, the newest first. */
export const wetClothsOfLot: (db: Db, lotId: number) => Promise<KnownWetCloth[]> = ready((db, lotId: number) =>
  db
    .selectFrom('wet_cloth')
    .innerJoin('worker', 'worker.id', 'wet_cloth.worker_id')
    .select(['wet_cloth.id', 'grade', 'least', 'why', 'words', 'at', 'worker.name as who'])
    .where('lot_id', '=', lotId)
    .orderBy('wet_cloth.id', 'desc'),
)

/** Since when another word on the cloth can count: the last one, or the day on which the lot came. */
export async function lastClothAt(db: Db, lotId: number): Promise<{ at: string; isFirst: boolean } | undefined> {
  const row = await db
    .selectFrom('lot')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .leftJoin('wet_cloth', 'wet_cloth.lot_id', 'lot.id')
    .select(({ fn }) => ['commission.taken_in_at as takenIn', fn.max('wet_cloth.at').as('last')])
    .where('lot.id', '=', lotId)
    .groupBy('lot.id')
    .executeTakeFirst()
  return row && { at: row.last ?? row.takenIn, isFirst: row.last === null }
}

/** Writes down what the cloth showed, `at` when that was not just now, beside the least grade that was wanted on that day. */
export async function noteWetCloth(trx: Trx, by: By, lotId: number, cloth: WetCloth, at = by.at): Promise<void> {
  const lot = await trx
    .selectFrom('lot')
    .select(['commission_id', 'closed_at'])
    .where('id', '=', lotId)
    .executeTakeFirst()
  if (!lot) throw new Refusal('not-found', 'There is no such lot.')
  if (lot.closed_at !== null) throw new Refusal('conflict', `Lot ${lotId} went back already; its slip is sealed.`)
  const { least } = await wetClothSetting(trx)
  await trx
    .insertInto('wet_cloth')
    .values({ lot_id: lotId, least, ...cloth, at, worker_id: by.workerId })
    .execute()
  await remember(trx, by, {
    lotId,
    commissionId: lot.commission_id,
    what: 'wet cloth',
    became: { grade: cloth.grade },
    words: sayWetCloth(cloth),
  })
}

/** What a lot is for: as was said of it, and as the recipes say by which it was dyed. A JSON list. */
const uses = () => sql<string>`(select json_group_array(value) from (
  select value from json_each(lot.purposes)
  union select said.value from load_lot join load on load.id = load_lot.load_id
    join recipe on recipe.id = load_lot.recipe_id join json_each(recipe.job, '$.purposes') said
  where load_lot.lot_id = lot.id and load.taken_out_at is null))`

export async function usesOfLot(db: Db, lotId: number): Promise<Purpose[]> {
  const row = await db.selectFrom('lot').select(uses().as('uses')).where('id', '=', lotId).executeTakeFirst()
  return JSON.parse(row?.uses ?? '[]')
}

type Waiting = { lotId: number; uses: string; last: string | null; least: Grade }

/** Lots of a commission that are dyed and on the ready shelf, with their last test. */
const waiting: (db: Db, commissionId: number) => Promise<Waiting[]> = ready((db, commissionId: number) =>
  db
    .selectFrom('lot')
    .innerJoin('wet_cloth_setting', join => join.onTrue())
    .select([
      'lot.id as lotId',
      uses().as('uses'),
      'wet_cloth_setting.least',
      sql<string | null>`(select json_object('grade', grade, 'why', why, 'words', words) from wet_cloth
        where lot_id = lot.id order by id desc limit 1)`.as('last'),
    ])
    .where('lot.commission_id', '=', commissionId)
    .where('lot.closed_at', 'is', null)
    .where(({ exists, selectFrom }) =>
      exists(
        selectFrom('bundle')
          .innerJoin('load_bundle', 'load_bundle.bundle_id', 'bundle.id')
          .select('bundle.id')
          .whereRef('bundle.lot_id', '=', 'lot.id')
          .where('bundle.place', '=', 'ready shelf'),
      ),
    ),
)

/** A lot for a class or for wet use does not go back before its cloth stayed clean enough, or it is said why. */
export async function wetClothPoints(db: Db, commissionId: number): Promise<OpenPoint[]> {
  const lots = await waiting(db, commissionId)
  return lots.flatMap(({ lotId, uses, last, least }) => {
    const cloth = last === null ? undefined : (JSON.parse(last) as WetCloth)
    const sentence = whyNotClean(lotId, JSON.parse(uses) as Purpose[], cloth, least)
    return sentence === null ? [] : [{ lotId, bundleIds: [], sentence, to: `/lots/${lotId}/wet-cloth`, hinders: true }]
  })
}
