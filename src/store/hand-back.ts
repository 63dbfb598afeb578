import { asFound, type BundleCheck, sayTies, tiesMissing } from '../domain/bundle-check.js'
import { troubles } from '../domain/hand-back.js'
import { hindering } from '../domain/open-point.js'
import { Refusal } from '../domain/refusal.js'
import { type Checked, slipLines } from '../domain/return-slip.js'
import { columnsOf } from './bundle-check.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { type Bundle, type Lot, lotsOfCommission } from './lots.js'
import { openPoints } from './open-points.js'
import { findWorkshop } from './workshop.js'

export type HandBack = {
  commissionId: number
  lotIds: readonly number[]
  toWhom: string
  /** The dyer's own words for the slip, or ''. */
  words: string
  /** By bundle id; a bundle of these lots that is not in it was not looked at. */
  checks: ReadonlyMap<number, BundleCheck>
}

/**
 * Hands whole lots back: every bundle is accounted for, or nothing is written. From here on the bundles are with the
 * client (or explained as not found), the lots are closed and the slip is sealed. Answers the number of the slip.
 */
export async function closeHandBack(trx: Trx, by: By, handBack: HandBack): Promise<number> {
  const lots = await openLots(trx, handBack)
  const checked = lots.map(lot => ({ lot, bundles: lot.bundles.map(bundle => hold(lot, bundle, handBack.checks)) }))
  await refuseHindered(trx, handBack.commissionId, checked)
  const id = await writeHandBack(trx, by, handBack)
  for (const { lot, bundles } of checked) await writeLot(trx, id, lot, bundles)
  await trx.updateTable('hand_back').set({ closed: 1 }).where('id', '=', id).execute()
  for (const { lot, bundles } of checked) await letGo(trx, by, id, lot, bundles)
  return id
}

type HeldBundle = Checked & { id: number; from: Bundle['place'] }

async function refuseHindered(trx: Trx, commissionId: number, checked: { lot: Lot; bundles: HeldBundle[] }[]) {
  const hindered = hindering(await openPoints(trx, commissionId), {
    lotIds: checked.map(({ lot }) => lot.id),
    bundleIds: checked.flatMap(({ bundles }) => bundles.map(({ id }) => id)),
  })
  if (hindered.length > 0) throw new Refusal('wrong', hindered.map(({ sentence }) => sentence).join(' '))
}

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

/** The bundle beside its check, or a refusal that says what is not accounted for. */
function hold(lot: Lot, bundle: Bundle, checks: HandBack['checks']): HeldBundle {
  const held = { ...bundle, lotId: lot.id }
  const check = checks.get(bundle.id)
  if (!check) throw new Refusal('wrong', `Lot ${lot.id}, bundle ${bundle.n} is not accounted for.`)
  const known = asFound(check)
  const trouble = troubles(held, known)
  if (trouble.length > 0) throw new Refusal('wrong', trouble.map(({ sentence }) => sentence).join(' '))
  return { bundle: held, check: known, id: bundle.id, from: bundle.place }
}

async function writeHandBack(trx: Trx, by: By, { commissionId, toWhom, words }: HandBack): Promise<number> {
  const workshop = await findWorkshop(trx)
  const { id } = await trx
    .insertInto('hand_back')
    .values({
      commission_id: commissionId,
      to_whom: toWhom,
      words,
      worker_id: by.workerId,
      at: by.at,
      workshop_name: workshop?.name ?? '',
      slip_words: workshop?.slipWords ?? '',
    })
    .returning('id')
    .executeTakeFirstOrThrow()
  return id
}

async function writeLot(trx: Trx, id: number, lot: Lot, bundles: HeldBundle[]): Promise<void> {
  await trx.insertInto('hand_back_lot').values({ hand_back_id: id, lot_id: lot.id }).execute()
  for (const { bundle, check, id: bundleId } of bundles)
    await trx
      .insertInto('hand_back_bundle')
      .values({ hand_back_id: id, bundle_id: bundleId, ties_in: bundle.tiesIn, ...columnsOf(check) })
      .execute()
}

async function letGo(trx: Trx, by: By, id: number, lot: Lot, bundles: HeldBundle[]): Promise<void> {
  for (const held of bundles) await moveOut(trx, by, id, held)
  await trx
    .updateTable('lot')
    .set({ closed_at: by.at, version: lot.version + 1 })
    .where('id', '=', lot.id)
    .execute()
  await remember(trx, by, {
    lotId: lot.id,
    commissionId: lot.commissionId,
    what: 'handed back',
    became: { slip: id },
    words: saidOfLot(bundles),
  })
}

/** "15 bundles, 44 ties; bundle 3: 1 of 3 ties missing": without the explanations, which may name people. */
function saidOfLot(bundles: HeldBundle[]): string {
  const back = bundles.filter(({ check }) => check.found)
  const ties = back.reduce((total, { check }) => total + check.tiesBack + check.tiesReplaced, 0)
  const lines = slipLines(bundles).filter(line => line.differences.length > 0)
  const counted = `${back.length} ${back.length === 1 ? 'bundle' : 'bundles'}, ${sayTies(ties)}`
  return [counted, ...lines.map(({ n, differences }) => `bundle ${n}: ${differences.join(', ')}`)].join('; ')
}

async function moveOut(trx: Trx, by: By, id: number, { bundle, check, id: bundleId, from }: HeldBundle): Promise<void> {
  const place = check.found ? 'handed back' : 'not found'
  const lost = tiesMissing(bundle, check)
  await trx
    .updateTable('bundle')
    .set({ place, load_id: null, ties_on: bundle.tiesIn - lost, ties_off: 0, ties_lost: lost })
    .where('id', '=', bundleId)
    .execute()
  await trx
    .insertInto('move')
    .values({
      bundle_id: bundleId,
      from_place: from,
      to_place: place,
      load_id: null,
      at: by.at,
      worker_id: by.workerId,
      why: `hand-back, slip ${id}`,
    })
    .execute()
}

export type HandBackLine = { id: number; at: string; toWhom: string; who: string; lotIds: number[]; bundles: number }

/** The hand-backs of a commission, oldest first; `bundles` are those that went back, without those not found. */
export async function handBacksOfCommission(db: Db, commissionId: number): Promise<HandBackLine[]> {
  const rows = await db
    .selectFrom('hand_back')
    .innerJoin('worker', 'worker.id', 'hand_back.worker_id')
    .innerJoin('hand_back_bundle', 'hand_back_bundle.hand_back_id', 'hand_back.id')
    .innerJoin('bundle', 'bundle.id', 'hand_back_bundle.bundle_id')
    .groupBy(['hand_back.id', 'bundle.lot_id'])
    .select(({ fn }) => [
      'hand_back.id',
      'hand_back.at',
      'hand_back.to_whom as toWhom',
      'worker.name as who',
      'bundle.lot_id as lotId',
      fn.sum<number>('hand_back_bundle.found').as('bundles'),
    ])
    .where('hand_back.commission_id', '=', commissionId)
    .where('hand_back.closed', '=', 1)
    .orderBy('hand_back.id')
    .orderBy('bundle.lot_id')
    .execute()
  const lines = new Map<number, HandBackLine>()
  for (const { lotId, bundles, ...row } of rows) {
    const line = lines.get(row.id) ?? { ...row, lotIds: [], bundles: 0 }
    lines.set(row.id, { ...line, lotIds: [...line.lotIds, lotId], bundles: line.bundles + bundles })
  }
  return [...lines.values()]
}
