/** What was really done with one lot: the loads it lay in, what was weighed out for them, and their bath log. */
import { sql } from 'kysely'
import { type PartOfLoad, shareOf } from '../domain/load-share.js'
import type { Water } from '../domain/outcome.js'
import type { StepPlace } from '../domain/recipe.js'
import type { Db } from './db.js'
import { lastWeighing } from './load-record.js'
import { type LotInLoad, lotsInLoads, weightBefore } from './lots-in-load.js'
import { ready } from './ready.js'

/** One line of the bath log. A line that was undone stays, and says when. `stepTitle` null: the load was done. */
export type BathLine = {
  at: string
  who: string
  kind: 'step' | 'added' | 'rinsed' | 'noted'
  stepTitle: string | null
  substanceId: string | null
  substanceName: string | null
  amount: number | null
  unit: 'g' | 'mL' | null
  typed: string
  water: Water | null
  words: string
  /** How many bundles of the lot were counted out with this step of a shared bath. */
  countedOut: number | null
  undoneAt: string | null
}

/**
 * The lot's share of a line of its load: `amount` as computed, `weighed` what was weighed out; null until that was said.
 * `ofLoad` is what went into the whole bath: as weighed out, or else as computed.
 */
export type WeighedOut = {
  substanceId: string
  substanceName: string
  amount: number
  weighed: number | null
  ofLoad: number
  unit: 'g' | 'mL'
}

export type LoadOfLot = {
  id: number
  potName: string
  /** Of this lot in it, by the numbers of the records. */
  bundles: { id: number; dryWeightG: number }[]
  /** Of this lot in it, and of the whole load. */
  dryWeightG: number
  loadG: number
  /** The other lots of a shared bath. */
  others: LotInLoad[]
  laidAt: string
  /** The step that runs; null when the load was done or taken out again. */
  stepTitle: string | null
  stepPlace: StepPlace | null
  stepSince: string
  /** Whether it was in a bath yet: from then on, what was weighed out for it is used. */
  wasInBath: boolean
  doneAt: string | null
  /** Set when it was taken out again before anything was done to it. */
  takenOutAt: string | null
  weighedOut: WeighedOut[]
  log: BathLine[]
}

/** What was really done with a lot, load by load. */
export async function loadsOfLot(db: Db, lotId: number): Promise<LoadOfLot[]> {
  const loads = await headsOfLot(db, lotId)
  if (loads.length === 0) return []
  const [weighed, lines] = [await weighedOutForLot(db, lotId), await linesOfLot(db, lotId)]
  const shared = loads.filter(({ lots }) => lots > 1).map(({ id }) => id)
  const lotsOf = shared.length === 0 ? undefined : await lotsInLoads(db, shared)
  return loads.map(({ beforeG, lots: _, ...load }) => ({
    ...load,
    bundles: JSON.parse(load.bundles),
    wasInBath: load.wasInBath === 1,
    others: (lotsOf?.get(load.id) ?? []).filter(one => one.lotId !== lotId),
    stepTitle: load.doneAt === null ? load.stepTitle : null,
    weighedOut: weighed
      .filter(({ loadId }) => loadId === load.id)
      .map(({ loadId: _, ...one }) => shareIn(one, { beforeG, lotG: load.dryWeightG, loadG: load.loadG })),
    log: lines.filter(({ loadId }) => loadId === load.id).map(({ loadId: _, ...line }) => line),
  }))
}

function shareIn({ amount, weighed, ...line }: Omit<WeighedOut, 'ofLoad'>, part: PartOfLoad): WeighedOut {
  const share = (whole: number) => shareOf(whole, part)
  return {
    ...line,
    amount: share(amount),
    weighed: weighed === null ? null : share(weighed),
    ofLoad: weighed ?? amount,
  }
}

