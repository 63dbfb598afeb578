import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { WATERS } from '../domain/outcome.js'
import { readCount } from '../domain/quantity.js'
import { readAmount } from '../domain/read-amount.js'
import { readMoment } from '../domain/read-moment.js'
import { readCatalogue } from '../store/catalogue.js'
import { outNotIn } from '../store/counted-out.js'
import type { Trx } from '../store/db.js'
import {
  beginNextStep,
  findLoad,
  type Load,
  noteAddition,
  noteRinse,
  noteWeighedOut,
  noteWords,
  undoLast,
} from '../store/loads.js'
import { choice, group, optionalText, readIfTyped, text, version } from './kit/fields.js'
import { check, errorsIn, type FieldError, type Form, Unfit } from './kit/form.js'
import { byOf, found, idIn, onPost, type Post } from './kit/post.js'
import { atThePot, countsNext } from './load-page.js'
import { askIfMeant, askIfUndone, saidOf } from './next-step.js'
import { showAtPot } from './pot-now.js'
import { unitsOf } from './pots.js'
import { whenPressed } from './pressed.js'
import { weighedIn } from './weighed-form.js'

async function showLoad(request: FastifyRequest, reply: FastifyReply, form?: Form, status = 200) {
  const load = found(await findLoad(request.server.db, idIn(request)), 'load')
  const data = await atThePot(request.server.db, load, byOf(request).at, request.workshop)
  const title = `${load.potName}: ${data.lotWords}`
  return reply.page('loads/show', { title, live: true, data, ...(form && { form, status }) })
}

const theLoad = async (trx: Trx, request: FastifyRequest): Promise<Load> =>
  found(await findLoad(trx, idIn(request)), 'load')

/**
 * "It happened earlier": a moment between `earliest`, which `since` names, and the press. Left empty, it is that of a
 * press which had to wait on a phone, or undefined: now.
 */
function earlier(request: FastifyRequest, form: Form, earliest: string, since: string) {
  const { timeZone } = request.workshop
  const pressed = whenPressed(request, form, earliest, since)
  const now = pressed ?? byOf(request).at
  return readIfTyped(typed => readMoment(typed, { now, timeZone, earliest, since })).transform(at => at ?? pressed)
}

const sinceLaid = (request: FastifyRequest, form: Form, load: Load) =>
  earlier(request, form, load.laidAt, 'the load was put in')

/** What was written down last counts: a weighing that had to wait on a phone does not undo a later one. */
function whenWeighed(request: FastifyRequest, form: Form, { laidAt, lines }: Load): string | undefined {
  const last = lines.reduce((latest, { weighed }) => (weighed && weighed.at > latest ? weighed.at : latest), laidAt)
  const since = last === laidAt ? 'the load was put in' : 'what was weighed out was last written down'
  return whenPressed(request, form, last, since)
}

/** Where a press leads back to: the page on which it was pressed, or that of the load once its pot is free. */
function backTo(form: Form, load: Load): string {
  const back = form.value('back')
  if (back === 'today') return '/'
  if (back !== 'pot') return `/loads/${load.id}`
  return load.potFreeAt === null ? `/pots/${load.potId}/now` : `/loads/${load.id}/now`
}

const nextStep = (request: FastifyRequest, form: Form, load: Load) =>
  z.object({
    version,
    at: earlier(request, form, load.stepSince, 'this step began'),
    why: optionalText('Why', 1000),
    early: optionalText('All the same', 10),
  })

/** How many bundles of each lot were counted out, where the next press takes several lots out. */
function countedIn(form: Form, load: Load): Map<number, number> {
  if (!countsNext(load)) return new Map()
  const read = load.lots.map(({ lotId, bundlesOfLot: max }, at) => {
    const limits = { label: `number of bundles of lot ${lotId}`, noun: 'bundle', min: 0, max }
    return { lotId, field: `out.${at}`, count: readCount(form.value(`out.${at}`), limits) }
  })
  const unread = read.flatMap(({ field, count }) => (count.ok ? [] : [{ field, sentence: count.sentence }]))
  if (unread.length > 0) throw new Unfit(unread)
  return new Map(read.map(({ lotId, count }) => [lotId, count.ok ? count.value.count : 0]))
}

