/** Table types for Kysely: wishes bound to days, what day was promised, and the plans that were kept. */
import type { Generated } from 'kysely'

export interface TimedWishTable {
  id: Generated<number>
  client_id: number
  weekdays: string
  from_day: string | null
  to_day: string | null
  yearly: 0 | 1
  from_clock: string | null
  to_clock: string | null
  words: string
  said: string
  at: string
  worker_id: number
  ended_at: string | null
  ended_by: number | null
}
export interface DayPromiseTable {
  id: Generated<number>
  lot_id: number
  day: string | null
  earliest: string | null
  how: string
  told_on: string
  words: string
  at: string
  worker_id: number
}
export interface KeptPlanTable {
  id: Generated<number>
  at: string
  worker_id: number
  why: string
  plan: string
}
export interface StepOverrunTable {
  id: Generated<number>
  load_id: number
  step_n: number
  minutes: number
  at: string
  worker_id: number
}
export interface PotRestTable {
  id: Generated<number>
  pot_id: number
  until_at: string
  words: string
  at: string
  worker_id: number
  ended_at: string | null
  ended_by: number | null
}
export type PromiseTables = {
  pot_rest: PotRestTable
  timed_wish: TimedWishTable
  day_promise: DayPromiseTable
  kept_plan: KeptPlanTable
  step_overrun: StepOverrunTable
}
