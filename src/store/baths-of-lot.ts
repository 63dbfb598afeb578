/** What a lot was really dyed and treated with, from its loads and their logs. */
import { shareOf } from '../domain/load-share.js'
import type { Water } from '../domain/outcome.js'
import type { Recipe } from '../domain/recipe.js'
import type { Used } from '../domain/return-slip.js'
import type { Bath } from '../domain/slip-facts.js'
import type { Db } from './db.js'
import { lastWeighing } from './load-record.js'
import { weightBefore } from './lots-in-load.js'

/** The baths that the lot's bundles really went through, with its share of what was used; one taken out again is none. */
export async function bathsOfLot(db: Db, lotId: number): Promise<Bath[]> {
  const loads = await db
    .selectFrom('load')
    .innerJoin('recipe', 'recipe.id', 'load.recipe_id')
    .innerJoin('load_lot', 'load_lot.load_id', 'load.id')
    .select(['load.id', 'load.laid_at as laidAt', 'recipe.answer'])
    .select(['load_lot.dry_weight_g as lotG', 'load.dry_weight_g as loadG', weightBefore.as('beforeG')])
    .where('load.taken_out_at', 'is', null)
    .where('load_lot.lot_id', '=', lotId)
    .orderBy('load.id')
    .execute()
  const baths: Bath[] = []
  for (const { id, laidAt, answer, ...part } of loads) {
    const recipe: Recipe = JSON.parse(answer)
    const { dyeWords, routeWords, depthWords } = recipe
    const inAll = [...(await weighedOut(db, id, recipe)), ...(await addedTo(db, id))]
    const used = inAll.map(one => ({ ...one, amount: shareOf(one.amount, part) }))
    const shared = part.lotG !== part.loadG
    const bath = { loadId: id, laidAt, dyeWords, routeWords, depthWords, used, lastRinse: await lastRinse(db, id) }
    baths.push(shared ? { ...bath, shared } : bath)
  }
  return baths
}

/** The recipe's substances under the names of their day, in the amounts that were said to be weighed, else computed. */
async function weighedOut(db: Db, loadId: number, { lines }: Recipe): Promise<Used[]> {
  const rows = await db
    .selectFrom('load_line')
    .leftJoin('load_weighed', join => join.on('load_weighed.id', '=', lastWeighing))
    .select(['key', 'load_line.amount', 'load_weighed.amount as weighed'])
    .where('load_line.load_id', '=', loadId)
    .execute()
  const amounts = new Map(rows.map(({ key, amount, weighed }) => [key, weighed ?? amount]))
  return lines.map(({ key, substanceId, name, amount, unit }) => ({
    substanceId,
    name,
    amount: amounts.get(key) ?? amount,
    unit,
  }))
}

/** Lines of a load's bath log that were not undone. */
const standingLines = (db: Db, loadId: number) =>
  db
    .selectFrom('bath_log as line')
    .leftJoin('bath_log as undoing', join =>
      join.onRef('undoing.load_id', '=', 'line.load_id').onRef('undoing.undoes', '=', 'line.id'),
    )
    .where('line.load_id', '=', loadId)
    .where('undoing.id', 'is', null)

async function addedTo(db: Db, loadId: number): Promise<Used[]> {
  const rows = await standingLines(db, loadId)
    .innerJoin('catalogue', 'catalogue.id', 'line.substance_id')
    .select(['catalogue.id as substanceId', 'catalogue.name', 'line.amount', 'line.unit'])
    .where('line.kind', '=', 'added')
    .orderBy('line.id')
    .execute()
  return rows.flatMap(({ amount, unit, ...row }) =>
    amount === null || unit === null ? [] : [{ ...row, amount, unit }],
  )
}

async function lastRinse(db: Db, loadId: number): Promise<Water | null> {
  const row = await standingLines(db, loadId)
    .select('line.water')
    .where('line.kind', '=', 'rinsed')
    .orderBy('line.at', 'desc')
    .orderBy('line.id', 'desc')
    .executeTakeFirst()
  return row?.water ?? null
}