/** What the form of a step says, with all that is wrong with it at once: its time, what was counted, a step too short. */
async function stepAsked(trx: Trx, request: FastifyRequest, form: Form, load: Load) {
  const troubles: FieldError[] = []
  const tried = async <T>(read: () => T | Promise<T>): Promise<T | undefined> => {
    try {
      return await read()
    } catch (fault) {
      troubles.push(...errorsIn(fault))
      return undefined
    }
  }
  const press = await tried(() => check(nextStep(request, form, load), form))
  const out = await tried(() => countedIn(form, load))
  const clock = { at: byOf(request).at, timeZone: request.workshop.timeZone }
  if (press) await tried(() => askIfMeant(trx, load, press, clock))
  // On a page that is behind, what was counted is of another step.
  const isBehind = form.value('version') !== String(load.version)
  if (out && !isBehind && countsNext(load)) troubles.push(...(await outNotIn(trx, load, out)))
  if (!press || !out || troubles.length > 0) throw new Unfit(troubles)
  return { ...press, out }
}

const rinse = (request: FastifyRequest, form: Form, load: Load) =>
  z.object({ rinse: group({ water: choice('How the water ran', WATERS), at: sinceLaid(request, form, load) }) })

const note = (request: FastifyRequest, form: Form, load: Load) =>
  z.object({ note: group({ words: text('Note', 2000), at: sinceLaid(request, form, load) }) })

/** What was added, and how much of it in the unit that it is measured in. */
async function additionIn(trx: Trx, request: FastifyRequest, form: Form, load: Load) {
  const { substances } = await readCatalogue(trx)
  const substance = substances.find(({ id }) => id === form.value('added.substanceId'))
  const amount = substance && readAmount(form.value('added.amount'), substance, unitsOf(request.workshop))
  const unread = [
    ...(substance ? [] : [{ field: 'added.substanceId', sentence: 'Choose what was added.' }]),
    ...(amount?.ok === false ? [{ field: 'added.amount', sentence: amount.sentence }] : []),
  ]
  if (!substance || !amount?.ok) throw new Unfit(unread)
  const fields = { at: sinceLaid(request, form, load), why: optionalText('Why', 1000) }
  const { added } = check(z.object({ added: group(fields) }), form)
  return { substance, ...amount.value, ...added }
}

/** One kind of line at the pot. A reload after a refused press asks for this address: it leads to the load. */
function pressAt(app: FastifyInstance, what: string, act: Post['act']): void {
  app.get(`/loads/:id/${what}`, (request, reply) => reply.redirect(`/loads/${idIn(request)}`, 303))
  const show: Post['show'] = (request, reply, form, status) =>
    (form.value('back') === 'pot' ? showAtPot : showLoad)(request, reply, form, status)
  onPost(app, `/loads/:id/${what}`, { show, act })
}

export function loads(app: FastifyInstance): void {
  app.get('/loads/:id', (request, reply) => showLoad(request, reply))
  pressAt(app, 'steps', async (trx, request, form, by) => {
    const load = await theLoad(trx, request)
    const { version, at, why, out } = await stepAsked(trx, request, form, load)
    await beginNextStep(trx, by, { loadId: load.id, version, at, why, out })
    const moved = await theLoad(trx, request)
    const undo = { loadId: load.id, version: moved.version }
    return { to: backTo(form, moved), said: saidOf(moved, request), undo }
  })
  pressAt(app, 'weighed', async (trx, request, form, by) => {
    const load = await theLoad(trx, request)
    const at = whenWeighed(request, form, load)
    await noteWeighedOut(trx, by, { loadId: load.id, lines: await weighedIn(trx, request, form, load), at })
    return { to: backTo(form, load), said: 'Written down: weighed out.' }
  })
  pressAt(app, 'rinses', async (trx, request, form, by) => {
    const load = await theLoad(trx, request)
    const { water, at } = check(rinse(request, form, load), form).rinse
    await noteRinse(trx, by, { loadId: load.id, water, at })
    return { to: backTo(form, load), said: `Written down: the rinse ran ${water}.` }
  })
  pressAt(app, 'additions', async (trx, request, form, by) => {
    const load = await theLoad(trx, request)
    const { substance, ...added } = await additionIn(trx, request, form, load)
    await noteAddition(trx, by, { loadId: load.id, substanceId: substance.id, ...added })
    return { to: backTo(form, load), said: `Written down: ${added.typed} of ${substance.name} added.` }
  })
  pressAt(app, 'notes', async (trx, request, form, by) => {
    const load = await theLoad(trx, request)
    await noteWords(trx, by, { loadId: load.id, ...check(note(request, form, load), form).note })
    return { to: backTo(form, load), said: 'Noted.' }
  })
  pressAt(app, 'undo', async (trx, request, form, by) => {
    const load = await theLoad(trx, request)
    const asked = check(z.object({ version, sure: optionalText('That it is meant', 10) }), form)
    askIfUndone(load, asked, { at: by.at, timeZone: request.workshop.timeZone })
    const undone = await undoLast(trx, by, { loadId: load.id, version: asked.version })
    return { to: backTo(form, await theLoad(trx, request)), said: `Undone: ${undone}.` }
  })
}
