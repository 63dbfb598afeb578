/** Table types for Kysely: what became of each tie. */
import type { Generated } from 'kysely'
import type { TieEventKind } from '../domain/tie-board.js'

export interface TieEventTable {
  id: Generated<number>
  bundle_id: number
  kind: TieEventKind
  count: number
  /** On the bundle, and not on the tie board. */
  tied: 0 | 1
  load_id: number | null
  /** As the bundle's ties hang after it. */
  ties_on: number
  ties_off: number
  ties_lost: number
  ties_replaced: number
  at: string
  worker_id: number
  words: string
}
export type TieTables = { tie_event: TieEventTable }
