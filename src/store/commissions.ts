import { sql } from 'kysely'
import type { Settles } from '../domain/client.js'
import type { Db } from './db.js'

export type CommissionLine = {
  id: number
  clientId: number
  clientName: string
  purpose: string
  neededBy: string
  arrangement: Settles
  takenInAt: string
  lots: number
  bundles: number
  ties: number
  dryWeightG: number
  /** Bundles that have not gone back. */
  here: number
  ready: number
}

const lines = (db: Db) =>
  db
    .selectFrom('commission')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .innerJoin('lot', 'lot.commission_id', 'commission.id')
    .innerJoin('bundle', 'bundle.lot_id', 'lot.id')
    .groupBy('commission.id')
    .select(({ fn }) => [
      'commission.id',
      'client.id as clientId',
      'client.name as clientName',
      'commission.purpose',
      'commission.needed_by as neededBy',
      'commission.arrangement',
      'commission.taken_in_at as takenInAt',
      sql<number>`count(distinct lot.id)`.as('lots'),
      fn.count<number>('bundle.id').as('bundles'),
      fn.sum<number>('bundle.ties_in').as('ties'),
      fn.sum<number>('bundle.dry_weight_g').as('dryWeightG'),
      sql<number>`sum(bundle.place not in ('handed back', 'not found'))`.as('here'),
      sql<number>`sum(bundle.place = 'ready shelf')`.as('ready'),
    ])

/** Everything one client ever brought, newest first. */
export const commissionsOfClient = (db: Db, clientId: number): Promise<CommissionLine[]> =>
  lines(db).where('client.id', '=', clientId).orderBy('commission.id', 'desc').execute()

/** What is in hand: commissions with a lot that has not gone back, the most pressing first. */
export const commissionsInHand = (db: Db): Promise<CommissionLine[]> =>
  lines(db)
    .where('commission.id', 'in', db.selectFrom('lot').select('commission_id').where('closed_at', 'is', null))
    .orderBy('commission.needed_by')
    .orderBy('commission.id')
    .execute()
