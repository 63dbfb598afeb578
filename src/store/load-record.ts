/** A load as it is read, with all that belongs to it. */
import { type Selectable, sql } from 'kysely'
import type { LoadStep } from '../domain/load.js'
import type { Water } from '../domain/outcome.js'
import type { Place } from '../domain/place.js'
import type { Db } from './db.js'
import { type LotInLoad, lotsInLoads } from './lots-in-load.js'
import { numbersIn, ready } from './ready.js'
import type { LoadStepTable } from './schema.js'

/** A bundle of a load. `fromPlace` and `laidTiesOn` are as it was when it was laid; the rest is as it is now. */
export type BundleInLoad = {
  id: number
  lotId: number
  n: number
  dryWeightG: number
  tiesIn: number
  tiesOn: number
  tiesOff: number
  tiesLost: number
  tiesReplaced: number
  place: Place
  /** False once it has left this load, for the ready shelf or for where it came from. */
  inLoad: boolean
  fromPlace: 'arrivals shelf' | 'ready shelf'
  laidTiesOn: number
}

/** What is weighed out for the load, in the order in which it goes in; `weighed` once that was said. */
export type LineInLoad = {
  n: number
  key: string
  substanceId: string
  name: string
  bathKey: string
  amount: number
  unit: 'g' | 'mL'
  weighed: { amount: number; at: string; who: string } | null
}

/** One line of the bath log, in the order of entry; what was undone stays and says when. */
export type LogLine = {
  id: number
  at: string
  enteredAt: string
  who: string
  kind: 'step' | 'added' | 'rinsed' | 'noted'
  stepN: number | null
  substanceId: string | null
  substanceName: string | null
  amount: number | null
  unit: 'g' | 'mL' | null
  typed: string
  water: Water | null
  words: string
  undoneAt: string | null
  /** Bundles that were counted as they came out with this step, lot by lot; none for most. */
  countedOut: { lotId: number; bundles: number }[]
}

/** From one pot into another, while it held the first. */
export type Lift = { at: string; who: string; from: string; into: string; why: string }

export type Load = {
  id: number
  /** The pot that it lies in, or lay in last. */
  potId: number
  potName: string
  /** The one that it was laid for. */
  laidFor: string
  lifts: Lift[]
  lots: LotInLoad[]
  /** How its lots are told apart; null when it is of one lot. */
  toldApart: string | null
  /** The recipe of the whole bath. */
  recipeId: number
  dryWeightG: number
  laidAt: string
  stepN: number
  stepSince: string
  potFreeAt: string | null
  doneAt: string | null
  /** Set when it was taken out again before anything was done: `doneAt` is then the same. */
  takenOutAt: string | null
  version: number
  steps: LoadStep[]
  bundles: BundleInLoad[]
  lines: LineInLoad[]
  log: LogLine[]
}

export async function findLoad(db: Db, id: number): Promise<Load | undefined> {
  const head = await db
    .selectFrom('load')
    .innerJoin('pot', 'pot.id', 'load.pot_id')
    .leftJoin('shared_bath', 'shared_bath.load_id', 'load.id')
    .select([
      'load.id',
      'load.pot_id as potId',
      'pot.name as potName',
      'shared_bath.told_apart as toldApart',
      'load.recipe_id as recipeId',
      'load.dry_weight_g as dryWeightG',
      'load.laid_at as laidAt',
      'load.step_n as stepN',
      'load.step_since as stepSince',
      'load.pot_free_at as potFreeAt',
      'load.done_at as doneAt',
      'load.taken_out_at as takenOutAt',
      'load.version',
    ])
    .where('load.id', '=', id)
    .executeTakeFirst()
  if (!head) return undefined
  const steps = (await stepsOfLoads(db, [id])).map(({ step }) => step)
  const lots = (await lotsInLoads(db, [id])).get(id) ?? []
  const bundles = await bundlesOf(db, id)
  const lifts = await liftsOf(db, id)
  const laidFor = lifts[0]?.from ?? head.potName
  return { ...head, laidFor, lifts, lots, steps, bundles, lines: await linesOf(db, id), log: await logOf(db, id) }
}

const liftsOf = (db: Db, loadId: number): Promise<Lift[]> =>
  db
    .selectFrom('correction as lift')
    .innerJoin('pot as left', 'left.id', 'lift.was')
    .innerJoin('pot as into', 'into.id', 'lift.became')
    .innerJoin('worker', 'worker.id', 'lift.worker_id')
    .select(['lift.at', 'worker.name as who', 'left.name as from', 'into.name as into', 'lift.why'])
    .where('lift.of_table', '=', 'load')
    .where('lift.row_id', '=', loadId)
    .orderBy('lift.id')
    .execute()

/** The numbers of its lots, and the first of them that has gone back: nothing more is written down then. */
export const lotIdsOf = ({ lots }: Pick<Load, 'lots'>): number[] => lots.map(({ lotId }) => lotId)
export const goneBack = ({ lots }: Pick<Load, 'lots'>): LotInLoad | undefined =>
  lots.find(({ closedAt }) => closedAt !== null)

const stepRows = ready((db, loadIds: string) =>
  db
    .selectFrom('load_step')
    .selectAll()
    .select(
      sql<number>`(select coalesce(sum(minutes), 0) from step_overrun as over
        where over.load_id = load_step.load_id and over.step_n = load_step.n)`.as('over_minutes'),
    )
    .where('load_id', 'in', numbersIn(loadIds))
    .orderBy('load_id')
    .orderBy('n'),
)