const headsOfLot = ready((db, lotId: number) =>
  db
    .selectFrom('load_lot')
    .innerJoin('load', 'load.id', 'load_lot.load_id')
    .innerJoin('pot', 'pot.id', 'load.pot_id')
    .leftJoin('load_step as step', join =>
      join.onRef('step.load_id', '=', 'load.id').onRef('step.n', '=', 'load.step_n'),
    )
    .select([
      'load.id',
      'pot.name as potName',
      sql<string>`(select json_group_array(json_object('id', bundle.id, 'dryWeightG', bundle.dry_weight_g))
        from load_bundle join bundle on bundle.id = load_bundle.bundle_id
        where load_bundle.load_id = load.id and bundle.lot_id = load_lot.lot_id)`.as('bundles'),
      sql<number>`(select count(*) from load_lot as of_load where of_load.load_id = load.id)`.as('lots'),
      'load_lot.dry_weight_g as dryWeightG',
      'load.dry_weight_g as loadG',
      weightBefore.as('beforeG'),
      'load.laid_at as laidAt',
      'step.title as stepTitle',
      'step.place as stepPlace',
      'load.step_since as stepSince',
      sql<number>`exists (select 1 from load_step as bath
        where bath.load_id = load.id and bath.n <= load.step_n and bath.place = 'pot')`.as('wasInBath'),
      'load.done_at as doneAt',
      'load.taken_out_at as takenOutAt',
    ])
    .where('load_lot.lot_id', '=', lotId)
    .orderBy('load.id'),
)

const numbersOfLoads = (db: Db, lotId: number) =>
  db.selectFrom('load_lot').select('load_id').where('lot_id', '=', lotId)

const weighedOutForLot = ready((db, lotId: number) =>
  db
    .selectFrom('load_line')
    .innerJoin('catalogue', 'catalogue.id', 'load_line.substance_id')
    .leftJoin('load_weighed', join => join.on('load_weighed.id', '=', lastWeighing))
    .select([
      'load_line.load_id as loadId',
      'load_line.substance_id as substanceId',
      'catalogue.name as substanceName',
      'load_line.amount',
      'load_weighed.amount as weighed',
      'unit',
    ])
    .where('load_line.load_id', 'in', numbersOfLoads(db, lotId))
    .orderBy('load_line.load_id')
    .orderBy('load_line.n'),
)

/** Undoing is a line of the same load: it is read along, and tells of the line that it undid when that was. */
async function linesOfLot(db: Db, lotId: number): Promise<(BathLine & { loadId: number })[]> {
  const rows = await logOfLot(db, lotId)
  const undoneAt = new Map(rows.map(({ undoes, at }) => [undoes, at]))
  return rows.flatMap(({ id, undoes, kind, ...line }) =>
    kind === 'undone' ? [] : [{ ...line, kind, undoneAt: undoneAt.get(id) ?? null }],
  )
}

const logOfLot = ready((db, lotId: number) =>
  db
    .selectFrom('bath_log as line')
    .innerJoin('worker', 'worker.id', 'line.worker_id')
    .leftJoin('load_step as step', join =>
      join.onRef('step.load_id', '=', 'line.load_id').onRef('step.n', '=', 'line.step_n'),
    )
    .leftJoin('catalogue as substance', 'substance.id', 'line.substance_id')
    .leftJoin('counted_out', join =>
      join.onRef('counted_out.log_id', '=', 'line.id').on('counted_out.lot_id', '=', lotId),
    )
    .select([
      'line.id',
      'line.load_id as loadId',
      'line.at',
      'worker.name as who',
      'line.kind',
      'step.title as stepTitle',
      'line.substance_id as substanceId',
      'substance.name as substanceName',
      'line.amount',
      'line.unit',
      'line.typed',
      'line.water',
      'line.words',
      'counted_out.bundles as countedOut',
      'line.undoes',
    ])
    .where('line.load_id', 'in', numbersOfLoads(db, lotId))
    .orderBy('line.at')
    .orderBy('line.id'),
)
