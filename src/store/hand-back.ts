import { asFound, type BundleCheck, sayTies } from '../domain/bundle-check.js'
import { NO_REST, type Rest, troubles, troubleWithRest } from '../domain/hand-back.js'
import { EVERYDAY, type Handover, handoverTroubles, isKnownReceiver, settled } from '../domain/handover.js'
import { hindering } from '../domain/open-point.js'
import { isHere } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import { type Checked, slipLines } from '../domain/return-slip.js'
import { tiesGoingBack } from '../domain/tie-board.js'
import type { WeightBand } from '../domain/weight-back.js'
import { columnsOf } from './bundle-check.js'
import { findCommission } from './commissions.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { type Bundle, type Lot, lotsOfCommission } from './lots.js'
import { openPoints } from './open-points.js'
import { gatherFacts } from './slip-facts.js'
import { noteTies } from './tie-board.js'
import { bandFor } from './weight-back.js'
import { findWorkshop } from './workshop.js'

export type HandBack = {
  commissionId: number
  lotIds: readonly number[]
  toWhom: string
  /** The dyer's own words for the slip, or ''. */
  words: string
  /** By bundle id: those that go back, or are explained as not found. What is here of these lots and not in it stays. */
  checks: ReadonlyMap<number, BundleCheck>
  /** Until when, or why, the others stay; needed only when some do. */
  rest?: Rest
  /** Everyday unless said otherwise: in person, signed on paper. */
  handover?: Partial<Handover>
}

/**
 * Hands lots back, whole or in part: every bundle of them goes, is explained, or stays with a day or words; else
 * nothing is written. From here on the bundles are with the client (or explained as not found), a lot of which nothing
 * is left is closed, and the slip is sealed. Answers the number of the slip.
 */
export async function closeHandBack(trx: Trx, by: By, handBack: HandBack): Promise<number> {
  const going: Going[] = []
  for (const lot of await openLots(trx, handBack)) going.push(holdLot(lot, handBack, await bandFor(trx, lot)))
  await refuseHindered(trx, handBack.commissionId, going)
  const id = await writeHandBack(trx, by, handBack)
  for (const one of going) await writeLot(trx, id, one)
  await seal(trx, by, id, handBack, going)
  for (const one of going) await letGo(trx, by, id, one)
  return id
}

type HeldBundle = Checked & { id: number; from: Bundle['place']; ties: Bundle }
/** What goes back of a lot; `stay` are the numbers of the bundles that do not. */
type Going = { lot: Lot; band: WeightBand; held: HeldBundle[]; rest: Rest; stay: number[] }

async function openLots(trx: Trx, { commissionId, lotIds }: HandBack): Promise<Lot[]> {
  if (lotIds.length === 0) throw new Refusal('wrong', 'Tick at least one lot that goes back.')
  const known = await lotsOfCommission(trx, commissionId)
  const lots = known.filter(({ id }) => lotIds.includes(id))
  if (lots.length !== new Set(lotIds).size) throw new Refusal('wrong', 'A lot goes back with its own commission only.')
  const gone = lots.find(({ closedAt }) => closedAt !== null)
  if (gone)
    throw new Refusal('conflict', `Lot ${gone.id} was handed back already. What you changed since has not been saved.`)
  return lots
}

function holdLot(lot: Lot, { checks, rest = NO_REST }: HandBack, band: WeightBand): Going {
  const held = lot.bundles.flatMap(bundle => {
    const check = checks.get(bundle.id)
    return check ? [hold(lot, { ...bundle, band }, check)] : []
  })
  if (held.length === 0) throw new Refusal('wrong', `Nothing of lot ${lot.id} goes back: take its tick away.`)
  const stay = lot.bundles.filter(({ id, place }) => isHere(place) && !checks.has(id)).map(({ n }) => n)
  const trouble = troubleWithRest(lot.id, stay, rest)
  if (trouble !== '') throw new Refusal('wrong', trouble)
  return { lot, band, held, stay, rest: stay.length > 0 ? rest : NO_REST }
}

/** The bundle beside its check, or a refusal that says what is not accounted for. */
function hold(lot: Lot, bundle: Bundle & { band: WeightBand }, check: BundleCheck): HeldBundle {
  const held = { ...bundle, lotId: lot.id }
  if (!isHere(bundle.place))
    throw new Refusal('conflict', `Lot ${lot.id}, bundle ${bundle.n} has gone back already (${bundle.place}).`)
  const known = asFound(check)
  const trouble = troubles(held, known)
  if (trouble.length > 0) throw new Refusal('wrong', trouble.map(({ sentence }) => sentence).join(' '))
  return { bundle: held, check: known, id: bundle.id, from: bundle.place, ties: bundle }
}

async function refuseHindered(trx: Trx, commissionId: number, going: readonly Going[]) {
  const hindered = hindering(await openPoints(trx, commissionId), {
    lotIds: going.map(({ lot }) => lot.id),
    bundleIds: going.flatMap(({ held }) => held.map(({ id }) => id)),
  })
  if (hindered.length > 0) throw new Refusal('wrong', hindered.map(({ sentence }) => sentence).join(' '))
}

