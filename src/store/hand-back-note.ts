import { Refusal } from '../domain/refusal.js'
import type { By, Trx } from './db.js'
import { remember } from './history.js'

/** Adds a note beside a sealed slip; it is shown with it from now on, and the slip itself stays as it was. */
export async function addHandBackNote(trx: Trx, by: By, handBackId: number, words: string): Promise<void> {
  const lots = await trx
    .selectFrom('hand_back_lot')
    .innerJoin('hand_back', 'hand_back.id', 'hand_back_lot.hand_back_id')
    .select(['lot_id as lotId', 'commission_id as commissionId'])
    .where('hand_back_id', '=', handBackId)
    .where('closed', '=', 1)
    .execute()
  if (lots.length === 0) throw new Refusal('not-found', 'There is no such hand-back.')
  await trx
    .insertInto('hand_back_note')
    .values({ hand_back_id: handBackId, at: by.at, worker_id: by.workerId, words })
    .execute()
  for (const lot of lots)
    await remember(trx, by, { ...lot, what: 'note added to a slip', became: { slip: handBackId } })
}
