/** Wishes of clients that are bound to days or seasons, as a plan keeps them. */
import { addDays, dayOf } from '../domain/day.js'
import type { PlanWish } from '../domain/plan-input.js'
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
