/** Putting bundles of a lot into a pot: the load's own share of the recipe, its steps, and the bundles' first move. */
import { isForDyeAsked, weighedAtDropOff } from '../domain/job-for-lot.js'
import { lateAfter } from '../domain/load.js'
import { bathLPerKg, changedSince, type WeighOutLine, weighOutLines } from '../domain/load-share.js'
import { fit as howItFits } from '../domain/pots.js'
import type { Recipe } from '../domain/recipe.js'
import { reckon } from '../domain/reckon.js'
import { Refusal } from '../domain/refusal.js'
import { sayWeight } from '../domain/say-quantity.js'
import { whyNotBegun } from './agreements.js'
import { readCatalogue } from './catalogue.js'
import { whyAskIsSettled } from './colour-ask.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { refuseUnsuitable } from './incidents.js'
import { type Bundle, findLot, type Lot } from './lots.js'
import { passPinsOn } from './plan-pins.js'
import { findPot, type KnownPot } from './pots.js'
import { keepRecipe, keptRecipe } from './recipes.js'
import { findWorkshop, type Workshop } from './workshop.js'

/** `at`: when it really happened, ISO 8601 UTC; left out, it happened as it is entered. */
export type LayLoad = { lotId: number; potId: number; bundleIds: number[]; at?: string | undefined }

/** A bundle goes into a pot from one of these: a second bath starts from the ready shelf. */
export type FromPlace = 'arrivals shelf' | 'ready shelf'
export const isWaiting = (bundle: Bundle): bundle is Bundle & { place: FromPlace } =>
  bundle.place === 'arrivals shelf' || bundle.place === 'ready shelf'

/** Lays these bundles of the lot into the pot and answers the number of the load. */
export async function layLoad(trx: Trx, entered: By, { lotId, potId, bundleIds, at }: LayLoad): Promise<number> {
  const lot = await findLot(trx, lotId)
  if (!lot) throw new Refusal('not-found', 'There is no such lot.')
  const kept = await keptRecipe(trx, lotId)
  if (!kept) throw new Refusal('wrong', `Lot ${lotId} has no recipe yet: work it out and keep it first.`)
  const another = await whyForAnotherDye(trx, lot, kept.recipe)
  if (another !== null) throw new Refusal('conflict', another)
  const notYet = await whyNotBegun(trx, lot)
  if (notYet !== null) throw new Refusal('conflict', notYet)
  const workshop = await findWorkshop(trx)
  if (!workshop) throw new Error('there is no workshop')
  const bundles = bundlesToLay(lot, bundleIds)
  await refuseUnsuitable(trx, bundles)
  const dryWeightG = bundles.reduce((sum, bundle) => sum + bundle.dryWeightG, 0)
  const share = await shareOf(trx, lotId, kept.recipe, { dryWeightG, dryWeightFrom: weighedAtDropOff(bundles.length) })
  const pot = await freePot(trx, potId)
  const by = { ...entered, at: await momentOf(trx, entered, { lotId, potId, bundleIds, at }) }
  refuseTooMuch(pot, dryWeightG, bathLPerKg(share), workshop)

  const recipeId = await keepRecipe(trx, entered, lotId, share, kept.id)
  const loadId = await writeLoad(trx, by, potId, recipeId, dryWeightG)
  const beforeG = await weightBefore(trx, kept.id, loadId, bundles)
  const weights = { totalG: kept.recipe.job.dryWeightG, beforeG, nowG: dryWeightG }
  await writeSteps(trx, loadId, share)
  await writeLines(trx, loadId, weighOutLines(kept.recipe, share, weights, workshop.scaleStepG))
  for (const bundle of bundles) await layBundle(trx, by, loadId, bundle, share)
  await writeFirstLine(trx, by, loadId, entered.at)
  await passPinsOn(trx, entered, lotId, loadId)
  await remember(trx, entered, {
    lotId,
    commissionId: lot.commissionId,
    loadId,
    what: `put in ${pot.name}`,
    became: {
      loadId,
      potId,
      bundles: bundles.map(({ n }) => n),
      dryWeightG,
      ...(by.at === entered.at ? {} : { at: by.at }),
    },
  })
  return loadId
}

