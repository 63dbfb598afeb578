import { sql } from 'kysely'
import type { Db } from './db.js'
import { ready } from './ready.js'

/** A lot with bundles on the arrivals shelf: `waiting` of `bundlesOfLot`, which weigh `dryWeightG`. */
export type LotToStart = {
  id: number
  clientName: string
  clientMark: string
  purpose: string
  neededBy: string
  fibreName: string
  colour: string
  swatch: string | null
  waiting: number
  bundlesOfLot: number
  dryWeightG: number
  hasRecipe: boolean
}

const waiting = ready(db =>
  db
    .selectFrom(
      db
        .selectFrom('bundle')
        .where('place', '=', 'arrivals shelf')
        .groupBy('lot_id')
        .select(({ fn }) => [
          'lot_id',
          fn.countAll<number>().as('waiting'),
          fn.sum<number>('dry_weight_g').as('dryWeightG'),
        ])
        .as('shelf'),
    )
    .innerJoin('lot', 'lot.id', 'shelf.lot_id')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .innerJoin('catalogue as fibre', 'fibre.id', 'lot.fibre_id')
    .select([
      'lot.id',
      'client.name as clientName',
      'client.mark as clientMark',
      'commission.purpose',
      'commission.needed_by as neededBy',
      'fibre.name as fibreName',
      'lot.colour',
      'lot.swatch',
      'shelf.waiting',
      sql<number>`(select count(*) from bundle where lot_id = lot.id)`.as('bundlesOfLot'),
      'shelf.dryWeightG',
      sql<number>`exists (select 1 from recipe where lot_id = lot.id and part_of is null)`.as('hasRecipe'),
    ])
    .orderBy('commission.needed_by')
    .orderBy('lot.id'),
)

/** What is due to start, the most pressing first, in one narrow query: the day's page is asked for all day. */
export async function dueToStart(db: Db): Promise<LotToStart[]> {
  const rows = await waiting(db)
  return rows.map(row => ({ ...row, hasRecipe: row.hasRecipe === 1 }))
}
