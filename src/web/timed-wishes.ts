/** Wishes of a client that are bound to days, seasons or hours: told once, kept by the plan. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { addDays, type Day, dayOf, readDay } from '../domain/day.js'
import { read, unread } from '../domain/refusal.js'
import { type TimedWish, WEEKDAY_KEYS, WEEKDAY_WORDS, whyNoTimedWish } from '../domain/timed-wish.js'
import { findClient } from '../store/clients.js'
import { addTimedWish, endTimedWish, timedWishesOf } from '../store/timed-wishes.js'
import { choice, optionalText, readIfTyped, ticks } from './kit/fields.js'
import { check, Form, Unfit } from './kit/form.js'
import { formPage, found, idIn, onPost } from './kit/post.js'

const LONGEST_AHEAD_DAYS = 3 * 366

const clock = (label: string) =>
  readIfTyped(typed => {
    const [, hour = '', minute = '00'] = /^(\d{1,2})(?:[:.h](\d\d))?$/.exec(typed) ?? []
    if (hour === '' || Number(hour) > 23 || Number(minute) > 59)
      return unread<string>(`Write the ${label} like 18:00, or leave it empty.`)
    return read(`${hour.padStart(2, '0')}:${minute}`)
  })

const wishForm = (today: Day) =>
  z
    .object({
      weekdays: ticks(WEEKDAY_KEYS),
      fromDay: readIfTyped(typed => readDay(typed, today, { label: 'first day' })),
      toDay: z.string().catch(''),
      each: choice('Each year, or this once', ['year', 'once']),
      fromClock: clock('time from which'),
      toClock: clock('time until which'),
      words: optionalText('What they say of it', 300),
    })
    .transform((asked, context): TimedWish => {
      const { weekdays, each, toDay: typed, ...others } = asked
      const toDay = lastDay(typed.trim(), asked.fromDay ?? today, context)
      const numbers = weekdays.map(key => WEEKDAY_KEYS.indexOf(key))
      return { ...others, toDay, weekdays: numbers, yearly: each === 'year' && asked.fromDay !== null }
    })

/** "6 Jan" is the one after the first day. */
function lastDay(typed: string, from: Day, context: z.core.$RefinementCtx): Day | null {
  if (typed === '') return null
  const last = readDay(typed, from, {
    label: 'last day',
    earliest: from,
    latest: addDays(from, LONGEST_AHEAD_DAYS),
  })
  if (last.ok) return last.value
  context.issues.push({ code: 'custom', path: ['toDay'], message: last.sentence, input: typed })
  return null
}

const dayNow = (request: FastifyRequest): Day => dayOf(request.server.now().toISOString(), request.workshop.timeZone)

async function showWishes(request: FastifyRequest, reply: FastifyReply, form = new Form(), status = 200) {
  const { db } = request.server
  const client = found(await findClient(db, idIn(request)), 'client')
  return reply.page('timed-wishes/show', {
    title: `${client.name}: days to leave it alone`,
    form,
    status,
    data: {
      client: { id: client.id, name: client.name },
      wishes: await timedWishesOf(db, client.id),
      weekdays: WEEKDAY_KEYS.map((key, n) => ({ key, words: WEEKDAY_WORDS[n] ?? '' })),
    },
  })
}

export function timedWishes(app: FastifyInstance): void {
  formPage(app, '/clients/:id/days', {
    show: showWishes,
    act: async (trx, request, form, by) => {
      const client = found(await findClient(trx, idIn(request)), 'client')
      const wish = check(wishForm(dayNow(request)), form)
      const why = whyNoTimedWish(wish)
      if (why) throw new Unfit([why])
      await addTimedWish(trx, by, client.id, wish)
      return { to: `/clients/${client.id}/days`, said: 'The wish is written down; the plan keeps it from now on.' }
    },
  })
  onPost(app, '/clients/:id/days/:wish/end', {
    show: showWishes,
    act: async (trx, request, _form, by) => {
      const client = found(await findClient(trx, idIn(request)), 'client')
      await endTimedWish(trx, by, client.id, idIn(request, 'wish'))
      return { to: `/clients/${client.id}/days`, said: 'This wish counts no more.' }
    },
  })
}
