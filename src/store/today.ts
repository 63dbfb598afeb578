import { sql } from 'kysely'
import type { Db } from './db.js'
import { countedOn } from './lots-in-load.js'
import { ready } from './ready.js'

/**
 * A lot that has not gone back. Of `bundlesOfLot` bundles, `here` have not gone back, `ready` lie on the ready shelf and
 * `waiting` on the arrivals shelf; these weigh `dryWeightG`.
 */
export type LotInHand = {
  id: number
  commissionId: number
  clientId: number
  clientName: string
  clientContact: string
  clientMark: string
  purpose: string
  neededBy: string
  /** The day that its client counts on: what was promised last, or by when it is needed. */
  countedOn: string
  fibreName: string
  dyeId: string
  colour: string
  swatch: string | null
  bundlesOfLot: number
  here: number
  ready: number
  waiting: number
  dryWeightG: number
  hasRecipe: boolean
}

/** Bundles of the open lots, counted lot by lot, before anything is joined to them. */
const counts = (db: Db) =>
  db
    .selectFrom('lot')
    .innerJoin('bundle', 'bundle.lot_id', 'lot.id')
    .where('lot.closed_at', 'is', null)
    .where('bundle.place', '<>', 'withdrawn')
    .groupBy('lot.id')
    .select(({ fn }) => [
      'lot.id',
      fn.countAll<number>().as('bundlesOfLot'),
      sql<number>`sum(place not in ('handed back', 'not found', 'withdrawn'))`.as('here'),
      sql<number>`sum(place = 'ready shelf')`.as('ready'),
      sql<number>`sum(place = 'arrivals shelf')`.as('waiting'),
      sql<number>`sum(iif(place = 'arrivals shelf', dry_weight_g, 0))`.as('dryWeightG'),
    ])
    .as('counts')

const inHand = ready(db =>
  db
    .selectFrom(counts(db))
    .innerJoin('lot', 'lot.id', 'counts.id')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .innerJoin('catalogue as fibre', 'fibre.id', 'lot.fibre_id')
    .select([
      'lot.id',
      'commission.id as commissionId',
      'client.id as clientId',
      'client.name as clientName',
      'client.contact as clientContact',
      'client.mark as clientMark',
      'commission.purpose',
      'commission.needed_by as neededBy',
      countedOn().as('countedOn'),
      'fibre.name as fibreName',
      'lot.dye_id as dyeId',
      'lot.colour',
      'lot.swatch',
      'counts.bundlesOfLot',
      'counts.here',
      'counts.ready',
      'counts.waiting',
      'counts.dryWeightG',
      sql<number>`exists (select 1 from recipe where lot_id = lot.id and part_of is null)`.as('hasRecipe'),
    ])
    .orderBy('commission.needed_by')
    .orderBy('commission.id')
    .orderBy('lot.id'),
)

/** All that is in hand, lot by lot, the most pressing first, in one query: the day's page is asked for all day. */
export async function lotsInHand(db: Db): Promise<LotInHand[]> {
  const rows = await inHand(db)
  return rows.map(row => ({ ...row, hasRecipe: row.hasRecipe === 1 }))
}
