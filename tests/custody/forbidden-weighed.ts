/** What the database refuses of a weighing: it is said again to correct it, and never changed. */
import type { Case } from './forbidden.js'

export const weighedByTrigger: Record<string, Case[]> = {
  load_weighed_stays: [['update load_weighed set amount = 1'], ["update load_weighed set typed = '1 g' where id = 1"]],
  load_weighed_kept: [['delete from load_weighed'], ['delete from load_weighed where id = 1']],
}

export const weighedByCheck: Record<string, Record<string, Case[]>> = {
  load_weighed: { 'amount >= 0': [[{ another: 'load_weighed', but: { amount: '-1' } }]] },
}