/** The steps of several loads, each in order, with what they run over in their times. */
export async function stepsOfLoads(db: Db, loadIds: number[]): Promise<{ loadId: number; step: LoadStep }[]> {
  const rows = await stepRows(db, JSON.stringify(loadIds))
  return rows.map(row => ({ loadId: row.load_id, step: openedStep(row) }))
}

const openedStep = ({
  over_minutes: over,
  ...row
}: Selectable<LoadStepTable> & { over_minutes: number }): LoadStep => ({
  n: row.n,
  key: row.key,
  title: row.title,
  place: row.place,
  minutes: row.minutes === null ? null : row.minutes + over,
  overMinutes: over,
  warmUpMinutes: row.warm_up_minutes,
  lateAfterMinutes: row.late_after_minutes === null ? null : row.late_after_minutes + over,
  temperatureC: row.temperature_c,
  heat: row.heat === 1,
  tiesComeOff: row.ties_come_off === 1,
})

async function bundlesOf(db: Db, loadId: number): Promise<BundleInLoad[]> {
  const rows = await db
    .selectFrom('load_bundle')
    .innerJoin('bundle', 'bundle.id', 'load_bundle.bundle_id')
    .select([
      'bundle.id',
      'bundle.lot_id as lotId',
      'bundle.n',
      'bundle.dry_weight_g as dryWeightG',
      'bundle.ties_in as tiesIn',
      'bundle.ties_on as tiesOn',
      'bundle.ties_off as tiesOff',
      'bundle.ties_lost as tiesLost',
      'bundle.ties_replaced as tiesReplaced',
      'bundle.place',
      'bundle.load_id as loadIdNow',
      'load_bundle.from_place as fromPlace',
      'load_bundle.ties_on as laidTiesOn',
    ])
    .where('load_bundle.load_id', '=', loadId)
    .orderBy('bundle.lot_id')
    .orderBy('bundle.n')
    .execute()
  return rows.map(({ loadIdNow, ...row }) => ({ ...row, inLoad: loadIdNow === loadId }))
}

/** The number of the last word on a line of `load_line` in the same query: what was really weighed out of it. */
export const lastWeighing = sql<number>`(select max(id) from load_weighed as word
  where word.load_id = load_line.load_id and word.n = load_line.n)`

async function linesOf(db: Db, loadId: number): Promise<LineInLoad[]> {
  const rows = await lineRows(db, loadId)
  return rows.map(({ weighedAmount: amount, weighedAt: at, weighedBy: who, ...line }) => {
    const weighed = amount === null || at === null || who === null ? null : { amount, at, who }
    return { ...line, weighed }
  })
}

const lineRows = (db: Db, loadId: number) =>
  db
    .selectFrom('load_line')
    .innerJoin('catalogue', 'catalogue.id', 'load_line.substance_id')
    .leftJoin('load_weighed', join => join.on('load_weighed.id', '=', lastWeighing))
    .leftJoin('worker', 'worker.id', 'load_weighed.worker_id')
    .select([
      'load_line.n',
      'load_line.key',
      'load_line.substance_id as substanceId',
      'catalogue.name',
      'load_line.bath_key as bathKey',
      'load_line.amount',
      'load_line.unit',
      'load_weighed.amount as weighedAmount',
      'load_weighed.at as weighedAt',
      'worker.name as weighedBy',
    ])
    .where('load_line.load_id', '=', loadId)
    .orderBy('load_line.n')
    .execute()

async function logOf(db: Db, loadId: number): Promise<LogLine[]> {
  const [lines, counts] = [await linesOfLog(db, loadId), await countsOf(db, loadId)]
  return lines.map(line => ({
    ...line,
    countedOut: counts.filter(({ logId }) => logId === line.id).map(({ logId: _, ...count }) => count),
  }))
}

const countsOf = (db: Db, loadId: number) =>
  db
    .selectFrom('bath_log')
    .innerJoin('counted_out', 'counted_out.log_id', 'bath_log.id')
    .select(['log_id as logId', 'lot_id as lotId', 'bundles'])
    .where('bath_log.load_id', '=', loadId)
    .orderBy('counted_out.id')
    .execute()

const linesOfLog = (db: Db, loadId: number) =>
  db
    .selectFrom('bath_log as line')
    .innerJoin('worker', 'worker.id', 'line.worker_id')
    .leftJoin('bath_log as undoing', join =>
      join.onRef('undoing.load_id', '=', 'line.load_id').onRef('undoing.undoes', '=', 'line.id'),
    )
    .leftJoin('catalogue as substance', 'substance.id', 'line.substance_id')
    .select([
      'line.id',
      'line.at',
      'line.entered_at as enteredAt',
      'worker.name as who',
      sql<LogLine['kind']>`line.kind`.as('kind'),
      'line.step_n as stepN',
      'line.substance_id as substanceId',
      'substance.name as substanceName',
      'line.amount',
      'line.unit',
      'line.typed',
      'line.water',
      'line.words',
      'undoing.at as undoneAt',
    ])
    .where('line.load_id', '=', loadId)
    .where('line.kind', '<>', 'undone')
    .orderBy('line.id')
    .execute()
