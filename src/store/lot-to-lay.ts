/** A lot whose bundles go into a pot: its kept recipe, and whether anything still stands against it. */
import type { Catalogue } from '../domain/catalogue.js'
import { dryWeightOf, isForDyeAsked } from '../domain/job-for-lot.js'
import { changedSince } from '../domain/load-share.js'
import { whyNotForWhatCame } from '../domain/put-right.js'
import type { Recipe, RecipeJob } from '../domain/recipe.js'
import { reckon } from '../domain/reckon.js'
import { Refusal } from '../domain/refusal.js'
import { sayWeight } from '../domain/say-quantity.js'
import { whyNotBegun } from './agreements.js'
import { whyAskIsSettled } from './colour-ask.js'
import type { Db } from './db.js'
import { refuseUnsuitable } from './incidents.js'
import { type Bundle, findLot, type Lot } from './lots.js'
import { type KeptRecipe, keptRecipe } from './recipes.js'
import { findWorkshop } from './workshop.js'

/** A bundle goes into a pot from one of these: a second bath starts from the ready shelf. */
export type FromPlace = 'arrivals shelf' | 'ready shelf'
export type WaitingBundle = Bundle & { place: FromPlace }
export const isWaiting = (bundle: Bundle): bundle is WaitingBundle =>
  bundle.place === 'arrivals shelf' || bundle.place === 'ready shelf'

export type LotToLay = { lot: Lot; kept: KeptRecipe; bundles: WaitingBundle[]; dryWeightG: number }

/** The lots of these bundles, in the order of their numbers, each with those of its bundles that are laid. */
export async function lotsToLay(db: Db, bundleIds: readonly number[], catalogue: Catalogue): Promise<LotToLay[]> {
  if (bundleIds.length === 0) throw new Refusal('wrong', 'Tick at least one bundle to put in.', 'bundles')
  const rows = await db.selectFrom('bundle').select(['id', 'lot_id as lotId']).where('id', 'in', bundleIds).execute()
  if (rows.length !== new Set(bundleIds).size)
    throw new Refusal('wrong', 'Not all of these bundles are known here: tick them again.', 'bundles')
  const lotIds = [...new Set(rows.map(({ lotId }) => lotId))].sort((one, other) => one - other)
  const lots: LotToLay[] = []
  for (const lotId of lotIds) {
    const lot = await findLot(db, lotId)
    if (lot) lots.push(await lotToLay(db, lot, bundleIds, catalogue))
  }
  return lots
}

/** One of them, or a refusal that says what still stands against it. */
export async function lotToLay(
  db: Db,
  lot: Lot,
  bundleIds: readonly number[],
  catalogue: Catalogue,
): Promise<LotToLay> {
  const kept = await keptRecipe(db, lot.id)
  if (!kept) throw new Refusal('wrong', `Lot ${lot.id} has no recipe yet: work it out and keep it first.`)
  const another = await whyNotByThisRecipe(db, lot, kept.recipe)
  if (another !== null) throw new Refusal('conflict', another)
  const notYet = await whyNotBegun(db, lot)
  if (notYet !== null) throw new Refusal('conflict', notYet)
  const bundles = waitingOf(lot, bundleIds)
  await refuseUnsuitable(db, bundles)
  const changed = changedSince(kept.recipe, reckonFor(lot.id, kept.recipe.job, catalogue))
  if (changed.length > 0)
    throw new Refusal(
      'conflict',
      `The catalogue was changed since the recipe of lot ${lot.id} was kept (${changed.join(', ')}). Look at the recipe and keep it again first.`,
    )
  return { lot, kept, bundles, dryWeightG: dryWeightOf(bundles) }
}

function waitingOf(lot: Lot, bundleIds: readonly number[]): WaitingBundle[] {
  const chosen = lot.bundles.filter(({ id }) => bundleIds.includes(id))
  const elsewhere = chosen.filter(bundle => !isWaiting(bundle))
  if (elsewhere.length > 0) {
    const where = elsewhere.map(({ n, place }) => `bundle ${n} (${place})`).join(', ')
    throw new Refusal('conflict', `Already under way: ${where}. Take the tick away and send it again.`, 'bundles')
  }
  return chosen.filter(isWaiting)
}

/**
 * Why bundles are not laid by this recipe, in a sentence, when what came was put right or another dye is asked of the lot
 * by now; else null. Once bundles were laid for what was asked, a recipe with another dye is for a bath over the first.
 */
export async function whyNotByThisRecipe(db: Db, lot: Lot, { job, dyeWords }: Recipe): Promise<string | null> {
  const workshop = await findWorkshop(db)
  const weight = (grams: number) => sayWeight(grams, { weight: workshop?.weightUnit ?? 'metric' })
  const wrong = whyNotForWhatCame(job, lot, weight)
  if (wrong !== null) return wrong
  if (isForDyeAsked(job, lot) || (await whyAskIsSettled(db, lot.id)) !== null) return null
  return `The recipe of lot ${lot.id} was made for ${dyeWords}; make a new one for ${lot.dyeName}, which is asked of it now.`
}

/** The job of a lot's recipe, reckoned by the catalogue of now. */
export function reckonFor(lotId: number, job: RecipeJob, catalogue: Catalogue): Recipe {
  try {
    return reckon(job, catalogue)
  } catch (fault) {
    if (!(fault instanceof Refusal)) throw fault
    throw new Refusal('wrong', `The recipe of lot ${lotId} cannot be reckoned for this load. ${fault.message}`)
  }
}
