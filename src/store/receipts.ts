/** Receipts of a drop-off: issued once each, sealed, and amended only by a further one. */
import { dayOf } from '../domain/day.js'
import { composeReceipt, type Receipt, type ReceiptFacts, receiptChanges } from '../domain/receipt.js'
import { ROUTE_WORDS } from '../domain/recipe.js'
import { Refusal } from '../domain/refusal.js'
import { agreementsOf, lotsNotAgreed } from './agreements.js'
import { findArrival, lotArrivals } from './arrivals.js'
import { findClient } from './clients.js'
import { findCommission } from './commissions.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { keptApart } from './keep-apart.js'
import { lotsOfCommission } from './lots.js'
import { promisesOfCommission } from './promises.js'
import { ready } from './ready.js'
import { newGrain } from './receipt-seal.js'
import { returnablesOf } from './returnables.js'
import { timedWishesOf } from './timed-wishes.js'
import { findWorkshop } from './workshop.js'

export type IssuedReceipt = { commissionId: number; n: number; at: string; who: string; receipt: Receipt }

const ERASED = '"erased"'

/** Issues the next receipt of a commission and answers its number; refused when it would say what the last one says. */
export async function issueReceipt(trx: Trx, by: By, commissionId: number): Promise<number> {
  await refuseErased(trx, commissionId)
  const before = (await receiptsOf(trx, commissionId)).at(-1)
  const now = await receiptNow(trx, commissionId, by.at)
  const amends = before === undefined ? [] : receiptChanges(before.receipt, now)
  if (before !== undefined && amends.length === 0)
    throw new Refusal('conflict', `Nothing has changed since receipt ${before.n}: it still says how things stand.`)
  const n = (before?.n ?? 0) + 1
  await trx
    .insertInto('receipt')
    .values({
      commission_id: commissionId,
      n,
      content: JSON.stringify({ ...now, amends }),
      at: by.at,
      worker_id: by.workerId,
      grain: newGrain(),
    })
    .execute()
  if (n > 1) await remember(trx, by, { commissionId, what: `receipt ${n} issued` })
  return n
}

async function refuseErased(trx: Trx, commissionId: number): Promise<void> {
  const erased = await trx
    .selectFrom('receipt')
    .select('n')
    .where('commission_id', '=', commissionId)
    .where('content', '=', ERASED)
    .executeTakeFirst()
  if (erased)
    throw new Refusal('conflict', 'The client was erased, and their receipts with them: none is issued any more.')
}

/** Every receipt of a commission as it was issued, oldest first; those of a client who was erased are left out. */
export async function receiptsOf(db: Db, commissionId: number): Promise<IssuedReceipt[]> {
  const rows = await db
    .selectFrom('receipt')
    .innerJoin('worker', 'worker.id', 'receipt.worker_id')
    .select(['n', 'content', 'receipt.at', 'worker.name as who'])
    .where('commission_id', '=', commissionId)
    .where('content', '<>', ERASED)
    .orderBy('n')
    .execute()
  return rows.map(({ content, ...row }) => ({ commissionId, ...row, receipt: JSON.parse(content) }))
}

const issued = ready((db, commissionId: number) =>
  db
    .selectFrom('receipt')
    .innerJoin('worker', 'worker.id', 'receipt.worker_id')
    .select(['n', 'receipt.at', 'worker.name as who'])
    .where('commission_id', '=', commissionId)
    .where('content', '<>', ERASED)
    .orderBy('n'),
)

/** Which receipts a commission has, oldest first: their numbers, when and by whom. */
export const receiptsIssued = (db: Db, commissionId: number): Promise<{ n: number; at: string; who: string }[]> =>
  issued(db, commissionId)

/** What a receipt would say at this moment. */
export async function receiptNow(db: Db, commissionId: number, at: string): Promise<Receipt> {
  const workshop = await findWorkshop(db)
  const { weightUnit: weight = 'metric', volumeUnit: volume = 'metric', timeZone = 'UTC' } = workshop ?? {}
  const facts = await factsOf(db, commissionId, workshop?.name ?? '')
  return composeReceipt(facts, { units: { weight, volume }, timeZone, at })
}

async function factsOf(db: Db, commissionId: number, workshopName: string): Promise<ReceiptFacts> {
  const commission = await findCommission(db, commissionId)
  const arrival = await findArrival(db, commissionId)
  const client = commission && (await findClient(db, commission.clientId))
  if (!commission || !arrival || !client) throw new Refusal('not-found', 'There is no such commission.')
  const agreed = (await agreementsOf(db, commissionId)).at(-1) ?? null
  const isAgreedNow = (await lotsNotAgreed(db, commissionId)).length === 0
  return {
    workshopName,
    terms: arrival.terms,
    clientName: client.name,
    clientMark: client.mark,
    purpose: commission.purpose,
    neededBy: commission.neededBy,
    dayAsked: commission.dayAsked,
    promised: await promisedFor(db, commissionId),
    arrangement: commission.arrangement,
    note: commission.note,
    takenInAt: commission.takenInAt,
    takenInBy: commission.takenInBy,
    broughtBy: arrival.broughtBy,
    authority: arrival.authority,
    wishesAnswer: client.wishesAnswer,
    wishes: client.wishes,
    wishesSaidBy: client.wishesSaidBy,
    timedWishes: (await timedWishesOf(db, client.id)).map(({ said }) => said),
    photographs: client.photographs,
    sharesBath: client.sharesBath ?? 'not asked',
    offcuts: arrival.offcuts,
    agreed: isAgreedNow ? agreed : null,
    cameAlong: await returnablesOf(db, commissionId),
    lots: await lotFacts(db, commissionId),
  }
}

async function promisedFor(db: Db, commissionId: number): Promise<ReceiptFacts['promised']> {
  const last = new Map((await promisesOfCommission(db, commissionId)).map(({ lotId, day }) => [lotId, day]))
  return [...last].map(([lotId, day]) => ({ lotId, day }))
}

async function lotFacts(db: Db, commissionId: number): Promise<ReceiptFacts['lots']> {
  const lots = await lotsOfCommission(db, commissionId)
  const came = new Map((await lotArrivals(db, commissionId)).map(lot => [lot.lotId, lot]))
  const apart = await keptApart(
    db,
    lots.map(({ id }) => id),
  )
  return lots.map(lot => {
    const arrival = came.get(lot.id)
    if (!arrival) throw new Error(`how lot ${lot.id} came is not written down`)
    const bundles = new Map(arrival.bundles.map(bundle => [bundle.n, bundle]))
    return {
      ...lot,
      routeWords: ROUTE_WORDS[lot.route],
      faults: { faults: arrival.faults, words: arrival.words },
      keptApart: apart.find(({ lotId }) => lotId === lot.id)?.why ?? '',
      bundles: lot.bundles.map(bundle => {
        const seen = bundles.get(bundle.n)
        if (!seen) throw new Error(`how bundle ${bundle.n} of lot ${lot.id} came is not written down`)
        return { ...bundle, found: seen.found, condition: seen.words, tying: seen }
      }),
    }
  })
}

/** The day of a moment on the workshop's own calendar. */
export async function dayHere(db: Db, at: string): Promise<string> {
  return dayOf(at, (await findWorkshop(db))?.timeZone ?? 'UTC')
}
