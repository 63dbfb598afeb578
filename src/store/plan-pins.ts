/** What the dyer has settled of the plan: when a step begins, in which pot, or both. */
import type { Db } from './db.js'
import { ready } from './ready.js'

/** Of a load, or of the `part` (from 1) of what is still to be put in of its lot. */
export type KnownPin = {
  id: number
  lotId: number
  loadId: number | null
  part: number | null
  stepN: number
  startsAt: string | null
  potId: number | null
}

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
    ])
    .where('undone_at', 'is', null)
    .orderBy('plan_pin.id'),
)

export const openPins = (db: Db): Promise<KnownPin[]> => open(db)
