/** Table types for Kysely: what a wet white cloth showed. */
import type { Generated } from 'kysely'
import type { Grade } from '../domain/wet-cloth.js'

export interface WetClothTable {
  id: Generated<number>
  lot_id: number
  grade: Grade | null
  least: Grade
  why: string
  words: string
  at: string
  worker_id: number
}
export interface WetClothSettingTable {
  id: number
  least: Grade
  version: Generated<number>
}
export type WetClothTables = { wet_cloth: WetClothTable; wet_cloth_setting: WetClothSettingTable }
