/** What the database refuses of erased clients: the last client was erased, who had nothing here. */
import type { Case } from './forbidden.js'

const ERASED = '(select client_id from erasure)'

export const erasuresByTrigger: Record<string, Case[]> = {
  erasure_stays: [["update erasure set at = '2026-03-02'"]],
  erasure_kept: [['delete from erasure']],
  erasure_when_gone: [
    ['insert into erasure select client_id, taken_in_at, taken_in_at, 1 from commission where id = 2'],
  ],
  client_erased: [[`update client set name = 'Tove' where id = ${ERASED}`]],
  commission_of_erased: [[{ another: 'commission', but: { client_id: ERASED } }]],
}
