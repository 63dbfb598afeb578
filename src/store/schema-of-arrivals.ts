/** Table types for Kysely: how a commission came, and what was agreed about it. */
import type { Generated } from 'kysely'
import type { AgreedHow, Faults, ReturnableKind, Tying } from '../domain/arrival.js'
import type { Offcuts } from '../domain/client.js'

type Flag = 0 | 1
type TyingColumns = { tie_place: Tying['tiePlace']; tie_kind: Tying['tieKind']; thick_end: Tying['thickEnd'] }

export interface DropOffDefaultTable extends TyingColumns {
  id: number
  receipt_words: string
  weeks_without_day: Generated<number>
  version: Generated<number>
}
export interface ArrivalTable {
  commission_id: number
  brought_by: string
  authority: string
  offcuts: Offcuts
  gathered: string
  gathered_may_be_told: Flag
  terms: string
  version: Generated<number>
}
export interface LotArrivalTable {
  lot_id: number
  faults: Faults['faults']
  faults_words: string
}
export interface BundleArrivalTable extends TyingColumns {
  bundle_id: number
  at: string
  worker_id: number
  /** A JSON list of words. */
  found: string
  words: string
}
/** What was written down wrongly, and what stands there since. */
export interface CorrectionTable {
  id: Generated<number>
  of_table: 'commission' | 'lot' | 'bundle' | 'bundle_arrival' | 'load'
  row_id: number
  field: string
  was: string | number | null
  became: string | number | null
  why: string
  at: string
  worker_id: number
}
export interface ReturnableTable {
  id: Generated<number>
  commission_id: number
  kind: ReturnableKind
  words: string
  at: string
  worker_id: number
  answer: Generated<'open' | 'gone back' | 'does not go back'>
  why: Generated<string>
  answered_at: string | null
  answered_by: number | null
}
export interface KeepApartTable {
  id: Generated<number>
  lot_id: number
  why: string
  at: string
  worker_id: number
  released_at: string | null
  released_by: number | null
  release_note: Generated<string>
}
export interface UnmetWishTable {
  id: Generated<number>
  commission_id: number
  words: string
  at: string
  worker_id: number
  decision: Generated<string>
  decided_by: Generated<string>
  decided_at: string | null
  noted_by: number | null
}
export interface AgreementTable {
  id: Generated<number>
  commission_id: number
  how: AgreedHow
  /** YYYY-MM-DD */
  agreed_on: string
  words: string
  at: string
  worker_id: number
}
export interface AgreedLotTable {
  agreement_id: number
  lot_id: number
  colour: string
  dye_id: string
  route: string
  ties_undyed: number
}
export interface ReceiptTable {
  id: Generated<number>
  commission_id: number
  n: number
  /** JSON of what it says, or "erased". */
  content: string
  at: string
  worker_id: number
  grain: Generated<string>
  /** '' until it is erased. */
  seal: Generated<string>
}

export interface ArrivalTables {
  drop_off_default: DropOffDefaultTable
  arrival: ArrivalTable
  lot_arrival: LotArrivalTable
  bundle_arrival: BundleArrivalTable
  correction: CorrectionTable
  returnable: ReturnableTable
  keep_apart: KeepApartTable
  unmet_wish: UnmetWishTable
  agreement: AgreementTable
  agreed_lot: AgreedLotTable
  receipt: ReceiptTable
}
