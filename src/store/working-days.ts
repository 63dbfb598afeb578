/** When somebody is in the workshop, what stands there, and what is done otherwise than recipes say. */
import { type Day, sayDay } from '../domain/calendar.js'
import type { WorkHours } from '../domain/plan-input.js'
import { sayHours } from '../domain/read-clock.js'
import { STEP_KEYS } from '../domain/recipe.js'
import { Refusal } from '../domain/refusal.js'
import { WEEKDAYS } from '../domain/settings.js'
import { type StepHabit, sayHabit } from '../domain/step-habit.js'
import type { By, Db, Trx } from './db.js'
import { difference } from './history.js'
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

type Named = Record<string, string | number>

/** As the history of the settings names them, beside the workshop's other ones. */
export function namedWorkingDays(days: WorkingDays): Named {
  const { lineUnit, lineRoom, metresPerBundle } = days
  const line = lineUnit === 'bundles' ? `${lineRoom} bundles` : `${lineRoom} m, ${metresPerBundle} m for a bundle`
  const hours = WEEKDAYS.map((day, weekday) => [`hours${day}`, sayHours(days.hours[weekday] ?? [])] as const)
  const habits = STEP_KEYS.map(key => {
    const habit = days.habits.find(one => one.key === key)
    return [`step ${key}`, habit === undefined ? '' : sayHabit(habit)] as const
  })
  return {
    ...Object.fromEntries(hours),
    soakTubs: days.soakTubs,
    sinks: days.sinks,
    lineRoom: line,
    hands: days.hands,
    scourMinutes: days.scourMinutes,
    ...Object.fromEntries(habits),
  }
}

const MEANWHILE = 'The working days were changed elsewhere while you were typing.'

/** Says how it is here; said once, it is no guess any more even if it was the same. */
export async function changeWorkingDays(trx: Trx, by: By, days: WorkingDays, version: number): Promise<void> {
  const before = await findWorkingDays(trx)
  if (before.version !== version) throw new Refusal('conflict', MEANWHILE)
  const columns = {
    soak_tubs: days.soakTubs,
    sinks: days.sinks,
    line_unit: days.lineUnit,
    line_room: days.lineRoom,
    metres_per_bundle: days.metresPerBundle,
    hands: days.hands,
    scour_minutes: days.scourMinutes,
    version: version + 1,
  }
  await trx.updateTable('working_days').set(columns).execute()
  await writeHours(trx, days.hours)
  await writeHabits(trx, days.habits)
  await tell(trx, by, namedWorkingDays(before), namedWorkingDays(days))
}

async function writeHours(trx: Trx, hours: WorkHours[][]): Promise<void> {
  await trx.deleteFrom('working_hours').execute()
  const rows = hours.flatMap((spans, weekday) =>
    spans.map(({ from, to }) => ({ weekday, from_clock: from, to_clock: to })),
  )
  if (rows.length > 0) await trx.insertInto('working_hours').values(rows).execute()
}

const flagOrNull = (is: boolean | null): 0 | 1 | null => (is === null ? null : is ? 1 : 0)

async function writeHabits(trx: Trx, habits: StepHabit[]): Promise<void> {
  await trx.deleteFrom('step_habit').execute()
  const rows = habits.map(habit => ({
    key: habit.key,
    hands: flagOrNull(habit.hands),
    hands_minutes: habit.handsMinutes,
    may_stand_overnight: flagOrNull(habit.mayStandOvernight),
    at_least_minutes: habit.atLeastMinutes,
    at_most_minutes: habit.atMostMinutes,
  }))
  if (rows.length > 0) await trx.insertInto('step_habit').values(rows).execute()
}

async function tell(trx: Trx, by: By, was: Named, became: Named): Promise<void> {
  const changed = difference(was, became)
  if (!changed) return
  const told = { was: JSON.stringify(changed.was), became: JSON.stringify(changed.became) }
  await trx
    .insertInto('workshop_change')
    .values({ at: by.at, worker_id: by.workerId, ...told })
    .execute()
}

const sayAway = ({ from, to, words }: Omit<DaysAway, 'id'>): string =>
  `${from === to ? sayDay(from) : `${sayDay(from)} to ${sayDay(to)}`}${words === '' ? '' : `: ${words}`}`

/** Nobody is there from one day to another, both included. */
export async function addDaysAway(trx: Trx, by: By, away: Omit<DaysAway, 'id'>): Promise<void> {
  const same = (await daysAwayFrom(trx, away.from)).find(({ from, to }) => from === away.from && to === away.to)
  if (same) throw new Refusal('conflict', `${sayAway(same)} is written down already.`)
  await trx
    .insertInto('day_away')
    .values({ from_day: away.from, to_day: away.to, words: away.words, at: by.at, worker_id: by.workerId })
    .execute()
  await tell(trx, by, { daysAway: '' }, { daysAway: sayAway(away) })
}

/** Somebody is there after all. */
export async function undoDaysAway(trx: Trx, by: By, id: number): Promise<void> {
  const away = await trx
    .selectFrom('day_away')
    .select(['from_day as from', 'to_day as to', 'words', 'undone_at as undoneAt'])
    .where('id', '=', id)
    .executeTakeFirst()
  if (!away) throw new Refusal('not-found', 'There are no such days away.')
  if (away.undoneAt !== null) throw new Refusal('conflict', 'These days away were taken back already.')
  await trx.updateTable('day_away').set({ undone_at: by.at, undone_by: by.workerId }).where('id', '=', id).execute()
  await tell(trx, by, { daysAway: sayAway(away) }, { daysAway: '' })
}
