/** Table types of photographs and descriptions; see schema.ts. */
import type { Generated } from 'kysely'
import type { Moment, Wanted } from '../domain/photograph.js'

export interface PhotographTable {
  id: Generated<number>
  hash: string
  lot_id: number
  bundle_id: number | null
  moment: Moment
  at: string
  worker_id: number
  width_px: number
  height_px: number
  bytes: number
  words: string
  withdrawn_at: string | null
  withdrawn_by: number | null
  withdrawn_why: string | null
}
export interface DescriptionTable {
  id: Generated<number>
  lot_id: number
  bundle_id: number | null
  moment: Moment
  at: string
  worker_id: number
  words: string
}
export interface PhotographSettingTable {
  id: number
  wanted: Wanted
  version: Generated<number>
}

export interface PhotographTables {
  photograph: PhotographTable
  description: DescriptionTable
  photograph_setting: PhotographSettingTable
}
