/** Wishes of clients that are bound to days or seasons, as a plan keeps them. */
import type { PlanWish } from '../domain/plan-input.js'
import type { Db } from './db.js'

export type WishOfClient = { clientId: number; wish: PlanWish }

/** Nothing is bound to days yet. */
export const wishesOf = async (_db: Db, _clientIds: readonly number[]): Promise<WishOfClient[]> => []
