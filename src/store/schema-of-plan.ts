/** Table types for Kysely: what a plan has to know of the workshop, and what its dyer has settled. */
import type { Generated } from 'kysely'
import type { StepKey } from '../domain/recipe.js'

type Flag = 0 | 1

export interface WorkingDaysTable {
  id: number
  soak_tubs: number
  sinks: number
  line_unit: 'bundles' | 'metres'
  line_room: number
  metres_per_bundle: number
  hands: number
  scour_minutes: number
  version: Generated<number>
}
export interface WorkingHoursTable {
  weekday: number
  from_clock: string
  to_clock: string
}
export interface DayAwayTable {
  id: Generated<number>
  from_day: string
  to_day: string
  words: string
  at: string
  worker_id: number
  undone_at: string | null
  undone_by: number | null
}
export interface StepHabitTable {
  key: StepKey
  hands: Flag | null
  hands_minutes: number | null
  may_stand_overnight: Flag | null
  at_least_minutes: number | null
  at_most_minutes: number | null
}
export interface PlanPinTable {
  id: Generated<number>
  lot_id: number
  load_id: number | null
  part: number | null
  step_n: number
  starts_at: string | null
  pot_id: number | null
  /** What the client agreed to, where it is settled in a time in which they want nothing done; '' elsewhere. */
  agreed: Generated<string>
  at: string
  worker_id: number
  undone_at: string | null
  undone_by: number | null
}

export type PlanTables = {
  working_days: WorkingDaysTable
  working_hours: WorkingHoursTable
  day_away: DayAwayTable
  step_habit: StepHabitTable
  plan_pin: PlanPinTable
}
