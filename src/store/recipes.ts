import type { Recipe } from '../domain/recipe.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { ready } from './ready.js'

/** A recipe as it was kept: it never changes. `partOf` is the lot's recipe of which a load took its share. */
export type KeptRecipe = {
  id: number
  lotId: number
  partOf: number | null
  madeAt: string
  who: string
  recipe: Recipe
}

/**
 * Freezes a recipe for a lot and answers its number. Keeping another makes another row.
 * A load's share (`partOf` given) is told by the line of history of its pot, so it adds none of its own.
 */
export async function keepRecipe(
  trx: Trx,
  by: By,
  lotId: number,
  recipe: Recipe,
  partOf: number | null = null,
): Promise<number> {
  const lot = await trx
    .selectFrom('lot')
    .select(['commission_id as commissionId', 'closed_at as closedAt'])
    .where('id', '=', lotId)
    .executeTakeFirst()
  if (!lot) throw new Refusal('not-found', 'There is no such lot.')
  if (lot.closedAt) throw new Refusal('conflict', `Lot ${lotId} has gone back, so it needs no other recipe.`)
  const { id } = await trx
    .insertInto('recipe')
    .values({
      lot_id: lotId,
      part_of: partOf,
      dry_weight_g: recipe.job.dryWeightG,
      job: JSON.stringify(recipe.job),
      answer: JSON.stringify(recipe),
      made_at: by.at,
      made_by: by.workerId,
    })
    .returning('id')
    .executeTakeFirstOrThrow()
  if (partOf === null) {
    await remember(trx, by, {
      lotId,
      commissionId: lot.commissionId,
      what: 'recipe kept',
      became: { recipeId: id, dryWeightG: recipe.job.dryWeightG },
      words: `${recipe.dyeWords}, depth ${recipe.depthWords}`,
    })
  }
  return id
}

const rows = (db: Db) =>
  db
    .selectFrom('recipe')
    .innerJoin('worker', 'worker.id', 'recipe.made_by')
    .select([
      'recipe.id',
      'recipe.lot_id as lotId',
      'recipe.part_of as partOf',
      'recipe.made_at as madeAt',
      'worker.name as who',
      'recipe.answer',
    ])

type Row = Omit<KeptRecipe, 'recipe'> & { answer: string }

const opened = ({ answer, ...row }: Row): KeptRecipe => ({ ...row, recipe: JSON.parse(answer) })

const newestOfLot = ready((db, lotId: number) =>
  rows(db).where('recipe.lot_id', '=', lotId).where('recipe.part_of', 'is', null).orderBy('recipe.id', 'desc').limit(1),
)

/** The recipe in force for a lot: the newest that is not a load's share of another. */
export async function keptRecipe(db: Db, lotId: number): Promise<KeptRecipe | undefined> {
  const [row] = await newestOfLot(db, lotId)
  return row && opened(row)
}

export async function findRecipe(db: Db, id: number): Promise<KeptRecipe | undefined> {
  const row = await rows(db).where('recipe.id', '=', id).executeTakeFirst()
  return row && opened(row)
}

/** All recipes ever kept for a lot, loads' shares included, oldest first. */
export async function recipesOfLot(db: Db, lotId: number): Promise<KeptRecipe[]> {
  return (await rows(db).where('recipe.lot_id', '=', lotId).orderBy('recipe.id').execute()).map(opened)
}

/** The newest load that was laid by this recipe, if one was. */
export async function loadOfRecipe(db: Db, recipeId: number): Promise<number | undefined> {
  const row = await db
    .selectFrom('load')
    .select('id')
    .where('recipe_id', '=', recipeId)
    .orderBy('id', 'desc')
    .limit(1)
    .executeTakeFirst()
  return row?.id
}
