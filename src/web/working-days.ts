import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { addDays } from '../domain/calendar.js'
import { readHours, sayHours } from '../domain/read-clock.js'
import { readDay } from '../domain/read-day.js'
import { readLapse, sayMinutes } from '../domain/read-lapse.js'
import { STEP_KEYS, type StepKey } from '../domain/recipe.js'
import { read } from '../domain/refusal.js'
import { WEEKDAYS } from '../domain/settings.js'
import { isHabit, STEP_KIND_WORDS, type StepHabit } from '../domain/step-habit.js'
import { dayOf } from '../domain/wall-clock.js'
import {
  addDaysAway,
  changeWorkingDays,
  daysAwayFrom,
  findWorkingDays,
  namedWorkingDays,
  undoDaysAway,
  type WorkingDays,
} from '../store/working-days.js'
import { choice, group, optionalText, readBy, readIfTyped, version } from './kit/fields.js'
import { check, type Form, Unfit } from './kit/form.js'
import { plainFigure } from './kit/measures.js'
import { byOf, formPage, idIn, onPost } from './kit/post.js'

const LONGEST_AWAY_DAYS = 400
const LONGEST_STEP_MINUTES = 43_200
const DAY_MINUTES = 1440

const whole = (label: string, min: number, max: number, example: string) =>
  readBy(plainFigure({ label, min, max, example })).refine(Number.isInteger, `Enter the ${label} as a whole number.`)

type Hands = { hands: boolean | null; handsMinutes: number | null }

/** "all the while", or how long; empty = as the recipe says. */
const handsField = (label: string) =>
  readBy<Hands>(typed => {
    if (typed === '') return read({ hands: null, handsMinutes: null })
    if (/^(all|all the while|throughout|always)$/i.test(typed)) return read({ hands: true, handsMinutes: null })
    const lapse = readLapse(typed, label, 0, DAY_MINUTES)
    return lapse.ok ? read({ hands: false, handsMinutes: lapse.value }) : lapse
  })

const lapseField = (label: string, least: number) =>
  readIfTyped(typed => readLapse(typed, label, least, LONGEST_STEP_MINUTES))

const habitField = (key: StepKey) =>
  group({
    hands: handsField(`${STEP_KIND_WORDS[key]}, hands`),
    overnight: choice(`${STEP_KIND_WORDS[key]}, overnight`, ['', 'yes', 'no']),
    atLeast: lapseField(`${STEP_KIND_WORDS[key]}, at least`, 0),
    atMost: lapseField(`${STEP_KIND_WORDS[key]}, at most`, 1),
  })

const daysForm = z.object({
  hours: group(
    Object.fromEntries(WEEKDAYS.map(day => [day.toLowerCase(), readBy(typed => readHours(typed, `Hours on ${day}`))])),
  ),
  soakTubs: whole('number of soak tubs', 0, 50, '2'),
  sinks: whole('number of sinks', 1, 20, '1'),
  lineUnit: choice('Room on the line in', ['bundles', 'metres']),
  lineRoom: readBy(plainFigure({ label: 'room on the line', min: 0.1, max: 10_000, example: '60' })),
  metresPerBundle: readBy(plainFigure({ label: 'metres for a bundle', min: 0.01, max: 100, example: '0.2' })),
  hands: whole('pairs of hands', 1, 20, '1'),
  scour: readBy(typed => readLapse(typed, 'Time to scour a pot', 0, 480)),
  habits: group(Object.fromEntries(STEP_KEYS.map(key => [key, habitField(key)]))),
  version,
})

function workingDaysIn(form: Form): { days: WorkingDays; version: number } {
  const { hours, habits, scour, version, ...plain } = check(daysForm, form)
  return {
    version,
    days: {
      ...plain,
      scourMinutes: scour,
      hours: WEEKDAYS.map(day => hours[day.toLowerCase()] ?? []),
      habits: STEP_KEYS.flatMap(key => habitIn(key, habits[key])).filter(isHabit),
    },
  }
}

