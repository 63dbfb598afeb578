/** Putting bundles into a pot: the recipe of their bath, its steps, each lot's share, and the bundles' first move. */
import { dayOf, sayTime } from '../domain/day.js'
import { lateAfter } from '../domain/load.js'
import { bathLPerKg, type WeighOutLine, weighOutLines } from '../domain/load-share.js'
import { begunWords } from '../domain/load-words.js'
import { sayLots } from '../domain/lot.js'
import type { Recipe } from '../domain/recipe.js'
import { Refusal } from '../domain/refusal.js'
import { warmed } from '../domain/warm-up.js'
import { readCatalogue } from './catalogue.js'
import type { By, Trx } from './db.js'
import { remember } from './history.js'
import { type LotToLay, lotsToLay, type WaitingBundle } from './lot-to-lay.js'
import { bathOf, refuseNotOneBath } from './one-bath.js'
import { passPinsOn } from './plan-pins.js'
import { potFor } from './pot-for-load.js'
import type { KnownPot } from './pots.js'
import { keepRecipe } from './recipes.js'
import { findWorkshop, type Workshop } from './workshop.js'

/**
 * `toldApart`: how the lots are told apart, when the bundles are of more than one.
 * `at`: when it really happened, ISO 8601 UTC; left out, it happened as it is entered.
 */
export type LayLoad = {
  potId: number
  bundleIds: number[]
  toldApart?: string | undefined
  at?: string | undefined
}

/** Lays these bundles into one bath in the pot, and answers the number of the load. */
export async function layLoad(trx: Trx, entered: By, asked: LayLoad): Promise<number> {
  const { potId, bundleIds, toldApart = '' } = asked
  const catalogue = await readCatalogue(trx)
  const lots = await lotsToLay(trx, bundleIds, catalogue)
  await refuseNotOneBath(trx, lots, toldApart.trim(), catalogue)
  const workshop = await findWorkshop(trx)
  if (!workshop) throw new Error('there is no workshop')
  const bath = bathOf(lots, catalogue)
  const { dryWeightG } = bath.job
  const by = { ...entered, at: await momentOf(trx, entered, asked, workshop) }
  const pot = await potFor(trx, { potId, bath, at: by.at, now: entered.at }, { workshop, catalogue })

  const recipeId = await keepBath(trx, entered, lots, bath)
  const loadId = await writeLoad(trx, by, potId, recipeId, dryWeightG)
  await writeSteps(trx, loadId, bath, pot)
  await writeLines(trx, loadId, await weighedOutFor(trx, lots, bath, workshop.scaleStepG))
  await writeLots(trx, entered, loadId, lots, toldApart.trim())
  for (const { bundles } of lots) for (const bundle of bundles) await layBundle(trx, by, loadId, bundle, bath)
  await writeFirstLine(trx, by, loadId, entered.at)
  const lotIds = lots.map(({ lot }) => lot.id)
  await passPinsOn(trx, entered, lotIds, loadId)
  for (const { lot, bundles, dryWeightG } of lots) {
    const others = lotIds.filter(id => id !== lot.id)
    await remember(trx, entered, {
      lotId: lot.id,
      commissionId: lot.commissionId,
      loadId,
      what: `${begunWords(bath.steps[0], pot.name)}${others.length === 0 ? '' : `, in one bath with ${sayLots(others)}`}`,
      became: {
        loadId,
        potId,
        bundles: bundles.map(({ n }) => n),
        dryWeightG,
        ...(by.at === entered.at ? {} : { at: by.at }),
      },
    })
  }
  return loadId
}

/** It stands with the first lot's recipes, as its share. */
async function keepBath(trx: Trx, by: By, [first]: readonly LotToLay[], bath: Recipe): Promise<number> {
  if (!first) throw new Error('a load without a lot')
  return keepRecipe(trx, by, first.lot.id, bath, first.kept.id)
}

/** A clock shows no seconds: what was told to the minute may lie this much before it really could be. */
const MINUTE_MS = 60_000

