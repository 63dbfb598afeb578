import { type RawBuilder, sql } from 'kysely'
import type { Photographs, Settles, SharesBath } from '../domain/client.js'
import { dayOf } from '../domain/day.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { difference, remember } from './history.js'
import { countedOn } from './lots-in-load.js'
import { lastPromises, notePromise } from './promises.js'
import { ready } from './ready.js'
import { noteLotText } from './search.js'
import { allWishes } from './timed-wishes.js'
import { findWorkshop } from './workshop.js'

export type CommissionLine = {
  id: number
  clientId: number
  clientName: string
  purpose: string
  neededBy: string
  /** The first day that its client counts on of what is still here: promised, or else needed by. */
  countedOn: string
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

/** What the lots of some commissions add up to, a row for each: counted first, and the names joined to the sums. */
const sums = (db: Db, which: RawBuilder<number>) =>
  db
    .selectFrom('lot')
    .innerJoin('bundle', 'bundle.lot_id', 'lot.id')
    .where('lot.commission_id', 'in', which)
    .where('bundle.place', '<>', 'withdrawn')
    .groupBy('lot.commission_id')
    .select(({ fn }) => [
      'lot.commission_id as id',
      sql<number>`count(distinct lot.id)`.as('lots'),
      fn.count<number>('bundle.id').as('bundles'),
      fn.sum<number>('bundle.ties_in').as('ties'),
      fn.sum<number>('bundle.dry_weight_g').as('dryWeightG'),
      sql<number>`sum(bundle.place not in ('handed back', 'not found', 'withdrawn'))`.as('here'),
      sql<number>`sum(bundle.place = 'ready shelf')`.as('ready'),
    ])
    .as('sums')

const lines = (db: Db, which: RawBuilder<number>) =>
  db
    .selectFrom(sums(db, which))
    .innerJoin('commission', 'commission.id', 'sums.id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .select([
      'commission.id',
      'client.id as clientId',
      'client.name as clientName',
      'commission.purpose',
      'commission.needed_by as neededBy',
      // The first day that is counted on of what is still here.
      sql<string>`coalesce((select min(${countedOn()}) from lot
        where lot.commission_id = commission.id and lot.closed_at is null), commission.needed_by)`.as('countedOn'),
      'commission.arrangement',
      'commission.taken_in_at as takenInAt',
      'sums.lots',
      'sums.bundles',
      'sums.ties',
      'sums.dryWeightG',
      'sums.here',
      'sums.ready',
    ])

/** Everything one client ever brought, newest first. */
export const commissionsOfClient = (db: Db, clientId: number): Promise<CommissionLine[]> =>
  lines(db, sql<number>`(select id from commission where client_id = ${clientId})`)
    .orderBy('commission.id', 'desc')
    .execute()

/** What is in hand: commissions with a lot that has not gone back, the most pressing first. */
export const commissionsInHand: (db: Db) => Promise<CommissionLine[]> = ready(db =>
  lines(db, sql<number>`(select commission_id from lot where closed_at is null)`)
    .orderBy('countedOn')
    .orderBy('commission.id'),
)

export type Commission = {
  id: number
  clientId: number
  clientName: string
  clientMark: string
  contact: string
  wishes: string
  photographs: Photographs
  sharesBath: SharesBath
  purpose: string
  /** YYYY-MM-DD */
  neededBy: string
  /** False: the client asked for no day, and the workshop said this one. */
  dayAsked: boolean
  arrangement: Settles
  note: string
  takenInAt: string
  takenInBy: string
  version: number
}

export async function findCommission(db: Db, id: number): Promise<Commission | undefined> {
  const row = await db
    .selectFrom('commission')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .innerJoin('worker', 'worker.id', 'commission.taken_in_by')
    .select([
      'commission.id',
      'client.id as clientId',
      'client.name as clientName',
      'client.mark as clientMark',
      'client.contact',
      allWishes().as('wishes'),
      'client.photographs',
      'client.shares_bath as sharesBath',
      'commission.purpose',
      'commission.needed_by as neededBy',
      'commission.arrangement',
      'commission.note',
      'commission.taken_in_at as takenInAt',
      'worker.name as takenInBy',
      'commission.version',
      'commission.day_asked as dayAsked',
    ])
    .where('commission.id', '=', id)
    .executeTakeFirst()
  return row && { ...row, dayAsked: row.dayAsked === 1 }
}

/** What may be said otherwise after the drop-off; what was brought may not. */
export type Asked = Pick<Commission, 'purpose' | 'neededBy' | 'arrangement' | 'note'>

const CHANGED = 'commission changed'

/** Changes what was agreed. Every lot of it keeps the change in its own history. */
export async function changeCommission(trx: Trx, by: By, id: number, version: number, asked: Asked): Promise<void> {
  const before = await findCommission(trx, id)
  if (!before) throw new Refusal('not-found', 'There is no such commission.')
  if (before.version !== version) {
    throw new Refusal(
      'conflict',
      `Commission ${id} was changed elsewhere while you were typing. Look at what stands there now, then send yours again.`,
    )
  }
  const changed = difference<Asked>(before, asked)
  if (!changed) return
  await trx
    .updateTable('commission')
    .set({
      purpose: asked.purpose,
      needed_by: asked.neededBy,
      ...(changed.became.neededBy === undefined ? {} : { day_asked: 1 }),
      arrangement: asked.arrangement,
      note: asked.note,
      version: version + 1,
    })
    .where('id', '=', id)
    .execute()
  const lots = await trx.selectFrom('lot').select('id').where('commission_id', '=', id).execute()
  const { neededBy } = changed.became
  for (const lot of lots) {
    await remember(trx, by, { commissionId: id, lotId: lot.id, what: CHANGED, ...changed })
    if (neededBy !== undefined) await movePromise(trx, by, lot.id, neededBy)
    await noteLotText(trx, lot.id)
  }
}

/** Whoever says another day counts on that one from now on, whatever was promised before. */
async function movePromise(trx: Trx, by: By, lotId: number, day: string): Promise<void> {
  const last = (await lastPromises(trx, [lotId])).get(lotId)
  if (last === undefined || last.day === day) return
  const { timeZone = 'UTC' } = (await findWorkshop(trx)) ?? {}
  const told = { toldOn: dayOf(by.at, timeZone), how: 'with another needed-by day', words: '' }
  await notePromise(trx, by, { lotId, day, earliest: last.earliest, ...told })
}

export type CommissionChange = { at: string; who: string; was: Partial<Asked>; became: Partial<Asked> }

/** What was changed since the drop-off, oldest first: told once, though every lot keeps its own line. */
export async function changesOfCommission(db: Db, id: number): Promise<CommissionChange[]> {
  const rows = await db
    .selectFrom('history')
    .innerJoin('worker', 'worker.id', 'history.worker_id')
    .select(({ fn }) => [fn.min('history.id').as('first'), 'history.at', 'worker.name as who', 'was', 'became'])
    .where('commission_id', '=', id)
    .where('what', '=', CHANGED)
    .groupBy(['history.at', 'worker.name', 'was', 'became'])
    .orderBy('first')
    .execute()
  return rows.map(({ at, who, was, became }) => ({
    at,
    who,
    was: JSON.parse(was ?? '{}'),
    became: JSON.parse(became ?? '{}'),
  }))
}