type TypedHabit = { hands: Hands; overnight: '' | 'yes' | 'no'; atLeast: number | null; atMost: number | null }

function habitIn(key: StepKey, typed: TypedHabit | undefined): StepHabit[] {
  if (typed === undefined) return []
  const { hands, overnight, atLeast, atMost } = typed
  if (atLeast !== null && atMost !== null && atLeast > atMost) {
    const sentence = `${STEP_KIND_WORDS[key]}: at most ${sayMinutes(atMost)} is less than at least ${sayMinutes(atLeast)}.`
    throw new Unfit([{ field: `habits.${key}.atMost`, sentence }])
  }
  const mayStandOvernight = overnight === '' ? null : overnight === 'yes'
  return [{ key, ...hands, mayStandOvernight, atLeastMinutes: atLeast, atMostMinutes: atMost }]
}

async function showDays(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const days = await findWorkingDays(db)
  const named = namedWorkingDays(days)
  const said = (minutes: number | null) => (minutes === null ? '' : sayMinutes(minutes))
  return reply.page('working-days/edit', {
    title: 'Working days',
    form,
    status,
    data: {
      days,
      // Monday first, as most people write a week down.
      weekdays: [1, 2, 3, 4, 5, 6, 0].map(weekday => ({
        name: WEEKDAYS[weekday],
        field: `hours.${WEEKDAYS[weekday]?.toLowerCase()}`,
        hours: sayHours(days.hours[weekday] ?? []),
      })),
      scour: sayMinutes(days.scourMinutes),
      steps: STEP_KEYS.map(key => {
        const habit = days.habits.find(one => one.key === key)
        const overnight = habit?.mayStandOvernight ?? null
        return {
          key,
          words: STEP_KIND_WORDS[key],
          said: String(named[`step ${key}`]),
          hands: habit?.hands === true ? 'all the while' : said(habit?.handsMinutes ?? null),
          overnight: overnight === null ? '' : overnight ? 'yes' : 'no',
          atLeast: said(habit?.atLeastMinutes ?? null),
          atMost: said(habit?.atMostMinutes ?? null),
        }
      }),
      away: await daysAwayFrom(db, dayOf(byOf(request).at, request.workshop.timeZone)),
    },
  })
}

function awayIn(request: FastifyRequest, form: Form) {
  const today = dayOf(byOf(request).at, request.workshop.timeZone)
  const fields = z.object({
    awayFrom: readBy(typed => readDay(typed, today, { label: 'first day away', earliest: addDays(today, -31) })),
    awayTo: readIfTyped(typed => readDay(typed, today, { label: 'last day away', earliest: today })),
    awayWords: optionalText('Why', 200),
  })
  const { awayFrom: from, awayTo, awayWords: words } = check(fields, form)
  const to = awayTo ?? from
  if (to < from)
    throw new Unfit([{ field: 'awayTo', sentence: 'The last day away is before the first. Write both days again.' }])
  if (to > addDays(from, LONGEST_AWAY_DAYS))
    throw new Unfit([{ field: 'awayTo', sentence: 'That is longer than a year. Write the last day again.' }])
  return { from, to, words }
}

export function workingDays(app: FastifyInstance): void {
  formPage(app, '/settings/working-days', {
    show: showDays,
    act: async (trx, _request, form, by) => {
      const { days, version } = workingDaysIn(form)
      await changeWorkingDays(trx, by, days, version)
      return { to: '/settings/working-days', said: 'Saved. The plan goes by it from now on.' }
    },
  })
  onPost(app, '/settings/days-away', {
    show: showDays,
    act: async (trx, request, form, by) => {
      await addDaysAway(trx, by, awayIn(request, form))
      return { to: '/settings/working-days', said: 'Written down. Nothing is planned for these days.' }
    },
  })
  onPost(app, '/settings/days-away/:id/undo', {
    show: showDays,
    act: async (trx, request, _form, by) => {
      await undoDaysAway(trx, by, idIn(request))
      return { to: '/settings/working-days', said: 'Taken back: these days are planned again.' }
    },
  })
}