/** When it was put in: not before its bundles lay on the shelf, nor while the pot still held others. */
async function momentOf(trx: Trx, by: By, { potId, bundleIds, at }: LayLoad, { timeZone }: Workshop): Promise<string> {
  if (at === undefined) return by.at
  if (at > by.at) throw new Refusal('wrong', 'That is still to come. Write when it happened.', 'at')
  const moved = trx.selectFrom('move').where('bundle_id', 'in', bundleIds)
  const freed = trx.selectFrom('load').where('pot_id', '=', potId)
  const liftedOut = trx.selectFrom('correction').where('of_table', '=', 'load').where('was', '=', potId)
  const shelvedAt = (await moved.select(({ fn }) => fn.max('at').as('at')).executeTakeFirst())?.at ?? at
  const emptied = (await freed.select(({ fn }) => fn.max('pot_free_at').as('at')).executeTakeFirst())?.at ?? at
  const lifted = (await liftedOut.select(({ fn }) => fn.max('at').as('at')).executeTakeFirst())?.at ?? at
  const freeAt = [emptied, lifted].toSorted().at(-1) ?? at
  const say = (when: string) => sayTime(when, timeZone, dayOf(by.at, timeZone))
  const lacksMinute = (earliest: string) => Date.parse(earliest) - Date.parse(at) >= MINUTE_MS
  if (lacksMinute(shelvedAt))
    throw new Refusal(
      'wrong',
      `These bundles did not lie on the shelf before ${say(shelvedAt)}. Write that, or later.`,
      'at',
    )
  if (lacksMinute(freeAt))
    throw new Refusal(
      'wrong',
      `This pot was not free before ${say(freeAt)}. Write that or later, or choose another pot.`,
      'at',
    )
  return [at, shelvedAt, freeAt].sort().at(-1) ?? at
}

/** What is weighed out for it, so that the loads of each lot add up to what its recipe asks. */
async function weighedOutFor(
  trx: Trx,
  lots: readonly LotToLay[],
  bath: Recipe,
  scaleStepG: number,
): Promise<WeighOutLine[]> {
  const weights = { totalG: 0, beforeG: 0, nowG: 0 }
  for (const { kept, bundles, dryWeightG } of lots) {
    weights.totalG += kept.recipe.job.dryWeightG
    weights.beforeG += await weightBefore(trx, kept.id, bundles)
    weights.nowG += dryWeightG
  }
  const recipes = lots.map(({ kept }) => kept.recipe)
  return weighOutLines(recipes, bath, weights, scaleStepG)
}

/** Dry weight already in pots by this recipe; none when one of these bundles is among it, for a second bath. */
async function weightBefore(trx: Trx, recipeId: number, bundles: readonly WaitingBundle[]): Promise<number> {
  const before = await trx
    .selectFrom('load_lot')
    .innerJoin('load', 'load.id', 'load_lot.load_id')
    .innerJoin('load_bundle', 'load_bundle.load_id', 'load.id')
    .innerJoin('bundle', join =>
      join.onRef('bundle.id', '=', 'load_bundle.bundle_id').onRef('bundle.lot_id', '=', 'load_lot.lot_id'),
    )
    .select(['bundle.id', 'bundle.dry_weight_g as dryWeightG'])
    .distinct()
    .where('load_lot.recipe_id', '=', recipeId)
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

/** The lots of the load; how they are told apart stands there before the second of them. */
async function writeLots(trx: Trx, by: By, loadId: number, lots: readonly LotToLay[], toldApart: string) {
  if (lots.length > 1)
    await trx
      .insertInto('shared_bath')
      .values({ load_id: loadId, told_apart: toldApart, at: by.at, worker_id: by.workerId })
      .execute()
  for (const { lot, kept, dryWeightG } of lots)
    await trx
      .insertInto('load_lot')
      .values({ load_id: loadId, lot_id: lot.id, recipe_id: kept.id, dry_weight_g: dryWeightG })
      .execute()
}

const flag = (is: boolean) => (is ? (1 as const) : (0 as const))

/** With the time in them that its baths take to get hot in this pot. */
async function writeSteps(trx: Trx, loadId: number, bath: Recipe, pot: KnownPot): Promise<void> {
  const bathMl = bath.job.dryWeightG * bathLPerKg(bath)
  const steps = bath.steps.map(step => warmed(step, bathMl, [pot]))
  const rows = steps.map(step => ({
    load_id: loadId,
    n: step.index + 1,
    key: step.key,
    title: step.title,
    place: step.place,
    minutes: step.minutes,
    warm_up_minutes: step.warmUpMinutes,
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

async function layBundle(trx: Trx, by: By, loadId: number, bundle: WaitingBundle, bath: Recipe) {
  const place = bath.steps[0]?.place ?? 'pot'
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
