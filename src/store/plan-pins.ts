/** What the dyer has settled of the plan: when a step begins, in which pot, or both. */
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { ready } from './ready.js'

/** Of a load, or of the `part` (from 1) of what is still to be put in of its lot. */
export type PinPlace = { lotId: number; loadId: number | null; part: number | null; stepN: number }
export type KnownPin = PinPlace & Settled & { id: number }

const open = ready(db =>
  db
    .selectFrom('plan_pin')
    .select([
      'plan_pin.id',
      'lot_id as lotId',
      'load_id as loadId',
      'part',
      'step_n as stepN',
      'starts_at as startsAt',
      'pot_id as potId',
      'agreed',
    ])
    .where('undone_at', 'is', null)
    .orderBy('plan_pin.id'),
)

export const openPins = (db: Db): Promise<KnownPin[]> => open(db)

/** `agreed`: what the client said of a beginning in a time in which they want nothing done; '' where no wish is against it. */
export type Settled = { startsAt: string | null; potId: number | null; agreed: string }

/** Settles a step; what was settled of it before does not count any more. `words` says it for the history. */
export async function pinStep(trx: Trx, by: By, place: PinPlace, settled: Settled, words: string): Promise<void> {
  const same = (await openPins(trx)).find(pin => isAt(pin, place))
  if (same?.startsAt === settled.startsAt && same.potId === settled.potId && same.agreed === settled.agreed)
    throw new Refusal('conflict', 'It is settled so already.')
  await undoPinsAt(trx, by, place)
  await trx
    .insertInto('plan_pin')
    .values({
      lot_id: place.lotId,
      load_id: place.loadId,
      part: place.part,
      step_n: place.stepN,
      starts_at: settled.startsAt,
      pot_id: settled.potId,
      agreed: settled.agreed,
      at: by.at,
      worker_id: by.workerId,
    })
    .execute()
  await tell(trx, by, place, 'settled in the plan', words)
}

const isAt = (pin: PinPlace, { lotId, loadId, part, stepN }: PinPlace): boolean =>
  pin.lotId === lotId && pin.loadId === loadId && pin.part === part && pin.stepN === stepN

/** Lets the plan choose again. */
export async function unpinStep(trx: Trx, by: By, place: PinPlace, words: string): Promise<void> {
  if ((await undoPinsAt(trx, by, place)) === 0)
    throw new Refusal('conflict', 'Nothing is settled of this step any more: the plan chooses already.')
  await tell(trx, by, place, 'left to the plan again', words)
}

async function tell(trx: Trx, by: By, { lotId, loadId }: PinPlace, what: string, words: string): Promise<void> {
  const lot = await trx
    .selectFrom('lot')
    .select(['commission_id as commissionId', 'closed_at as closedAt'])
    .where('id', '=', lotId)
    .executeTakeFirst()
  if (lot === undefined) throw new Refusal('not-found', 'There is no such lot.')
  if (lot.closedAt !== null) throw new Refusal('conflict', `Lot ${lotId} has gone back: there is nothing to plan.`)
  await remember(trx, by, {
    lotId,
    commissionId: lot.commissionId,
    ...(loadId === null ? {} : { loadId }),
    what,
    words,
  })
}

async function undoPinsAt(trx: Trx, by: By, { lotId, loadId, part, stepN }: PinPlace): Promise<number> {
  const { numUpdatedRows } = await trx
    .updateTable('plan_pin')
    .set({ undone_at: by.at, undone_by: by.workerId })
    .where('lot_id', '=', lotId)
    .where('load_id', 'is', loadId)
    .where('part', 'is', part)
    .where('step_n', '=', stepN)
    .where('undone_at', 'is', null)
    .executeTakeFirst()
  return Number(numUpdatedRows)
}

/**
 * A load was laid from what was still to be put in of a lot: times that were settled for its first part hold for the
 * load from now on, its pot and its beginning are a matter of the past, and the other parts move up. Of lots that share
 * a bath, the times of the first hold.
 */
export async function passPinsOn(trx: Trx, by: By, lotIds: readonly number[], loadId: number): Promise<void> {
  const waiting = (await openPins(trx)).filter(pin => lotIds.includes(pin.lotId) && pin.loadId === null)
  for (const pin of [...waiting].sort((a, b) => (a.part ?? 0) - (b.part ?? 0))) {
    const isFirst = pin.part === 1
    const holds = isFirst && pin.lotId === lotIds[0] && pin.stepN > 1 && pin.startsAt !== null
    const moved = holds ? { load_id: loadId, part: null } : { part: (pin.part ?? 2) - 1 }
    await trx
      .updateTable('plan_pin')
      .set(isFirst && !holds ? { undone_at: by.at, undone_by: by.workerId } : moved)
      .where('id', '=', pin.id)
      .execute()
  }
}
