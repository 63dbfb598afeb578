/** What a slip says is gone, and is here all the same: the sealed slip stays, with a line beside it. */
import { unchecked } from '../domain/bundle-check.js'
import { Refusal } from '../domain/refusal.js'
import { type TieCounts, tiesGoingBack } from '../domain/tie-board.js'
import { saveCheck } from './bundle-check.js'
import type { By, Trx } from './db.js'
import { remember } from './history.js'
import { noteTies } from './tie-board.js'

type Again = { handBackId: number; bundleId: number; words: string }

/**
 * A bundle that stands on a slip as not found is found after all: it lies on the ready shelf again, with all its ties
 * to be counted at its own hand-back, and its lot is open again for it.
 */
export async function findAgain(trx: Trx, by: By, again: Again): Promise<void> {
  const lost = await onSlip(trx, again, 0)
  if (!lost) throw new Refusal('wrong', 'Choose a bundle that stands on this slip as not found.', 'bundleId')
  if (lost.place !== 'not found')
    throw new Refusal('conflict', `Lot ${lost.lotId}, bundle ${lost.n} was found again already.`)
  await comeBack(trx, by, again, lost, { what: 'found again', why: `found again, after slip ${again.handBackId}` })
  await noteTies(trx, by, lost, {
    events: tiesGoingBack(lost, { tiesBack: lost.tiesIn, tiesReplaced: 0 }),
    loadId: null,
    words: `found again, after slip ${again.handBackId}`,
  })
  // The check that called it not found is answered; the next one begins anew.
  await saveCheck(trx, by, lost.id, unchecked({ tiesIn: lost.tiesIn }))
}

/** Bundles that a slip says went are here still: it was closed by mistake, or they were left on the table. */
export async function noteStayed(
  trx: Trx,
  by: By,
  { handBackId, bundleIds, words }: Pick<Again, 'handBackId' | 'words'> & { bundleIds: readonly number[] },
): Promise<void> {
  if (bundleIds.length === 0) throw new Refusal('wrong', 'Tick the bundles that are still here.', 'stayed.words')
  for (const bundleId of bundleIds) {
    const again = { handBackId, bundleId, words }
    const gone = await onSlip(trx, again, 1)
    if (!gone) throw new Refusal('wrong', 'Tick bundles that this slip says went back.', 'stayed.words')
    if (gone.place !== 'handed back' || (await isHereAgain(trx, again)))
      throw new Refusal('conflict', `That lot ${gone.lotId}, bundle ${gone.n} is still here was written down already.`)
    await comeBack(trx, by, again, gone, { what: 'did not go', why: `did not go with slip ${handBackId}` })
    // Its ties are as they were counted back; everything else is looked at anew.
    await saveCheck(trx, by, gone.id, unchecked(gone))
  }
}

const isHereAgain = async (trx: Trx, { handBackId, bundleId }: Again): Promise<boolean> =>
  (await trx
    .selectFrom('found_again')
    .select('id')
    .where('hand_back_id', '=', handBackId)
    .where('bundle_id', '=', bundleId)
    .executeTakeFirst()) !== undefined

const onSlip = (trx: Trx, { handBackId, bundleId }: Again, found: 0 | 1) =>
  trx
    .selectFrom('hand_back_bundle')
    .innerJoin('hand_back', 'hand_back.id', 'hand_back_bundle.hand_back_id')
    .innerJoin('bundle', 'bundle.id', 'hand_back_bundle.bundle_id')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .select(['bundle.id', 'bundle.n', 'bundle.place', 'lot.id as lotId'])
    .select(['bundle.ties_in as tiesIn', 'bundle.ties_on as tiesOn', 'bundle.ties_off as tiesOff'])
    .select(['bundle.ties_lost as tiesLost', 'bundle.ties_replaced as tiesReplaced'])
    .select('lot.commission_id as commissionId')
    .where('hand_back_id', '=', handBackId)
    .where('bundle_id', '=', bundleId)
    .where('found', '=', found)
    .where('hand_back.closed', '=', 1)
    .executeTakeFirst()

type Gone = NonNullable<Awaited<ReturnType<typeof onSlip>>> & TieCounts

async function comeBack(
  trx: Trx,
  by: By,
  { handBackId, bundleId, words }: Again,
  gone: Gone,
  { what, why }: { what: string; why: string },
): Promise<void> {
  const { lotId, commissionId, n } = gone
  await trx
    .insertInto('found_again')
    .values({ hand_back_id: handBackId, bundle_id: bundleId, at: by.at, worker_id: by.workerId, words })
    .execute()
  // Another bundle of the lot may have opened it just now.
  const lot = await trx.selectFrom('lot').select(['closed_at', 'version']).where('id', '=', lotId).executeTakeFirst()
  if (lot && lot.closed_at !== null)
    await trx
      .updateTable('lot')
      .set({ closed_at: null, version: lot.version + 1 })
      .where('id', '=', lotId)
      .execute()
  await trx.updateTable('bundle').set({ place: 'ready shelf' }).where('id', '=', bundleId).execute()
  const move = { from_place: gone.place, to_place: 'ready shelf' as const, load_id: null, why }
  await trx
    .insertInto('move')
    .values({ bundle_id: bundleId, ...move, at: by.at, worker_id: by.workerId })
    .execute()
  await remember(trx, by, { lotId, commissionId, what, became: { bundle: n, slip: handBackId }, words })
}
