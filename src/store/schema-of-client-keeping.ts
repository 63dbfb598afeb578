/** Table types for Kysely: how long clients stay written down. */
import type { Generated } from 'kysely'

export interface ClientKeepingTable {
  id: number
  years: number | null
  version: Generated<number>
}
export type ClientKeepingTables = { client_keeping: ClientKeepingTable }
