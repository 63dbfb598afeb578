/** Several lots in one bath: whether they may share it, and which others could. */
import type { Catalogue } from '../domain/catalogue.js'
import { fold } from '../domain/fold.js'
import { weighedAtDropOff } from '../domain/job-for-lot.js'
import { differsAsBath } from '../domain/load-share.js'
import { sayLots } from '../domain/lot.js'
import { coloursDiffer, type Owner, whyNotShared } from '../domain/one-bath.js'
import type { Recipe, RecipeJob } from '../domain/recipe.js'
import { Refusal } from '../domain/refusal.js'
import { readCatalogue } from './catalogue.js'
import type { Db } from './db.js'
import { keptApart } from './keep-apart.js'
import { isWaiting, type LotToLay, lotToLay, reckonFor } from './lot-to-lay.js'
import { findLot, type Lot, lotsToStart } from './lots.js'
import type { LotInHand } from './today.js'

/** Refuses lots that may not share a bath, or for which nobody said how they are told apart. One lot needs neither. */
export async function refuseNotOneBath(
  db: Db,
  lots: readonly LotToLay[],
  toldApart: string,
  catalogue: Catalogue,
): Promise<void> {
  if (lots.length < 2) return
  const why = await whyNotOneBath(db, lots, catalogue)
  if (why !== null) throw new Refusal('conflict', why)
  if (!/[\p{L}\p{N}]/u.test(toldApart))
    throw new Refusal(
      'wrong',
      `Say how the bundles of ${sayLots(lots.map(({ lot }) => lot.id))} are told apart once they are wet.`,
      'toldApart',
    )
}

/** Why these lots cannot be laid into one bath, in a sentence; null when they can. */
async function whyNotOneBath(db: Db, lots: readonly LotToLay[], catalogue: Catalogue): Promise<string | null> {
  const shared = whyNotShared(await ownersOf(db, lots))
  if (shared !== null) return shared
  const [apart] = await keptApart(
    db,
    lots.map(({ lot }) => lot.id),
  )
  if (apart) return `Lot ${apart.lotId} is kept apart, because: ${apart.why}. It shares no bath until it is released.`
  return whyDifferent(lots, catalogue)
}

async function ownersOf(db: Db, lots: readonly LotToLay[]): Promise<Owner[]> {
  const ids = lots.map(({ lot }) => lot.clientId)
  return db
    .selectFrom('client')
    .select(['id as clientId', 'name as clientName', 'shares_bath as sharesBath'])
    .where('id', 'in', ids)
    .orderBy('id')
    .execute()
}

/** The recipe of the whole bath: that of the first lot for the weight of all, with what was said of any of them. */
export function bathOf(lots: readonly LotToLay[], catalogue: Catalogue): Recipe {
  const [first] = lots
  if (!first) throw new Error('a bath without a lot')
  const jobs = lots.map(({ kept }) => kept.recipe.job)
  const job: RecipeJob = {
    ...first.kept.recipe.job,
    dryWeightG: lots.reduce((sum, one) => sum + one.dryWeightG, 0),
    dryWeightFrom: weighedAtDropOff(lots.flatMap(({ bundles }) => bundles).length),
    tiesUndyed: jobs.some(({ tiesUndyed }) => tiesUndyed),
    conditions: [...new Set(jobs.flatMap(({ conditions }) => conditions))],
    purposes: [...new Set(jobs.flatMap(({ purposes }) => purposes))],
    reasons: jobs.flatMap(({ reasons }, at) => reasons.filter(one => !isGiven(one.ruleId, jobs.slice(0, at)))),
  }
  return reckonFor(first.lot.id, job, catalogue)
}

const isGiven = (ruleId: string, jobs: readonly RecipeJob[]): boolean =>
  jobs.some(({ reasons }) => reasons.some(reason => reason.ruleId === ruleId))

/** One bath is one recipe: each lot's own, reckoned for the weight of all, comes out as the bath does. */
function whyDifferent(lots: readonly LotToLay[], catalogue: Catalogue): string | null {
  const bath = bathOf(lots, catalogue)
  for (const { lot, kept } of lots) {
    const own = reckonFor(lot.id, { ...kept.recipe.job, dryWeightG: bath.job.dryWeightG }, catalogue)
    const colours = coloursDiffer(lots[0] ? [lots[0].lot, lot] : [])
    const differ = [...(colours === null ? [] : [colours]), ...differsAsBath(bath, own)]
    const others = lots.map(one => one.lot.id).filter(id => id !== lot.id)
    if (differ.length > 0)
      return `The bath of lot ${lot.id} is not that of ${sayLots(others)}. What differs: ${differ.join(', ')}.`
  }
  return null
}

/** A lot that waits beside others, and why it cannot share a bath with them; `why` null: it could. */
export type CouldShare = { lot: Lot; waiting: number; dryWeightG: number; why: string | null }

/** Every other lot on the arrivals shelf, the most pressing first. */
export async function lotsThatCouldShare(db: Db, own: Lot): Promise<CouldShare[]> {
  const catalogue = await readCatalogue(db)
  const laid = await lotToLay(db, own, waitingIds(own), catalogue)
  const others = (await lotsToStart(db)).filter(({ id }) => id !== own.id)
  const found: CouldShare[] = []
  for (const lot of others) {
    const waiting = lot.bundles.filter(isWaiting)
    const dryWeightG = waiting.reduce((sum, bundle) => sum + bundle.dryWeightG, 0)
    found.push({ lot, waiting: waiting.length, dryWeightG, why: await whyNotBeside(db, laid, lot, catalogue) })
  }
  return found
}

/** Lots that wait and could go into one bath: the first of them, and the others. */
export type BathToShare = { lotId: number; others: number[] }

/** Only where the dye and the colour are the same, so that most days nothing has to be reckoned for it. */
export async function bathsToShare(db: Db, waiting: readonly LotInHand[]): Promise<BathToShare[]> {
  const groups = new Map<string, number[]>()
  for (const { id, dyeId, colour, hasRecipe } of waiting) {
    const asked = `${dyeId} ${fold(colour)}`
    if (hasRecipe) groups.set(asked, [...(groups.get(asked) ?? []), id])
  }
  const found: BathToShare[] = []
  for (const [lotId, ...more] of groups.values()) {
    const others = lotId === undefined || more.length === 0 ? [] : await othersBeside(db, lotId, more)
    if (lotId !== undefined && others.length > 0) found.push({ lotId, others })
  }
  return found
}

async function othersBeside(db: Db, lotId: number, ids: readonly number[]): Promise<number[]> {
  const own = await findLot(db, lotId)
  if (!own) return []
  const could = await lotsThatCouldShare(db, own).catch((fault: unknown): CouldShare[] => {
    if (fault instanceof Refusal) return []
    throw fault
  })
  return could.flatMap(({ lot, why }) => (why === null && ids.includes(lot.id) ? [lot.id] : []))
}

const waitingIds = ({ bundles }: Lot): number[] => bundles.filter(isWaiting).map(({ id }) => id)

async function whyNotBeside(db: Db, own: LotToLay, lot: Lot, catalogue: Catalogue): Promise<string | null> {
  try {
    return await whyNotOneBath(db, [own, await lotToLay(db, lot, waitingIds(lot), catalogue)], catalogue)
  } catch (fault) {
    if (fault instanceof Refusal) return fault.message
    throw fault
  }
}
