/** Table types of the tags; see schema.ts. */
import type { Generated } from 'kysely'

export interface TagTable {
  /** The number of its code in the sequence of codes. */
  id: number
  code: string
  bundle_id: number
  made_at: string
  replaces: number | null
  void_at: string | null
  void_why: Generated<string>
}
export interface TagPrintTable {
  id: Generated<number>
  tag_id: number
  sheet: number
  how: 'printed' | 'by hand'
  at: string
  worker_id: number
}
export interface TagSettingTable {
  id: number
  paper: 'A4' | 'Letter' | 'labels'
  size: string
  dots_per_inch: 200 | 203 | 300 | 600
  dot_size: 'small' | 'usual' | 'large'
  address: string
  version: Generated<number>
}

export interface TagTables {
  tag: TagTable
  tag_print: TagPrintTable
  tag_setting: TagSettingTable
}
