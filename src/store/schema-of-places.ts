/** Table types of the spots and of the shelf counts; see schema.ts. */
import type { Generated } from 'kysely'
import type { SpotPlace } from '../domain/place.js'
import type { Answer, Finding } from '../domain/shelf-count.js'

export interface SpotTable {
  id: Generated<number>
  place: SpotPlace
  name: string
  made_at: string
  worker_id: number
  withdrawn_at: string | null
}
export interface SpotMoveTable {
  id: Generated<number>
  bundle_id: number
  from_spot_id: number | null
  to_spot_id: number | null
  at: string
  worker_id: number
  why: string
}
export interface ShelfCountTable {
  id: Generated<number>
  place: SpotPlace
  spot_id: number | null
  listed: number
  begun_at: string
  worker_id: number
  ended_at: string | null
  ended_by: number | null
}
export interface ShelfCountBundleTable {
  id: Generated<number>
  count_id: number
  bundle_id: number
}
export interface ShelfCountSeenTable {
  id: Generated<number>
  count_id: number
  bundle_id: number
  seen: 0 | 1
  at: string
  worker_id: number
}
export interface ShelfCountFindingTable {
  id: Generated<number>
  count_id: number
  bundle_id: number
  finding: Finding
}
export interface ShelfCountAnswerTable {
  id: Generated<number>
  finding_id: number
  answer: Answer
  words: string
  incident_id: number | null
  at: string
  worker_id: number
}

export interface PlaceTables {
  spot: SpotTable
  spot_move: SpotMoveTable
  shelf_count: ShelfCountTable
  shelf_count_bundle: ShelfCountBundleTable
  shelf_count_seen: ShelfCountSeenTable
  shelf_count_finding: ShelfCountFindingTable
  shelf_count_answer: ShelfCountAnswerTable
}
