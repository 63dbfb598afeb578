import { unchecked } from '../domain/bundle-check.js'
import { Refusal } from '../domain/refusal.js'
import { type TieCounts, tiesGoingBack } from '../domain/tie-board.js'
import { saveCheck } from './bundle-check.js'
import type { By, Trx } from './db.js'
import { remember } from './history.js'
import { noteTies } from './tie-board.js'

/**
 * A bundle that stands on a slip as not found is found after all: it lies on the ready shelf again, with all its ties
 * to be counted at its own hand-back, and its lot is open again for it. The sealed slip stays, with a line beside it.
 */
export async function findAgain(
  trx: Trx,
  by: By,
  { handBackId, bundleId, words }: { handBackId: number; bundleId: number; words: string },
): Promise<void> {
  const lost = await trx
    .selectFrom('hand_back_bundle')
    .innerJoin('bundle', 'bundle.id', 'hand_back_bundle.bundle_id')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .select(['bundle.id', 'bundle.n', 'bundle.place', 'lot.id as lotId', 'lot.version'])
    .select(['bundle.ties_in as tiesIn', 'bundle.ties_on as tiesOn', 'bundle.ties_off as tiesOff'])
    .select(['bundle.ties_lost as tiesLost', 'bundle.ties_replaced as tiesReplaced'])
    .select(['lot.commission_id as commissionId', 'lot.closed_at as closedAt'])
    .where('hand_back_id', '=', handBackId)
    .where('bundle_id', '=', bundleId)
    .where('found', '=', 0)
    .executeTakeFirst()
  if (!lost) throw new Refusal('wrong', 'Choose a bundle that stands on this slip as not found.', 'bundleId')
  if (lost.place !== 'not found')
    throw new Refusal('conflict', `Lot ${lost.lotId}, bundle ${lost.n} was found again already.`)
  await trx
    .insertInto('found_again')
    .values({ hand_back_id: handBackId, bundle_id: bundleId, at: by.at, worker_id: by.workerId, words })
    .execute()
  if (lost.closedAt !== null) await openLotAgain(trx, lost)
  await putOnReadyShelf(trx, by, handBackId, lost)
  await remember(trx, by, {
    lotId: lost.lotId,
    commissionId: lost.commissionId,
    what: 'found again',
    became: { bundle: lost.n, slip: handBackId },
    words,
  })
}

const openLotAgain = (trx: Trx, { lotId, version }: { lotId: number; version: number }) =>
  trx
    .updateTable('lot')
    .set({ closed_at: null, version: version + 1 })
    .where('id', '=', lotId)
    .execute()

async function putOnReadyShelf(trx: Trx, by: By, handBackId: number, bundle: { id: number } & TieCounts) {
  await trx.updateTable('bundle').set({ place: 'ready shelf' }).where('id', '=', bundle.id).execute()
  const why = `found again, after slip ${handBackId}`
  await noteTies(trx, by, bundle, {
    events: tiesGoingBack(bundle, { tiesBack: bundle.tiesIn, tiesReplaced: 0 }),
    loadId: null,
    words: why,
  })
  const found = { at: by.at, worker_id: by.workerId, why }
  await trx
    .insertInto('move')
    .values({ bundle_id: bundle.id, from_place: 'not found', to_place: 'ready shelf', load_id: null, ...found })
    .execute()
  // The check that called it not found is answered; the next one begins anew.
  await saveCheck(trx, by, bundle.id, unchecked({ tiesIn: bundle.tiesIn }))
}
