import { sql } from 'kysely'
import type { Condition } from '../domain/catalogue.js'
import type { Dried } from '../domain/damp.js'
import type { Place } from '../domain/place.js'
import type { Purpose, Route } from '../domain/recipe.js'
import type { Db } from './db.js'
import { countedOn } from './lots-in-load.js'
import { numbersIn, ready } from './ready.js'
import { allWishes } from './timed-wishes.js'

export type Bundle = {
  id: number
  n: number
  tiesIn: number
  tiesOn: number
  tiesOff: number
  tiesLost: number
  /** Of those on it or on the tie board, how many were made anew from the strip's own end. */
  tiesReplaced: number
  dryWeightG: number
  weightTyped: string
  thicknessMm: number | null
  thicknessTyped: string
  condition: string
  howTied: string
  place: Place
  loadId: number | null
}

export type Lot = {
  id: number
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
  route: Route
  dyeId: string
  dyeName: string
  tiesUndyed: boolean
  /** Why a warning of the trade was set aside at drop-off, or ''. */
  against: string
  repeatsLotId: number | null
  /** What was said at drop-off of the fibre and of its use. */
  conditions: Condition[]
  purposes: Purpose[]
  /** How its dry weight was reckoned, when it was weighed damp. */
  damp: Dried | null
  closedAt: string | null
  version: number
  /** Without those that were withdrawn: they had never been there. */
  bundles: Bundle[]
}

const heads = (db: Db) =>
  db
    .selectFrom('lot')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .innerJoin('catalogue as fibre', 'fibre.id', 'lot.fibre_id')
    .innerJoin('catalogue as dye', 'dye.id', 'lot.dye_id')
    .select([
      'lot.id',
      'lot.commission_id as commissionId',
      'client.id as clientId',
      'client.name as clientName',
      'client.mark as clientMark',
      allWishes().as('wishes'),
      'commission.purpose',
      'commission.needed_by as neededBy',
      countedOn().as('countedOn'),
      'lot.fibre_id as fibreId',
      'fibre.name as fibreName',
      'lot.colour',
      'lot.swatch',
      sql<Route>`lot.route`.as('route'),
      'lot.dye_id as dyeId',
      'dye.name as dyeName',
      'lot.ties_undyed as tiesUndyed',
      'lot.against',
      'lot.repeats_lot_id as repeatsLotId',
      'lot.conditions',
      'lot.purposes',
      'lot.damp',
      'lot.closed_at as closedAt',
      'lot.version',
    ])

const bundles = (db: Db) =>
  db
    .selectFrom('bundle')
    .select([
      'id',
      'lot_id as lotId',
      'n',
      'ties_in as tiesIn',
      'ties_on as tiesOn',
      'ties_off as tiesOff',
      'ties_lost as tiesLost',
      'ties_replaced as tiesReplaced',
      'dry_weight_g as dryWeightG',
      'weight_typed as weightTyped',
      'thickness_mm as thicknessMm',
      'thickness_typed as thicknessTyped',
      'condition',
      'how_tied as howTied',
      'place',
      'load_id as loadId',
    ])
    .orderBy('lot_id')
    .orderBy('n')

const bundlesOfLots = ready((db, lotIds: string) =>
  bundles(db).where('lot_id', 'in', numbersIn(lotIds)).where('place', '<>', 'withdrawn'),
)

const withdrawn = ready((db, lotId: number) => bundles(db).where('lot_id', '=', lotId).where('place', '=', 'withdrawn'))

/** Bundles that were written down and had never been there. */
export const withdrawnOfLot = async (db: Db, lotId: number): Promise<Bundle[]> =>
  (await withdrawn(db, lotId)).map(({ lotId: _, ...bundle }) => bundle)

async function withBundles(db: Db, rows: Awaited<ReturnType<ReturnType<typeof heads>['execute']>>): Promise<Lot[]> {
  if (rows.length === 0) return []
  const all = await bundlesOfLots(db, JSON.stringify(rows.map(({ id }) => id)))
  return rows.map(row => ({
    ...row,
    tiesUndyed: row.tiesUndyed === 1,
    conditions: JSON.parse(row.conditions),
    purposes: JSON.parse(row.purposes),
    damp: row.damp === null ? null : JSON.parse(row.damp),
    bundles: all.filter(({ lotId }) => lotId === row.id).map(({ lotId: _, ...bundle }) => bundle),
  }))
}

const headOfLot = ready((db, id: number) => heads(db).where('lot.id', '=', id))

/** The whole lot with its bundles, read once: every stage of the job starts from it. */
export async function findLot(db: Db, id: number): Promise<Lot | undefined> {
  const [lot] = await withBundles(db, await headOfLot(db, id))
  return lot
}

export async function lotsOfCommission(db: Db, commissionId: number): Promise<Lot[]> {
  return withBundles(db, await heads(db).where('commission_id', '=', commissionId).orderBy('lot.id').execute())
}

/** Lots with a bundle still on the arrivals shelf: what is due to start, the most pressing first. */
export async function lotsToStart(db: Db): Promise<Lot[]> {
  const waiting = db.selectFrom('bundle').select('lot_id').distinct().where('place', '=', 'arrivals shelf')
  return withBundles(
    db,
    await heads(db).where('lot.id', 'in', waiting).orderBy('commission.needed_by').orderBy('lot.id').execute(),
  )
}