function bundlesToLay(lot: Lot, bundleIds: number[]): (Bundle & { place: FromPlace })[] {
  const chosen = lot.bundles.filter(({ id }) => bundleIds.includes(id))
  if (chosen.length === 0) throw new Refusal('wrong', 'Tick at least one bundle to put in.', 'bundles')
  if (chosen.length !== new Set(bundleIds).size)
    throw new Refusal('wrong', `Not all of these bundles belong to lot ${lot.id}: tick them again.`, 'bundles')
  const waiting = chosen.filter(isWaiting)
  const elsewhere = chosen.filter(bundle => !isWaiting(bundle))
  if (elsewhere.length > 0) {
    const where = elsewhere.map(({ n, place }) => `bundle ${n} (${place})`).join(', ')
    throw new Refusal('conflict', `Already under way: ${where}. Take the tick away and send it again.`, 'bundles')
  }
  return waiting
}

/**
 * Why bundles are not laid by this recipe, in a sentence, when another dye is asked of the lot by now; else null. Once
 * bundles were laid for what was asked, a recipe with another dye is for a bath over the first.
 */
export async function whyForAnotherDye(db: Db, lot: Lot, { job, dyeWords }: Recipe): Promise<string | null> {
  if (isForDyeAsked(job, lot) || (await whyAskIsSettled(db, lot.id)) !== null) return null
  return `The recipe of lot ${lot.id} was made for ${dyeWords}; make a new one for ${lot.dyeName}, which is asked of it now.`
}

/** The same job for this weight. The kept recipe stands: when the catalogue says something else by now, that is asked. */
async function shareOf(
  trx: Trx,
  lotId: number,
  kept: Recipe,
  load: { dryWeightG: number; dryWeightFrom: string },
): Promise<Recipe> {
  const catalogue = await readCatalogue(trx)
  const again = (job: Recipe['job']): Recipe => {
    try {
      return reckon(job, catalogue)
    } catch (fault) {
      if (!(fault instanceof Refusal)) throw fault
      throw new Refusal('wrong', `The recipe of lot ${lotId} cannot be reckoned for this load. ${fault.message}`)
    }
  }
  const changed = changedSince(kept, again(kept.job))
  if (changed.length > 0)
    throw new Refusal(
      'conflict',
      `The catalogue was changed since the recipe of lot ${lotId} was kept (${changed.join(', ')}). Look at the recipe and keep it again first.`,
    )
  return again({ ...kept.job, ...load })
}

async function freePot(trx: Trx, potId: number): Promise<KnownPot> {
  const pot = await findPot(trx, potId)
  if (!pot) throw new Refusal('wrong', 'Choose a pot.', 'potId')
  if (pot.outOfUse) throw new Refusal('wrong', `${pot.name} is out of use: choose another pot.`, 'potId')
  if (pot.loadId !== null)
    throw new Refusal('conflict', `${pot.name} is in use by load ${pot.loadId}: choose another pot.`, 'potId')
  return pot
}

/** A clock shows no seconds: what was told to the minute may lie this much before it really could be. */
const MINUTE_MS = 60_000

/** When it was put in: not before its bundles lay on the shelf, nor while the pot still held others. */
async function momentOf(trx: Trx, by: By, { potId, bundleIds, at }: LayLoad): Promise<string> {
  if (at === undefined) return by.at
  if (at > by.at) throw new Refusal('wrong', 'That is still to come. Write when it happened.', 'at')
  const moved = trx.selectFrom('move').where('bundle_id', 'in', bundleIds)
  const freed = trx.selectFrom('load').where('pot_id', '=', potId)
  const shelvedAt = (await moved.select(({ fn }) => fn.max('at').as('at')).executeTakeFirst())?.at ?? at
  const freeAt = (await freed.select(({ fn }) => fn.max('pot_free_at').as('at')).executeTakeFirst())?.at ?? at
  const lacksMinute = (earliest: string) => Date.parse(earliest) - Date.parse(at) >= MINUTE_MS
  if (lacksMinute(shelvedAt))
    throw new Refusal('wrong', 'These bundles did not lie on the shelf by then. Write a later time.', 'at')
  if (lacksMinute(freeAt))
    throw new Refusal('wrong', 'This pot was not free by then. Write a later time, or choose another pot.', 'at')
  return [at, shelvedAt, freeAt].sort().at(-1) ?? at
}

