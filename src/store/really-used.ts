import { usedRatesOf } from '../domain/addition.js'
import type { UsedRate } from '../domain/recipe.js'
import type { Db } from './db.js'
import { lastWeighing } from './load-record.js'
import { numbersIn, ready } from './ready.js'

/**
 * What was really used for a lot, for each kilogram of its dry fibre: what was weighed out for its loads, and what was
 * added to them, without what was undone; of a shared bath its share by dry weight. A load counts once it was in a bath. Empty when nothing was dyed yet.
 */
export async function reallyUsed(db: Db, lotId: number): Promise<UsedRate[]> {
  return (await ratesUsed(db, lotId)).map(({ asComputed: _, ...rate }) => rate)
}

/** The same; `asComputed` where nobody said what was weighed out, and what was computed stands in for it. */
export async function ratesUsed(db: Db, lotId: number): Promise<(UsedRate & { asComputed: boolean })[]> {
  const rows = await loadsInABath(db, lotId)
  if (rows.length === 0) return []
  const loads = JSON.stringify(rows.map(({ id }) => id))
  const [lines, added] = [await weighedOut(db, loads), await addedTo(db, loads)]
  const weighed = lines.map(({ weighed, amount, ...line }) => ({
    ...line,
    amount: weighed ?? amount,
    asComputed: weighed === null,
  }))
  const shares = new Map(rows.map(({ id, lotG, loadG }) => [id, lotG / loadG]))
  const used = [...weighed, ...added].map(({ loadId, amount, ...line }) => ({
    ...line,
    amount: amount * (shares.get(loadId) ?? 0),
  }))
  return usedRatesOf(await dryWeightOf(db, lotId, loads), used, `really used for lot ${lotId}`)
}

const loadsInABath = ready((db, lotId: number) =>
  db
    .selectFrom('load_lot')
    .innerJoin('load', 'load.id', 'load_lot.load_id')
    .select(['load.id', 'load_lot.dry_weight_g as lotG', 'load.dry_weight_g as loadG'])
    .where('load_lot.lot_id', '=', lotId)
    .where('load.taken_out_at', 'is', null)
    .where(({ exists, selectFrom }) =>
      exists(
        selectFrom('load_step')
          .select('n')
          .whereRef('load_step.load_id', '=', 'load.id')
          .whereRef('load_step.n', '<=', 'load.step_n')
          .where('load_step.place', '=', 'pot'),
      ),
    )
    .orderBy('load.id'),
)

const weighedOut = ready((db, loads: string) =>
  db
    .selectFrom('load_line')
    .leftJoin('load_weighed', join => join.on('load_weighed.id', '=', lastWeighing))
    .select(['load_line.load_id as loadId', 'substance_id as substanceId', 'load_line.amount', 'unit'])
    .select('load_weighed.amount as weighed')
    .where('load_line.load_id', 'in', numbersIn(loads))
    .orderBy('load_line.load_id')
    .orderBy('load_line.n'),
)

/** Undoing is a line of the same load: said so, since by `undoes` alone the whole log may be read through. */
const additions = ready((db, loads: string) =>
  db
    .selectFrom('bath_log as line')
    .select(['load_id as loadId', 'substance_id as substanceId', 'amount', 'unit'])
    .where('load_id', 'in', numbersIn(loads))
    .where('kind', '=', 'added')
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('bath_log as undoing')
            .select('id')
            .whereRef('undoing.load_id', '=', 'line.load_id')
            .whereRef('undoing.undoes', '=', 'line.id'),
        ),
      ),
    )
    .orderBy('line.id'),
)

async function addedTo(db: Db, loads: string) {
  return (await additions(db, loads)).flatMap(({ loadId, substanceId, amount, unit }) =>
    substanceId === null || amount === null || unit === null
      ? []
      : [{ loadId, substanceId, amount, unit, asComputed: false }],
  )
}

const bundlesOf = ready((db, lotId: number, loads: string) =>
  db
    .selectFrom('load_bundle')
    .innerJoin('bundle', 'bundle.id', 'load_bundle.bundle_id')
    .select(['bundle.id', 'bundle.dry_weight_g as dryWeightG'])
    .distinct()
    .where('bundle.lot_id', '=', lotId)
    .where('load_bundle.load_id', 'in', numbersIn(loads)),
)

/** Fibre that went through two baths counts once: both went onto the same kilogram. */
async function dryWeightOf(db: Db, lotId: number, loads: string): Promise<number> {
  return (await bundlesOf(db, lotId, loads)).reduce((sum, { dryWeightG }) => sum + dryWeightG, 0)
}
