import type { BundleCheck } from '../domain/bundle-check.js'
import type { Settles } from '../domain/client.js'
import type { Water } from '../domain/outcome.js'
import type { Recipe } from '../domain/recipe.js'
import { treatments, type Used } from '../domain/return-slip.js'
import { opened } from './bundle-check.js'
import type { Db } from './db.js'
import { type Bundle, findLot, type Lot } from './lots.js'
import { type KnownOutcome, outcomesOfLot } from './outcomes.js'

/** One bath that bundles of the lot were in. */
export type Bath = {
  loadId: number
  laidAt: string
  /** "cochineal on potassium alum". */
  dyeWords: string
  routeWords: string
  depthWords: string
  /** For the whole bath, whoever else's bundles lay in it. */
  used: Used[]
  /** null = no rinse was written down. */
  lastRinse: Water | null
}

export type SlipBundle = Bundle & { check: BundleCheck }

export type SlipLot = Omit<Lot, 'bundles'> & {
  bundles: SlipBundle[]
  baths: Bath[]
  treatedWith: Used[]
  /** The newest word on what came out before it went back: a later one does not change a slip that was signed. */
  outcome: KnownOutcome | null
}

export type ReturnSlip = {
  id: number
  at: string
  who: string
  toWhom: string
  words: string
  workshopName: string
  slipWords: string
  commissionId: number
  clientName: string
  clientMark: string
  wishes: string
  purpose: string
  neededBy: string
  arrangement: Settles
  takenInAt: string
  lots: SlipLot[]
}

/** A hand-back with all that its slip prints; undefined when there is none, or it was never closed. */
export async function findHandBack(db: Db, id: number): Promise<ReturnSlip | undefined> {
  const head = await findHead(db, id)
  if (!head) return undefined
  const lotIds = await db
    .selectFrom('hand_back_lot')
    .select('lot_id as lotId')
    .where('hand_back_id', '=', id)
    .orderBy('lot_id')
    .execute()
  const lots: SlipLot[] = []
  for (const { lotId } of lotIds) {
    const lot = await findLot(db, lotId)
    if (lot) lots.push(await lotForSlip(db, head, lot))
  }
  return { ...head, lots }
}

const findHead = (db: Db, id: number) =>
  db
    .selectFrom('hand_back')
    .innerJoin('worker', 'worker.id', 'hand_back.worker_id')
    .innerJoin('commission', 'commission.id', 'hand_back.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .select([
      'hand_back.id',
      'hand_back.at',
      'worker.name as who',
      'hand_back.to_whom as toWhom',
      'hand_back.words',
      'hand_back.workshop_name as workshopName',
      'hand_back.slip_words as slipWords',
      'commission.id as commissionId',
      'client.name as clientName',
      'client.mark as clientMark',
      'client.wishes',
      'commission.purpose',
      'commission.needed_by as neededBy',
      'commission.arrangement',
      'commission.taken_in_at as takenInAt',
    ])
    .where('hand_back.id', '=', id)
    .where('hand_back.closed', '=', 1)
    .executeTakeFirst()

async function lotForSlip(db: Db, { id, at }: { id: number; at: string }, lot: Lot): Promise<SlipLot> {
  const rows = await db.selectFrom('hand_back_bundle').selectAll().where('hand_back_id', '=', id).execute()
  const checks = new Map(rows.map(row => [row.bundle_id, opened(row)]))
  const baths = await bathsOfLot(db, lot.id)
  const outcome = (await outcomesOfLot(db, lot.id)).find(noted => noted.at <= at)
  return {
    ...lot,
    bundles: lot.bundles.flatMap(bundle => {
      const check = checks.get(bundle.id)
      return check ? [{ ...bundle, check }] : []
    }),
    baths,
    treatedWith: treatments(baths.flatMap(({ used }) => used)),
    outcome: outcome ?? null,
  }
}

/** The baths that the lot's bundles really went through; a load that was taken out again is none. */
async function bathsOfLot(db: Db, lotId: number): Promise<Bath[]> {
  const loads = await db
    .selectFrom('load')
    .innerJoin('recipe', 'recipe.id', 'load.recipe_id')
    .select(['load.id', 'load.laid_at as laidAt', 'recipe.answer'])
    .where('load.taken_out_at', 'is', null)
    .where('load.id', 'in', qb =>
      qb
        .selectFrom('load_bundle')
        .innerJoin('bundle', 'bundle.id', 'load_bundle.bundle_id')
        .select('load_bundle.load_id')
        .where('bundle.lot_id', '=', lotId),
    )
    .orderBy('load.id')
    .execute()
  const baths: Bath[] = []
  for (const { id, laidAt, answer } of loads) {
    const recipe: Recipe = JSON.parse(answer)
    const { dyeWords, routeWords, depthWords } = recipe
    const used = [...(await weighedOut(db, id, recipe)), ...(await addedTo(db, id))]
    baths.push({ loadId: id, laidAt, dyeWords, routeWords, depthWords, used, lastRinse: await lastRinse(db, id) })
  }
  return baths
}

/** The recipe's substances under the names of their day, in the amounts that were weighed out for this load. */
async function weighedOut(db: Db, loadId: number, { lines }: Recipe): Promise<Used[]> {
  const rows = await db.selectFrom('load_line').select(['key', 'amount']).where('load_id', '=', loadId).execute()
  const amounts = new Map(rows.map(({ key, amount }) => [key, amount]))
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