function refuseTooMuch(pot: KnownPot, dryWeightG: number, lPerKg: number, { weightUnit }: Workshop): void {
  const weight = (grams: number) => sayWeight(grams, { weight: weightUnit })
  const fits = howItFits(dryWeightG, { name: pot.name, usableVolumeMl: pot.usableMl }, lPerKg, weight)
  if (!fits.fits) throw new Refusal('wrong', `${fits.sentence} Take bundles out, or share them over pots.`, 'potId')
}

/** Dry weight already in pots from this recipe; none when one of these bundles is among it, for a second bath. */
async function weightBefore(trx: Trx, recipeId: number, loadId: number, bundles: Bundle[]): Promise<number> {
  const before = await trx
    .selectFrom('recipe')
    .innerJoin('load', 'load.recipe_id', 'recipe.id')
    .innerJoin('load_bundle', 'load_bundle.load_id', 'load.id')
    .innerJoin('bundle', 'bundle.id', 'load_bundle.bundle_id')
    .select(['bundle.id', 'bundle.dry_weight_g as dryWeightG'])
    .distinct()
    .where('recipe.part_of', '=', recipeId)
    .where('load.id', '<>', loadId)
    .where('load.taken_out_at', 'is', null)
    .execute()
  const again = before.some(({ id }) => bundles.some(bundle => bundle.id === id))
  return again ? 0 : before.reduce((sum, { dryWeightG }) => sum + dryWeightG, 0)
}

async function writeLoad(trx: Trx, by: By, potId: number, recipeId: number, dryWeightG: number): Promise<number> {
  const { id } = await trx
    .insertInto('load')
    .values({
      pot_id: potId,
      recipe_id: recipeId,
      dry_weight_g: dryWeightG,
      laid_at: by.at,
      laid_by: by.workerId,
      step_n: 1,
      step_since: by.at,
    })
    .returning('id')
    .executeTakeFirstOrThrow()
  return id
}

const flag = (is: boolean) => (is ? (1 as const) : (0 as const))

async function writeSteps(trx: Trx, loadId: number, { steps }: Recipe): Promise<void> {
  const rows = steps.map(step => ({
    load_id: loadId,
    n: step.index + 1,
    key: step.key,
    title: step.title,
    place: step.place,
    minutes: step.minutes,
    late_after_minutes: lateAfter(step),
    temperature_c: step.temperatureC,
    heat: flag(step.heat),
    ties_come_off: flag(step.tiesComeOff),
    hands: flag(step.hands),
    hands_minutes: step.handsMinutes,
    at_least_minutes: step.atLeastMinutes,
    at_most_minutes: step.atMostMinutes,
    may_stand_overnight: flag(step.mayStandOvernight),
  }))
  await trx.insertInto('load_step').values(rows).execute()
}

async function writeLines(trx: Trx, loadId: number, lines: WeighOutLine[]): Promise<void> {
  if (lines.length === 0) return
  const rows = lines.map((line, at) => ({
    load_id: loadId,
    n: at + 1,
    key: line.key,
    substance_id: line.substanceId,
    bath_key: line.bathKey,
    amount: line.amount,
    unit: line.unit,
  }))
  await trx.insertInto('load_line').values(rows).execute()
}

async function layBundle(trx: Trx, by: By, loadId: number, bundle: Bundle & { place: FromPlace }, share: Recipe) {
  const place = share.steps[0]?.place ?? 'pot'
  await trx
    .insertInto('load_bundle')
    .values({ load_id: loadId, bundle_id: bundle.id, from_place: bundle.place, ties_on: bundle.tiesOn })
    .execute()
  await trx.updateTable('bundle').set({ place, load_id: loadId }).where('id', '=', bundle.id).execute()
  await trx
    .insertInto('move')
    .values({
      bundle_id: bundle.id,
      from_place: bundle.place,
      to_place: place,
      load_id: loadId,
      at: by.at,
      worker_id: by.workerId,
      why: '',
    })
    .execute()
}

const writeFirstLine = (trx: Trx, by: By, loadId: number, enteredAt: string) =>
  trx
    .insertInto('bath_log')
    .values({ load_id: loadId, at: by.at, entered_at: enteredAt, worker_id: by.workerId, kind: 'step', step_n: 1 })
    .execute()
