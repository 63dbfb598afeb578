/** What the database refuses of the chain of custody. */
import type { Case } from './forbidden.js'

const nextLink = (n: string) =>
  `insert into chain (n, of_table, row_id, hash) values (${n}, 'move', 9999, zeroblob(32))`

export const chainByTrigger: Record<string, Case[]> = {
  chain_stays: [['update chain set hash = zeroblob(32) where n = 1'], ['update chain set row_id = 99999 where n = 2']],
  chain_kept: [['delete from chain'], ['delete from chain where n = (select max(n) from chain)']],
  chain_table_stays: [["update chain_table set of_table = 'other' where of_table = 'tag'"]],
  chain_table_kept: [['delete from chain_table'], ["delete from chain_table where of_table = 'receipt'"]],
  chain_in_order: [[nextLink('(select max(n) + 2 from chain)')], [nextLink('-1')]],
}

export const chainByCheck: Record<string, Record<string, Case[]>> = {
  chain: {
    'length(hash) = 32': [
      ["insert into chain select max(n) + 1, 'move', 9999, zeroblob(31) from chain"],
      ["insert into chain select max(n) + 1, 'move', 9999, x'' from chain"],
    ],
  },
}

export const chainByUnique: Record<string, Case[]> = {
  'chain(of_table, row_id)': [
    [
      "insert into chain select max(n) + 1, 'move', (select min(row_id) from chain where of_table = 'move'), zeroblob(32) from chain",
    ],
  ],
}
