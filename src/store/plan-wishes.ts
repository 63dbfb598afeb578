/** Wishes of clients that are bound to days or seasons, as a plan keeps them. */
import { addDays, dayOf } from '../domain/day.js'
import { instantAt, minuteAt, type PlanWish } from '../domain/plan-input.js'
import { wishSpans } from '../domain/timed-wish.js'
import type { Db } from './db.js'
import { timedWishesOfClients } from './timed-wishes.js'

export type WishOfClient = { clientId: number; wish: PlanWish }

/** A plan that reaches further would be no plan. */
const HORIZON_DAYS = 400

/** The spans from `at` (ISO 8601 UTC) on in which these clients want nothing done. */
export async function wishesOf(
  db: Db,
  clientIds: readonly number[],
  { at, timeZone }: { at: string; timeZone: string },
): Promise<WishOfClient[]> {
  const today = dayOf(at, timeZone)
  return (await timedWishesOfClients(db, clientIds)).flatMap(({ clientId, wish }) =>
    wishSpans([wish], today, addDays(today, HORIZON_DAYS), timeZone).map(span => ({ clientId, wish: span })),
  )
}

/** A wish that holds at this moment: nothing is done to the lot until then. */
export type WishNow = { lotId: number; words: string; untilAt: string }

/** The wishes that hold for these lots at `at`: what is planned keeps them, and whoever presses all the same is asked. */
export async function wishesNow(
  db: Db,
  lotIds: readonly number[],
  { at, timeZone }: { at: string; timeZone: string },
): Promise<WishNow[]> {
  const lots = await db
    .selectFrom('lot')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .select(['lot.id as lotId', 'commission.client_id as clientId'])
    .where('lot.id', 'in', [...lotIds])
    .orderBy('lot.id')
    .execute()
  const wishes = await wishesOf(db, [...new Set(lots.map(({ clientId }) => clientId))], { at, timeZone })
  const now = minuteAt(at)
  const held = wishes.filter(({ wish }) => wish.fromMin <= now && now < wish.toMin)
  return lots.flatMap(({ lotId, clientId }) =>
    held
      .filter(one => one.clientId === clientId)
      .map(({ wish }) => ({ lotId, words: wish.words, untilAt: instantAt(wish.toMin) })),
  )
}
