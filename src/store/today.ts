import type { Db } from './db.js'

/** Which of these lots have a recipe kept. */
export async function lotsWithRecipe(db: Db, lotIds: number[]): Promise<ReadonlySet<number>> {
  if (lotIds.length === 0) return new Set()
  const rows = await db
    .selectFrom('recipe')
    .select('lot_id')
    .distinct()
    .where('lot_id', 'in', lotIds)
    .where('part_of', 'is', null)
    .execute()
  return new Set(rows.map(row => row.lot_id))
}
