/** The lots of a load, mostly one: whose each is, how it is to be handled, and its share of the load. */
import { type RawBuilder, sql } from 'kysely'
import type { SharesBath } from '../domain/client.js'
import type { Db } from './db.js'
import { numbersIn, ready } from './ready.js'
import { allWishes } from './timed-wishes.js'

/** A lot as the pages of the work name it. */
export type OpenLot = {
  lotId: number
  commissionId: number
  clientId: number
  clientName: string
  clientMark: string
  wishes: string
  purpose: string
  neededBy: string
  /** The day that its client counts on: what was promised last, or by when it is needed. */
  countedOn: string
  fibreId: string
  fibreName: string
  colour: string
  swatch: string | null
}

export type LotInLoad = OpenLot & {
  tiesUndyed: boolean
  /** What its client says by now of a bath with others; when it was laid, it was allowed. */
  sharesBath: SharesBath
  /** Set once nothing of it is here any more. */
  closedAt: string | null
  /** Its share of the load, by dry weight. */
  dryWeightG: number
  /** Numbers of its bundles in the load, and of how many there are in all. */
  bundleNs: number[]
  bundlesOfLot: number
}

/** The day that its client counts on, wherever `lot` and `commission` are selected from. */
export const countedOn = (): RawBuilder<string> =>
  sql<string>`coalesce((select day from day_promise where lot_id = lot.id order by id desc limit 1), commission.needed_by)`

/** Lots with whose they are, to be asked for more. */
export const namedLots = (db: Db) =>
  db
    .selectFrom('lot')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .innerJoin('catalogue as fibre', 'fibre.id', 'lot.fibre_id')
    .select([
      'lot.id as lotId',
      'commission.id as commissionId',
      'client.id as clientId',
      'client.name as clientName',
      'client.mark as clientMark',
      allWishes().as('wishes'),
      'commission.purpose',
      'commission.needed_by as neededBy',
      countedOn().as('countedOn'),
      'fibre.id as fibreId',
      'fibre.name as fibreName',
      'lot.colour',
      'lot.swatch',
    ])

const rowsOfLoads = ready((db, loadIds: string) =>
  namedLots(db)
    .innerJoin('load_lot', 'load_lot.lot_id', 'lot.id')
    .select([
      'load_lot.load_id as loadId',
      'client.shares_bath as sharesBath',
      'lot.ties_undyed as tiesUndyed',
      'lot.closed_at as closedAt',
      'load_lot.dry_weight_g as dryWeightG',
      sql<string>`(select json_group_array(b.n order by b.n) from load_bundle join bundle b on b.id = load_bundle.bundle_id
        where load_bundle.load_id = load_lot.load_id and b.lot_id = lot.id)`.as('ns'),
      sql<number>`(select count(*) from bundle where lot_id = lot.id and place <> 'withdrawn')`.as('bundlesOfLot'),
    ])
    .where('load_lot.load_id', 'in', numbersIn(loadIds))
    .orderBy('load_lot.load_id')
    .orderBy('lot.id'),
)

/** The lots of each of these loads, in the order of their numbers. */
export async function lotsInLoads(db: Db, loadIds: readonly number[]): Promise<Map<number, LotInLoad[]>> {
  const lots = new Map<number, LotInLoad[]>(loadIds.map(id => [id, []]))
  for (const { loadId, tiesUndyed, ns, ...row } of await rowsOfLoads(db, JSON.stringify(loadIds)))
    lots.get(loadId)?.push({ ...row, tiesUndyed: tiesUndyed === 1, bundleNs: JSON.parse(ns) })
  return lots
}

/** A bath that a lot shares now: how its lots are told apart, and the others. */
export type SharedNow = { loadId: number; toldApart: string; others: LotInLoad[] }

const sharedLoads = ready((db, lotId: number) =>
  db
    .selectFrom('load_lot')
    .innerJoin('load', 'load.id', 'load_lot.load_id')
    .innerJoin('shared_bath', 'shared_bath.load_id', 'load.id')
    .select(['load.id as loadId', 'shared_bath.told_apart as toldApart'])
    .where('load_lot.lot_id', '=', lotId)
    .where('load.done_at', 'is', null)
    .orderBy('load.id'),
)

/** For whoever has one of its bundles in hand. */
export async function sharedNow(db: Db, lotId: number): Promise<SharedNow[]> {
  const loads = await sharedLoads(db, lotId)
  const lotsOf = await lotsInLoads(
    db,
    loads.map(({ loadId }) => loadId),
  )
  return loads.map(load => ({
    ...load,
    others: (lotsOf.get(load.loadId) ?? []).filter(other => other.lotId !== lotId),
  }))
}

/** Dry weight of the lots before this one in its load, wherever `load_lot` is selected from. */
export const weightBefore = sql<number>`(select total(dry_weight_g) from load_lot as earlier
  where earlier.load_id = load_lot.load_id and earlier.lot_id < load_lot.lot_id)`

/** Several lots as one line names them: their clients together, the day of the most pressing. */
export function asOne<L extends OpenLot>(lots: readonly L[]): L {
  const [first] = [...lots].sort((one, other) => (one.countedOn < other.countedOn ? -1 : 1))
  if (first === undefined) throw new Error('a load without a lot')
  const all = (of: (lot: L) => string, between: string) => [...new Set(lots.map(of).filter(Boolean))].join(between)
  return {
    ...first,
    clientName: all(lot => lot.clientName, ' and '),
    clientMark: all(lot => lot.clientMark, ' and '),
    purpose: all(lot => lot.purpose, ' and '),
    colour: all(lot => lot.colour, ' and '),
    wishes: all(lot => (lots.length > 1 && lot.wishes ? `${lot.clientName}: ${lot.wishes}` : lot.wishes), '\n'),
  }
}
