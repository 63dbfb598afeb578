/** Table types of the pots and their loads; part of `schema.ts`. */
import type { Generated } from 'kysely'
import type { Water } from '../domain/outcome.js'

type Flag = 0 | 1

export interface PotTable {
  id: Generated<number>
  name: string
  usable_ml: number
  usable_typed: string
  metal: string
  note: string
  out_of_use: Flag
  no_iron: Generated<Flag>
  only_brights: Generated<Flag>
  no_heat: Generated<Flag>
  hot_after_minutes: number | null
  version: Generated<number>
}
export interface LoadTable {
  id: Generated<number>
  pot_id: number
  recipe_id: number
  dry_weight_g: number
  laid_at: string
  laid_by: number
  step_n: number
  step_since: string
  pot_free_at: string | null
  done_at: string | null
  taken_out_at: string | null
  version: Generated<number>
}
export interface LoadBundleTable {
  load_id: number
  bundle_id: number
  from_place: 'arrivals shelf' | 'ready shelf'
  ties_on: number
}
export interface LoadLotTable {
  load_id: number
  lot_id: number
  recipe_id: number
  dry_weight_g: number
}
export interface SharedBathTable {
  load_id: number
  told_apart: string
  at: string
  worker_id: number
}
export interface CountedOutTable {
  id: Generated<number>
  log_id: number
  lot_id: number
  bundles: number
}
/** A view. */
export interface LostFromLoadTable {
  load_id: number
  bundle_id: number
}
export interface LoadStepTable {
  load_id: number
  n: number
  key: string
  title: string
  place: 'soak tub' | 'pot' | 'rinse' | 'drying line'
  minutes: number | null
  warm_up_minutes: Generated<number>
  late_after_minutes: number | null
  temperature_c: number | null
  heat: Flag
  ties_come_off: Flag
  hands: Generated<Flag | null>
  hands_minutes: Generated<number | null>
  at_least_minutes: Generated<number | null>
  at_most_minutes: Generated<number | null>
  may_stand_overnight: Generated<Flag | null>
}
export interface LoadLineTable {
  load_id: number
  n: number
  key: string
  substance_id: string
  bath_key: string
  amount: number
  unit: 'g' | 'mL'
}
export interface LoadWeighedTable {
  id: Generated<number>
  load_id: number
  n: number
  amount: number
  typed: string
  at: string
  worker_id: number
}
export interface BathLogTable {
  id: Generated<number>
  load_id: number
  at: string
  entered_at: string
  worker_id: number
  kind: 'step' | 'added' | 'rinsed' | 'noted' | 'undone'
  step_n: number | null
  substance_id: string | null
  amount: number | null
  unit: 'g' | 'mL' | null
  typed: Generated<string>
  water: Water | null
  words: Generated<string>
  undoes: number | null
}

export interface LoadTables {
  pot: PotTable
  load: LoadTable
  load_lot: LoadLotTable
  load_bundle: LoadBundleTable
  load_step: LoadStepTable
  load_line: LoadLineTable
  load_weighed: LoadWeighedTable
  bath_log: BathLogTable
  shared_bath: SharedBathTable
  counted_out: CountedOutTable
  lost_from_load: LostFromLoadTable
}
