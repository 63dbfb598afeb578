import { usedRatesOf } from '../domain/addition.js'
import type { UsedRate } from '../domain/recipe.js'
import type { Db } from './db.js'

/**
 * What was really used for a lot, for each kilogram of its dry fibre: what was weighed out for its loads, and what was
 * added to them, without what was undone. A load counts once it was in a bath. Empty when nothing was dyed yet.
 */
export async function reallyUsed(db: Db, lotId: number): Promise<UsedRate[]> {
  const loads = await loadsThatWereInABath(db, lotId)
  if (loads.length === 0) return []
  const [lines, added] = [await weighedOut(db, loads), await addedTo(db, loads)]
  return usedRatesOf(await dryWeightOf(db, loads), [...lines, ...added], `really used for lot ${lotId}`)
}

async function loadsThatWereInABath(db: Db, lotId: number): Promise<number[]> {
  const rows = await db
    .selectFrom('recipe')
    .innerJoin('load', 'load.recipe_id', 'recipe.id')
    .select('load.id')
    .where('recipe.lot_id', '=', lotId)
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
    .orderBy('load.id')
    .execute()
  return rows.map(({ id }) => id)
}

const weighedOut = (db: Db, loads: number[]) =>
  db
    .selectFrom('load_line')
    .select(['substance_id as substanceId', 'amount', 'unit'])
    .where('load_id', 'in', loads)
    .orderBy('load_id')
    .orderBy('n')
    .execute()

async function addedTo(db: Db, loads: number[]) {
  const rows = await db
    .selectFrom('bath_log as line')
    .select(['substance_id as substanceId', 'amount', 'unit'])
    .where('load_id', 'in', loads)
    .where('kind', '=', 'added')
    .where(({ not, exists, selectFrom }) =>
      not(exists(selectFrom('bath_log as undoing').select('id').whereRef('undoing.undoes', '=', 'line.id'))),
    )
    .orderBy('line.id')
    .execute()
  return rows.flatMap(({ substanceId, amount, unit }) =>
    substanceId === null || amount === null || unit === null ? [] : [{ substanceId, amount, unit }],
  )
}

/** Fibre that went through two baths counts once: both went onto the same kilogram. */
async function dryWeightOf(db: Db, loads: number[]): Promise<number> {
  const rows = await db
    .selectFrom('load_bundle')
    .innerJoin('bundle', 'bundle.id', 'load_bundle.bundle_id')
    .select(['bundle.id', 'bundle.dry_weight_g as dryWeightG'])
    .distinct()
    .where('load_bundle.load_id', 'in', loads)
    .execute()
  return rows.reduce((sum, { dryWeightG }) => sum + dryWeightG, 0)
}
