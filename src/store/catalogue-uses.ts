import { sql } from 'kysely'
import type { Db } from './db.js'

/** A lot that is here and stands on an entry of the catalogue; `inRecipe`: it is in the recipe that was kept for it. */
export type LotHere = {
  id: number
  colour: string
  client: string
  asFibre: boolean
  asDye: boolean
  inRecipe: boolean
  recipeKeptAt: string | null
}

type Row = Omit<LotHere, 'asFibre' | 'asDye' | 'inRecipe'> & { asFibre: 0 | 1; asDye: 0 | 1; inRecipe: 0 | 1 }

/**
 * The lots that have not gone back and have this entry as their fibre or dye, in the lines of the recipe in force, or,
 * when it is a rule, among what that recipe was warned of.
 */
export async function lotsHereWith(db: Db, entryId: string): Promise<LotHere[]> {
  const { rows } = await sql<Row>`
    with here as (
      select lot.id, lot.colour, client.name as client, lot.fibre_id = ${entryId} as asFibre,
        lot.dye_id = ${entryId} as asDye, recipe.made_at as recipeKeptAt,
        exists (select 1 from json_each(recipe.answer, '$.lines') where value ->> 'substanceId' = ${entryId})
          or exists (select 1 from json_each(recipe.answer, '$.findings') where value ->> 'ruleId' = ${entryId})
          as inRecipe
      from lot
      join commission on commission.id = lot.commission_id
      join client on client.id = commission.client_id
      left join recipe on recipe.id = (select max(id) from recipe where lot_id = lot.id and part_of is null)
      where lot.closed_at is null
    )
    select * from here where asFibre or asDye or inRecipe order by id`.execute(db)
  return rows.map(row => ({
    ...row,
    asFibre: row.asFibre === 1,
    asDye: row.asDye === 1,
    inRecipe: row.inRecipe === 1,
  }))
}

/** How many lots ever had this entry as their fibre or dye. */
export async function countLotsOf(db: Db, entryId: string): Promise<number> {
  const { lots } = await db
    .selectFrom('lot')
    .select(({ fn }) => fn.countAll<number>().as('lots'))
    .where(({ or, eb }) => or([eb('fibre_id', '=', entryId), eb('dye_id', '=', entryId)]))
    .executeTakeFirstOrThrow()
  return lots
}
