/** Table types for Kysely: a mirror of the migrations. Times are ISO 8601 UTC, days are YYYY-MM-DD. */
import type { Generated } from 'kysely'
import type { Offcuts, Photographs, Settles, SharesBath, WishesAnswer } from '../domain/client.js'
import type { Nearness } from '../domain/outcome.js'
import type { Paper } from '../domain/paper.js'
import type { Place } from '../domain/place.js'
import type { ArrivalTables } from './schema-of-arrivals.js'
import type { CalendarTables } from './schema-of-calendar.js'
import type { ClientKeepingTables } from './schema-of-client-keeping.js'
import type { HandBackTables } from './schema-of-hand-backs.js'
import type { IncidentTables } from './schema-of-incidents.js'
import type { BathLogTable, LoadStepTable, LoadTables } from './schema-of-loads.js'
import type { PhotographTables } from './schema-of-photographs.js'
import type { PlaceTables } from './schema-of-places.js'
import type { PlanTables } from './schema-of-plan.js'
import type { PromiseTables } from './schema-of-promises.js'
import type { TagTables } from './schema-of-tags.js'
import type { TieTables } from './schema-of-ties.js'
import type { WetClothTables } from './schema-of-wet-cloths.js'

export type { BathLogTable, LoadStepTable }

type Flag = 0 | 1

export interface WorkshopTable {
  id: number
  name: string
  weight_unit: 'metric' | 'pounds'
  volume_unit: 'metric' | 'us' | 'imperial'
  time_zone: string
  dry_basis: 'oven-dry' | 'conditioned'
  scale_step_g: number
  slip_paper: Paper
  slip_words: string
  version: Generated<number>
}
export interface WorkshopChangeTable {
  id: Generated<number>
  at: string
  worker_id: number
  was: string
  became: string
}
export interface WorkerTable {
  id: Generated<number>
  name: string
  passphrase_hash: string
  made_at: string
}
export interface SessionTable {
  token_hash: string
  worker_id: number
  made_at: string
  seen_at: string
  ends_at: string
}
export interface PressTable {
  key: string
  at: string
  body_hash: string
  location: string
}
export interface ClientTable {
  id: Generated<number>
  name: string
  name_folded: string
  mark: string
  contact: string
  settles: Settles
  wishes: string
  photographs: Photographs
  note: string
  made_at: string
  version: Generated<number>
  wishes_answer: Generated<WishesAnswer>
  wishes_said_by: Generated<string>
  wishes_at: Generated<string>
  offcuts: Generated<Offcuts>
  shares_bath: Generated<SharesBath>
  name_on_tag: Generated<Flag>
}
export interface ClientChangeTable {
  id: Generated<number>
  client_id: number
  at: string
  worker_id: number
  what: string
  was: string
  became: string
}
export interface CatalogueTable {
  id: string
  kind: 'fibre' | 'substance' | 'rule'
  name: string
  entry: string
  version: Generated<number>
  withdrawn_at: string | null
}
export interface CatalogueChangeTable {
  id: Generated<number>
  entry_id: string
  at: string
  worker_id: number | null
  why: string
  was: string | null
  became: string
}
export interface CommissionTable {
  id: Generated<number>
  client_id: number
  purpose: string
  needed_by: string
  arrangement: Settles
  note: string
  taken_in_at: string
  taken_in_by: number
  version: Generated<number>
  day_asked: Generated<0 | 1>
}
export interface LotTable {
  id: Generated<number>
  commission_id: number
  fibre_id: string
  colour: string
  swatch: string | null
  route: string
  dye_id: string
  ties_undyed: Flag
  against: string
  repeats_lot_id: number | null
  closed_at: string | null
  version: Generated<number>
  /** JSON lists of words, and JSON or null. */
  conditions: Generated<string>
  purposes: Generated<string>
  damp: string | null
}
export interface BundleTable {
  id: Generated<number>
  lot_id: number
  n: number
  ties_in: number
  ties_on: number
  ties_off: Generated<number>
  ties_lost: Generated<number>
  /** Of those on or off, how many were made anew. */
  ties_replaced: Generated<number>
  dry_weight_g: number
  weight_typed: string
  thickness_mm: number | null
  thickness_typed: string
  condition: string
  how_tied: string
  place: Place
  load_id: number | null
  spot_id: number | null
}
export interface MoveTable {
  id: Generated<number>
  bundle_id: number
  from_place: Place | null
  to_place: Place
  load_id: number | null
  at: string
  worker_id: number
  why: string
}
export interface RecipeTable {
  id: Generated<number>
  lot_id: number
  part_of: number | null
  dry_weight_g: number
  job: string
  answer: string
  made_at: string
  made_by: number
}
export interface OutcomeTable {
  id: Generated<number>
  lot_id: number
  at: string
  worker_id: number
  swatch: string | null
  nearness: Nearness
  words: string
}
export interface HistoryTable {
  id: Generated<number>
  at: string
  worker_id: number
  commission_id: number | null
  lot_id: number | null
  load_id: number | null
  what: string
  was: string | null
  became: string | null
  words: string
}
export interface LotTextTable {
  rowid: number
  client: string
  colour: string
  fibre: string
  dye: string
  words: string
}

export interface ErasureTable {
  client_id: number
  client_made_at: string
  at: string
  worker_id: number
}
export interface ClientPageTable {
  id: Generated<number>
  token: string
  client_id: number
  made_at: string
  made_by: number
  off_at: string | null
  off_by: number | null
}
export interface ChainTable {
  n: number
  of_table: string
  row_id: number
  hash: Buffer
}

export interface Tables
  extends ArrivalTables,
    CalendarTables,
    HandBackTables,
    IncidentTables,
    LoadTables,
    PhotographTables,
    PlaceTables,
    PlanTables,
    PromiseTables,
    TagTables,
    TieTables,
    WetClothTables,
    ClientKeepingTables {
  chain: ChainTable
  client_page: ClientPageTable
  erasure: ErasureTable
  workshop: WorkshopTable
  workshop_change: WorkshopChangeTable
  worker: WorkerTable
  session: SessionTable
  press: PressTable
  client: ClientTable
  client_change: ClientChangeTable
  catalogue: CatalogueTable
  catalogue_change: CatalogueChangeTable
  commission: CommissionTable
  lot: LotTable
  bundle: BundleTable
  move: MoveTable
  recipe: RecipeTable
  outcome: OutcomeTable
  history: HistoryTable
  lot_text: LotTextTable
}
