/** The workshop's days for a calendar: an address that needs no sign-in and cannot be guessed. */
import { setTimeout as pause } from 'node:timers/promises'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { awayEvents, neededEvents, workEvents } from '../domain/calendar-events.js'
import { readToken } from '../domain/client-page.js'
import { writeCalendar } from '../domain/icalendar.js'
import { dayOf } from '../domain/wall-clock.js'
import {
  calendarFeed,
  closeCalendarFeed,
  feedOfToken,
  NO_FEED,
  neededDays,
  openCalendarFeed,
} from '../store/calendar-feed.js'
import { baseAddress } from '../store/client-page.js'
import type { Db } from '../store/db.js'
import { workPlan } from '../store/work-plan.js'
import { daysAwayFrom } from '../store/working-days.js'
import type { Config } from './kit/config.js'
import { choice, tick, version } from './kit/fields.js'
import { check } from './kit/form.js'
import { formPage, found } from './kit/post.js'

/** Whoever guesses waits for each guess. */
const GUESS_MS = 300

async function sendCalendar(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  reply.headers({ 'cache-control': 'no-store', 'x-robots-tag': 'noindex, nofollow, noarchive' })
  const { token: typed } = request.params as { token: string }
  const feed = await feedOfToken(db, readToken(typed))
  if (feed === undefined) await pause(GUESS_MS)
  const { names } = found(feed, 'calendar')
  const at = request.server.now().toISOString()
  const events = await eventsAt(db, at, names)
  return reply.type('text/calendar; charset=utf-8').send(writeCalendar({ name: request.workshop.name, at, events }))
}

async function eventsAt(db: Db, at: string, names: boolean) {
  const { facts, plan } = await workPlan(db, at)
  const needed = await neededDays(db, names)
  const nameOf = new Map(needed.map(({ commissionId, clientName }) => [commissionId, clientName]))
  const words = (loadId: string) => facts.words.loads[loadId]
  return [
    ...workEvents(plan, facts.loads, {
      load: loadId => words(loadId)?.name ?? loadId,
      pot: potId => facts.words.pots[potId] ?? 'a pot',
      uid: loadId => loadId.replaceAll(':', '-'),
      about: loadId =>
        words(loadId)
          ?.lots.flatMap(({ commissionId }) => nameOf.get(commissionId) ?? [])
          .join(', ') ?? '',
    }),
    ...neededEvents(needed),
    ...awayEvents(await daysAwayFrom(db, dayOf(at, facts.workshop.timeZone))),
  ]
}

/** Where this workshop is asked under: as it was set, or else as whoever asks now has reached it. */
async function basesOf(db: Db, request: FastifyRequest, { transport }: Config) {
  const set = await baseAddress(db)
  const here = `${transport === 'proxy' ? 'https' : 'http'}://${request.host}`
  return { hasBase: set !== '', base: set === '' ? here : set }
}

async function settingsData(db: Db) {
  const feed = await calendarFeed(db)
  return { feed, version: feed?.id ?? NO_FEED }
}

const asked = z.object({ version, do: choice('Make an address, or end it', ['make', 'end']), names: tick })

export function calendarOfWork(app: FastifyInstance, config: Config): void {
  app.get('/calendar/:token.ics', { config: { open: true } }, sendCalendar)
  formPage(app, '/settings/calendar', {
    show: async (request, reply, form, status) => {
      const { db } = request.server
      const data = { ...(await settingsData(db)), ...(await basesOf(db, request, config)) }
      return reply.page('settings/calendar', { title: 'A calendar of the work', form, status, data })
    },
    act: async (trx, request, form, by) => {
      const { do: what, names, version } = check(asked, form)
      const to = '/settings/calendar'
      if (what === 'end') {
        await closeCalendarFeed(trx, by, version)
        return { to, said: 'Ended: the address leads nowhere now.' }
      }
      const path = `/calendar/${await openCalendarFeed(trx, by, version, names)}.ics`
      const address = `${(await basesOf(trx, request, config)).base}${path}`
      return { to, said: `Copy this address into your calendar now, for it is not shown again: ${address}` }
    },
  })
}