/** Who may receive a commission's bundles without being asked by what right: their owner, or who brought them. */
export async function knownReceivers(db: Db, commissionId: number): Promise<string[]> {
  const known = await db
    .selectFrom('commission')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .leftJoin('arrival', 'arrival.commission_id', 'commission.id')
    .select(['client.name', 'client.mark', 'arrival.brought_by as broughtBy'])
    .where('commission.id', '=', commissionId)
    .executeTakeFirst()
  return known ? [known.name, known.mark, known.broughtBy ?? ''].filter(name => name !== '') : []
}

async function writeHandBack(trx: Trx, by: By, handBack: HandBack): Promise<number> {
  const { commissionId, toWhom, words } = handBack
  if (toWhom.trim() === '') throw new Refusal('wrong', 'Fill in: who receives them.', 'toWhom')
  const known = await knownReceivers(trx, commissionId)
  const handover = settled({ ...EVERYDAY, ...handBack.handover })
  const [trouble] = handoverTroubles(toWhom, known, handover)
  if (trouble) throw new Refusal('wrong', trouble.sentence, trouble.field)
  const workshop = await findWorkshop(trx)
  const { id } = await trx
    .insertInto('hand_back')
    .values({
      commission_id: commissionId,
      words,
      worker_id: by.workerId,
      at: by.at,
      workshop_name: workshop?.name ?? '',
      slip_words: workshop?.slipWords ?? '',
      receiver: isKnownReceiver(toWhom, known) ? 'client' : 'another',
      how: handover.how,
      reference: handover.reference,
      acknowledged: handover.acknowledged,
      not_signed_because: handover.notSignedBecause,
    })
    .returning('id')
    .executeTakeFirstOrThrow()
  await writePerson(trx, id, { commissionId, toWhom }, handover)
  return id
}

async function writePerson(trx: Trx, id: number, of: { commissionId: number; toWhom: string }, handover: Handover) {
  const commission = await findCommission(trx, of.commissionId)
  await trx
    .insertInto('hand_back_person')
    .values({
      hand_back_id: id,
      to_whom: of.toWhom,
      authority: handover.authority,
      client_name: commission?.clientName ?? '',
      client_mark: commission?.clientMark ?? '',
      wishes: commission?.wishes ?? '',
      signature: handover.signature,
    })
    .execute()
}

async function writeLot(trx: Trx, id: number, { lot, band, held, rest }: Going): Promise<void> {
  await trx
    .insertInto('hand_back_lot')
    .values({ hand_back_id: id, lot_id: lot.id, stays_until: rest.until, stays_words: rest.words })
    .execute()
  const bandColumns = { band_from: band.lightest, band_to: band.heaviest, band_of: band.of }
  for (const { bundle, check, id: bundleId } of held)
    await trx
      .insertInto('hand_back_bundle')
      .values({ hand_back_id: id, bundle_id: bundleId, ties_in: bundle.tiesIn, ...columnsOf(check), ...bandColumns })
      .execute()
}

/** From here on nothing of it changes: what its slip prints is kept with it. */
async function seal(trx: Trx, by: By, id: number, { commissionId }: HandBack, going: readonly Going[]): Promise<void> {
  const lots = going.map(({ lot, band, held, rest }) => ({
    lot,
    band,
    rest,
    checks: new Map(held.map(({ id, check }) => [id, check])),
  }))
  const facts = await gatherFacts(trx, { commissionId, ...by }, lots)
  await trx
    .updateTable('hand_back')
    .set({ closed: 1, facts: JSON.stringify(facts) })
    .where('id', '=', id)
    .execute()
}

async function letGo(trx: Trx, by: By, id: number, { lot, held, stay, rest }: Going): Promise<void> {
  for (const one of held) await moveOut(trx, by, id, one)
  const isWhole = stay.length === 0
  await trx
    .updateTable('lot')
    .set({ version: lot.version + 1, ...(isWhole ? { closed_at: by.at } : {}) })
    .where('id', '=', lot.id)
    .execute()
  await remember(trx, by, {
    lotId: lot.id,
    commissionId: lot.commissionId,
    what: isWhole ? 'handed back' : 'handed back in part',
    became: { slip: id, ...(isWhole ? {} : { stays: stay, until: rest.until }) },
    words: saidOfLot(held),
  })
}

/** "15 bundles, 44 ties; bundle 3: 1 of 3 ties missing": without the explanations, which may name people. */
function saidOfLot(held: HeldBundle[]): string {
  const back = held.filter(({ check }) => check.found)
  const ties = back.reduce((total, { check }) => total + check.tiesBack + check.tiesReplaced, 0)
  const lines = slipLines(held).filter(line => line.differences.length > 0)
  const counted = `${back.length} ${back.length === 1 ? 'bundle' : 'bundles'}, ${sayTies(ties)}`
  return [counted, ...lines.map(({ n, differences }) => `bundle ${n}: ${differences.join(', ')}`)].join('; ')
}

async function moveOut(trx: Trx, by: By, id: number, { check, ties, id: bundleId, from }: HeldBundle): Promise<void> {
  const place = check.found ? 'handed back' : 'not found'
  const why = `hand-back, slip ${id}`
  await noteTies(trx, by, ties, { events: tiesGoingBack(ties, check), loadId: null, words: why })
  await trx.updateTable('bundle').set({ place, load_id: null, spot_id: null }).where('id', '=', bundleId).execute()
  const left = { at: by.at, worker_id: by.workerId, why }
  await trx
    .insertInto('move')
    .values({ bundle_id: bundleId, from_place: from, to_place: place, load_id: null, ...left })
    .execute()
}
