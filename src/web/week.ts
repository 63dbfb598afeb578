/** One week of the plan as a picture, and the same in words. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays, type Day, isDay, sayDay } from '../domain/calendar.js'
import { instantAt } from '../domain/plan-input.js'
import { clockOf, dayOf, sayTime } from '../domain/wall-clock.js'
import { mondayOf, type Week, type WeekBar, type WeekPart, type WeekRow, weekOf } from '../domain/week.js'
import type { PlanFacts } from '../store/plan-facts.js'
import { workPlan } from '../store/work-plan.js'
import { Form } from './kit/form.js'
import { wantsJson } from './kit/page.js'
import { byOf } from './kit/post.js'
import { type WeekWords, weekDrawing } from './kit/week-drawing.js'

const PLACE_WORDS = { pot: 'Pot', 'soak tub': 'Soak tubs', rinse: 'Sink', 'drying line': 'Drying line', shelf: 'Shelf' }
/** As wide as a page allows, and as a phone does. */
const WIDE = 992
const NARROW = 344

async function showWeek(request: FastifyRequest, reply: FastifyReply) {
  const { at } = byOf(request)
  const { facts, plan } = await workPlan(request.server.db, at)
  const { timeZone } = facts.workshop
  const today = dayOf(at, timeZone)
  const asked = Form.read(request.query).value('from')
  const monday = mondayOf(isDay(asked) ? asked : today)
  const week = weekOf(plan, facts.workshop, monday)
  const words = wordsFor(facts, monday, today)
  const records = {
    monday,
    sunday: addDays(monday, 6),
    thisMonday: mondayOf(today),
    before: addDays(monday, -7),
    after: addDays(monday, 7),
    ...recordsOf(week, words, timeZone),
  }
  const pictures = {
    wide: weekDrawing(week, week.days, WIDE, words),
    narrow: week.days
      .map(day => ({ day, own: ofDay(week, day) }))
      .filter(({ day, own }) => day.toMin > week.nowMin || own.rows.some(({ lanes }) => lanes.length > 0))
      .map(({ day, own }) => weekDrawing(own, [day], NARROW, words)),
  }
  return reply.page('week/show', {
    title: `The week from ${sayDay(monday)}`,
    data: wantsJson(request) ? records : { ...records, pictures },
  })
}

/** Without the rows that are empty on that day, but for the pots. */
const ofDay = (week: Week, { fromMin, toMin }: Week['days'][number]): Week => ({
  ...week,
  rows: week.rows
    .map(row => ({
      ...row,
      lanes: row.lanes.filter(lane => lane.some(bar => bar.fromMin < toMin && bar.toMin > fromMin)),
    }))
    .filter(({ place, lanes }) => place === 'pot' || lanes.length > 0),
})

function wordsFor({ workshop, words }: PlanFacts, monday: Day, today: Day): WeekWords {
  const time = (minute: number): string => sayTime(instantAt(minute), workshop.timeZone, today)
  const load = (loadId: string) => ({
    name: words.loads[loadId]?.name ?? loadId,
    swatch: words.loads[loadId]?.swatch ?? null,
  })
  const nameOf = ({ place, potId }: WeekRow): string =>
    potId === null ? PLACE_WORDS[place] : (words.pots[potId] ?? PLACE_WORDS.pot)
  return {
    title: `The week from ${sayDay(monday)} as a picture; the same stands in words below`,
    row: nameOf,
    load,
    day: day => sayDay(day).slice(0, -5),
    out: (row, span) => `${nameOf(row)} is out of use, ${time(span.fromMin)} to ${time(span.toMin)}`,
    part: (loadId, part) => `${load(loadId).name}: ${sayPart(part, time)}`,
  }
}

const sayPart = ({ title, fromMin, hadMin, toMin }: WeekPart, time: (minute: number) => string): string =>
  `${title}, ${time(fromMin)} to ${time(hadMin)}${toMin > hadMin ? `, stands until ${time(toMin)}` : ''}`

/** The same as plain records: by row, and in words by day. */
function recordsOf(week: Week, words: WeekWords, timeZone: string) {
  const bar = ({ loadId, fromMin, toMin, parts }: WeekBar) => ({
    load: words.load(loadId).name,
    fromAt: instantAt(fromMin),
    toAt: instantAt(toMin),
    steps: parts.map(part => ({
      n: part.n,
      title: part.title,
      fromAt: instantAt(part.fromMin),
      hadAt: instantAt(part.hadMin),
      toAt: instantAt(part.toMin),
    })),
  })
  return {
    rows: week.rows.map(row => ({
      name: words.row(row),
      place: row.place,
      bars: row.lanes.flat().map(bar),
      outOfUse: row.out.map(({ fromMin, toMin }) => ({ fromAt: instantAt(fromMin), toAt: instantAt(toMin) })),
    })),
    days: week.days.map(day => ({
      day: day.day,
      hours: day.work.map(({ fromMin, toMin }) => ({ fromAt: instantAt(fromMin), toAt: instantAt(toMin) })),
      needed: week.needed
        .filter(one => one.day === day.day)
        .map(({ loadId, late }) => ({ load: words.load(loadId).name, late })),
      outOfUse: week.rows.flatMap(row =>
        row.out.filter(span => span.fromMin < day.toMin && span.toMin > day.fromMin).map(span => words.out(row, span)),
      ),
      lines: week.rows
        .flatMap(row => linesIn(row, day, words, timeZone))
        .sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0)),
    })),
  }
}

/** Steps that begin on a day, each as a line; on that day the clock is enough, and any other is called by its date. */
const linesIn = (row: WeekRow, { fromMin, toMin, day }: Week['days'][number], words: WeekWords, timeZone: string) => {
  const time = (minute: number): string =>
    minute < toMin ? clockOf(instantAt(minute), timeZone) : sayTime(instantAt(minute), timeZone, addDays(day, -7))
  return row.lanes.flat().flatMap(({ loadId, parts }) =>
    parts
      .filter(part => part.fromMin >= fromMin && part.fromMin < toMin)
      .map(part => ({
        at: instantAt(part.fromMin),
        clock: clockOf(instantAt(part.fromMin), timeZone),
        where: words.row(row),
        words: `${words.load(loadId).name}: ${sayPart(part, time)}`,
      })),
  )
}

export function week(app: FastifyInstance): void {
  app.get('/week', showWeek)
}
