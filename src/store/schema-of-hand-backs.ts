/** Table types of the hand-back and of what surrounds it; part of `schema.ts`. */
import type { Generated } from 'kysely'
import type { Told } from '../domain/client-told.js'
import type { Acknowledged, HowHanded } from '../domain/handover.js'

type Flag = 0 | 1

export interface BundleCheckTable {
  bundle_id: number
  found: Flag
  tied_again: Flag
  ties_back: number
  ties_replaced: number
  weight_g: number | null
  weight_typed: string
  condition: string
  explanation: string
  tag_code: Generated<string>
  at: string
  worker_id: number
  version: Generated<number>
}
export interface HandBackTable {
  id: Generated<number>
  commission_id: number
  words: string
  worker_id: number
  at: string
  closed: Generated<Flag>
  workshop_name: string
  slip_words: string
  receiver: Generated<'client' | 'another'>
  how: Generated<HowHanded>
  reference: Generated<string>
  acknowledged: Generated<Acknowledged>
  not_signed_because: Generated<string>
  /** JSON, or null for a slip from before. */
  facts: string | null
}
export interface HandBackPersonTable {
  hand_back_id: number
  to_whom: string
  authority: string
  client_name: string
  client_mark: string
  wishes: string
  signature: string
}
export interface HandBackLotTable {
  hand_back_id: number
  lot_id: number
  stays_until: string | null
  stays_words: Generated<string>
}
export interface HandBackBundleTable {
  hand_back_id: number
  bundle_id: number
  found: Flag
  tied_again: Flag
  ties_in: number
  ties_back: number
  ties_replaced: number
  weight_g: number | null
  weight_typed: string
  condition: string
  explanation: string
  tag_code: Generated<string>
  /** What the weight was held against: shares of the dry weight, and from how many bundles they were learned. */
  band_from: Generated<number>
  band_to: Generated<number>
  band_of: Generated<number>
}
export interface HandBackNoteTable {
  id: Generated<number>
  hand_back_id: number
  at: string
  worker_id: number
  words: string
}
export interface FoundAgainTable {
  id: Generated<number>
  hand_back_id: number
  bundle_id: number
  at: string
  worker_id: number
  words: string
}
export interface ReleaseMarkTable {
  id: Generated<number>
  commission_id: number
  held: Flag
  reason: string
  at: string
  worker_id: number
}
export interface ClientToldTable {
  id: Generated<number>
  lot_id: number
  on_day: string
  how: Told
  words: string
  at: string
  worker_id: number
}

export interface HandBackTables {
  bundle_check: BundleCheckTable
  hand_back: HandBackTable
  hand_back_lot: HandBackLotTable
  hand_back_bundle: HandBackBundleTable
  hand_back_person: HandBackPersonTable
  hand_back_note: HandBackNoteTable
  found_again: FoundAgainTable
  release_mark: ReleaseMarkTable
  client_told: ClientToldTable
}
