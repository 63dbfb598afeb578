/** Table types for Kysely: what went wrong, and what was done about it. */
import type { Generated } from 'kysely'
import type { IncidentKind, IncidentWordKind } from '../domain/incident.js'

export interface IncidentTable {
  id: Generated<number>
  lot_id: number
  kind: IncidentKind
  found_at: string
  entered_at: string
  worker_id: number
  what_happened: string
  closed_at: string | null
  outcome: Generated<string>
  version: Generated<number>
}
export interface IncidentBundleTable {
  incident_id: number
  bundle_id: number
}
export interface IncidentWordTable {
  id: Generated<number>
  incident_id: number
  kind: IncidentWordKind
  at: string
  entered_at: string
  worker_id: number
  how: string
  words: string
}

export type IncidentTables = {
  incident: IncidentTable
  incident_bundle: IncidentBundleTable
  incident_word: IncidentWordTable
}
