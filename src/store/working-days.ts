/** When somebody is in the workshop, what stands there, and what is done otherwise than recipes say. */
import type { Day } from '../domain/calendar.js'
import type { WorkHours } from '../domain/plan-input.js'
import type { StepHabit } from '../domain/step-habit.js'
import type { Db } from './db.js'
import { ready } from './ready.js'

export type WorkingDays = {
  soakTubs: number
  sinks: number
  /** Room on the drying line, in this unit; `metresPerBundle` counts when it is metres. */
  lineUnit: 'bundles' | 'metres'
  lineRoom: number
  metresPerBundle: number
  /** Pairs of hands. */
  hands: number
  scourMinutes: number
  /** By weekday, Sunday first; an empty list is a day off. */
  hours: WorkHours[][]
  habits: StepHabit[]
}
/** Version 1: nobody has said anything of it yet, so that it is our guess. */
export type KnownWorkingDays = WorkingDays & { version: number }

const settings = ready(db => db.selectFrom('working_days').selectAll())
const spans = ready(db => db.selectFrom('working_hours').selectAll().orderBy('weekday').orderBy('from_clock'))
const habits = ready(db => db.selectFrom('step_habit').selectAll())

export async function findWorkingDays(db: Db): Promise<KnownWorkingDays> {
  const [[row], hours, own] = [await settings(db), await spans(db), await habits(db)]
  if (row === undefined) throw new Error('the working days are not set')
  const onDay = (weekday: number): WorkHours[] =>
    hours.filter(span => span.weekday === weekday).map(span => ({ from: span.from_clock, to: span.to_clock }))
  return {
    soakTubs: row.soak_tubs,
    sinks: row.sinks,
    lineUnit: row.line_unit,
    lineRoom: row.line_room,
    metresPerBundle: row.metres_per_bundle,
    hands: row.hands,
    scourMinutes: row.scour_minutes,
    version: row.version,
    hours: Array.from({ length: 7 }, (_, weekday) => onDay(weekday)),
    habits: own.map(habit => ({
      key: habit.key,
      hands: habit.hands === null ? null : habit.hands === 1,
      handsMinutes: habit.hands_minutes,
      mayStandOvernight: habit.may_stand_overnight === null ? null : habit.may_stand_overnight === 1,
      atLeastMinutes: habit.at_least_minutes,
      atMostMinutes: habit.at_most_minutes,
    })),
  }
}

export type DaysAway = { id: number; from: Day; to: Day; words: string }

const awayFrom = ready((db, day: Day) =>
  db
    .selectFrom('day_away')
    .select(['id', 'from_day as from', 'to_day as to', 'words'])
    .where('undone_at', 'is', null)
    .where('to_day', '>=', day)
    .orderBy('from_day')
    .orderBy('id'),
)

/** Days away that are not over by this day, both ends included. */
export const daysAwayFrom = (db: Db, day: Day): Promise<DaysAway[]> => awayFrom(db, day)
