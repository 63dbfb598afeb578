/** Lifting a load over into another pot while it holds its own, as when that one leaks. */
import { Refusal } from '../domain/refusal.js'
import { loadAt, tell } from './bath-log.js'
import { readCatalogue } from './catalogue.js'
import { writeCorrections } from './corrections.js'
import type { By, Trx } from './db.js'
import { potFor } from './pot-for-load.js'
import { findRecipe } from './recipes.js'
import { findWorkshop } from './workshop.js'

/** `fromPotId`: the pot in which the page showed it. */
export type LiftOver = { loadId: number; fromPotId: number; potId: number; why: string }

/** What was laid stays as it was written; a line says in which pot it lies since. Answers what was done, in words. */
export async function liftOver(trx: Trx, by: By, { loadId, fromPotId, potId, why }: LiftOver): Promise<string> {
  const load = await loadAt(trx, loadId)
  if (load.potFreeAt !== null) throw new Refusal('conflict', `Load ${loadId} is out of its pot already.`)
  if (load.potId !== fromPotId)
    throw new Refusal('conflict', `Load ${loadId} was lifted over already: it lies in ${load.potName}.`)
  const [workshop, kept] = [await findWorkshop(trx), await findRecipe(trx, load.recipeId)]
  if (!workshop || !kept) throw new Error('a load without a workshop or a recipe')
  const asked = { potId, bath: kept.recipe, at: by.at, now: by.at }
  const pot = await potFor(trx, asked, { workshop, catalogue: await readCatalogue(trx) })
  await writeCorrections(trx, by, why, [
    { of_table: 'load', row_id: loadId, field: 'pot_id', was: load.potId, became: potId },
  ])
  const words = `lifted over from ${load.potName} into ${pot.name}`
  for (const bundle of load.bundles.filter(({ inLoad, place }) => inLoad && place === 'pot'))
    await trx
      .insertInto('move')
      .values({
        ...{ bundle_id: bundle.id, from_place: 'pot', to_place: 'pot', load_id: loadId },
        ...{ at: by.at, worker_id: by.workerId, why: `${words}: ${why}` },
      })
      .execute()
  await tell(trx, by, load, words, { potId }, why)
  return `Load ${loadId} is ${words}`
}
