/** Which photographs the workshop wants to be reminded of, and which of them are not there yet. */
import { sql } from 'kysely'
import type { Photographs } from '../domain/client.js'
import type { OpenPoint } from '../domain/open-point.js'
import { type Moment, mayPhotograph, momentsMissing, type Wanted } from '../domain/photograph.js'
import type { Place } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import type { Db, Trx } from './db.js'
import { ready } from './ready.js'

export type PhotographSetting = { wanted: Wanted; version: number }

export const photographSetting = (db: Db): Promise<PhotographSetting> =>
  db.selectFrom('photograph_setting').select(['wanted', 'version']).executeTakeFirstOrThrow()

export async function changePhotographSetting(trx: Trx, wanted: Wanted, version: number): Promise<void> {
  const { numUpdatedRows } = await trx
    .updateTable('photograph_setting')
    .set({ wanted, version: version + 1 })
    .where('version', '=', version)
    .executeTakeFirst()
  if (numUpdatedRows === 0n) throw new Refusal('conflict', 'This was changed elsewhere while you were choosing.')
}

type OpenLot = { lotId: number; said: Photographs; wanted: Wanted; places: string; moments: string; kept: number }

/** The open lots of a commission: where their bundles are, and at which moments they were photographed. */
const openLots: (db: Db, commissionId: number) => Promise<OpenLot[]> = ready((db, commissionId: number) =>
  db
    .selectFrom('lot')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .innerJoin('photograph_setting', join => join.onTrue())
    .select([
      'lot.id as lotId',
      'client.photographs as said',
      'photograph_setting.wanted',
      sql<string>`(select json_group_array(distinct place) from bundle
        where lot_id = lot.id and place <> 'withdrawn')`.as('places'),
      sql<string>`(select json_group_array(distinct moment) from photograph
        where lot_id = lot.id and withdrawn_at is null)`.as('moments'),
      sql<number>`(select count(*) from photograph where lot_id = lot.id and withdrawn_at is null)`.as('kept'),
    ])
    .where('lot.commission_id', '=', commissionId)
    .where('lot.closed_at', 'is', null)
    .orderBy('lot.id'),
)

function sentencesFor({ lotId, said, wanted, places, moments, kept }: OpenLot): string[] {
  if (said === 'no' && kept > 0) {
    const which = kept === 1 ? 'a photograph of it is' : `${kept} photographs of it are`
    return [`Lot ${lotId}: the client wants no photographs, and ${which} still kept.`]
  }
  if (!mayPhotograph(said)) return []
  const missing = momentsMissing(wanted, JSON.parse(places) as Place[], JSON.parse(moments) as Moment[])
  return missing.map(moment => `Lot ${lotId}: no photograph ${moment} yet.`)
}

/** None of them keeps a bundle from going back: photographs can wait. */
export async function openPhotographs(db: Db, commissionId: number): Promise<OpenPoint[]> {
  const lots = await openLots(db, commissionId)
  return lots.flatMap(lot =>
    sentencesFor(lot).map(sentence => ({
      lotId: lot.lotId,
      bundleIds: [],
      sentence,
      to: `/lots/${lot.lotId}/photographs`,
      hinders: false,
    })),
  )
}
