import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { INCIDENT_WORDS, INCIDENTS } from '../domain/incident.js'
import { readMoment } from '../domain/read-moment.js'
import { addWord, allIncidents, closeIncident, findIncident, type Incident, openIncident } from '../store/incidents.js'
import { findLot, type Lot } from '../store/lots.js'
import { searchListOf } from '../store/search-list.js'
import { choice, group, optionalText, readIfTyped, text, version } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { byOf, formPage, found, idIn, onPost } from './kit/post.js'

async function listIncidents(request: FastifyRequest, reply: FastifyReply) {
  const data = { ...(await allIncidents(request.server.db)), kindWords: INCIDENT_WORDS }
  return reply.page('incidents/list', { title: 'What went wrong', data })
}

const earlier = (request: FastifyRequest) =>
  readIfTyped(typed => readMoment(typed, { now: byOf(request).at, timeZone: request.workshop.timeZone })).transform(
    at => at ?? undefined,
  )

const newIncident = (request: FastifyRequest) =>
  z.object({
    kind: choice('What went wrong', INCIDENTS),
    whatHappened: text('What happened', 2000),
    at: earlier(request),
  })

const ticked = (lot: Lot, form: Form): number[] =>
  lot.bundles.filter(({ n }) => form.has(`bundles.${n}`)).map(({ id }) => id)

async function showNew(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const lot = found(await findLot(request.server.db, idIn(request)), 'lot')
  return reply.page('incidents/new', {
    title: `Lot ${lot.id}: something went wrong`,
    form,
    status,
    data: { lot, kinds: INCIDENTS.map(kind => [kind, INCIDENT_WORDS[kind]]) },
  })
}

/** A list for each bundle that is looked for, as long as it is. */
async function searchLists(request: FastifyRequest, incident: Incident) {
  if (incident.kind !== 'bundle lost') return []
  const lists = []
  for (const bundle of incident.bundles) lists.push(await searchListOf(request.server.db, bundle))
  return lists
}

async function showIncident(request: FastifyRequest, reply: FastifyReply, form?: Form, status = 200) {
  const incident = found(await findIncident(request.server.db, idIn(request)), 'incident')
  const data = { incident, kindWords: INCIDENT_WORDS, search: await searchLists(request, incident) }
  const title = `Incident ${incident.id}: ${incident.about}`
  return reply.page('incidents/show', form ? { title, form, status, data } : { title, data })
}

const told = (request: FastifyRequest) =>
  z.object({
    told: group({
      how: text('How the client was told', 500),
      words: optionalText('What was said', 2000),
      at: earlier(request),
    }),
  })
const notTold = z.object({ notTold: group({ words: text('Why the client cannot be told', 1000) }) })
const done = (request: FastifyRequest) =>
  z.object({ done: group({ words: text('What was done', 2000), at: earlier(request) }) })
const closing = z.object({ version, outcome: text('What came of it', 2000) })

/** A reload after a refused press asks for this address: it leads to the incident. */
function pressOn(app: FastifyInstance, what: string, act: Parameters<typeof onPost>[2]['act']): void {
  app.get(`/incidents/:id/${what}`, (request, reply) => reply.redirect(`/incidents/${idIn(request)}`, 303))
  onPost(app, `/incidents/:id/${what}`, { show: showIncident, act })
}

export function incidents(app: FastifyInstance): void {
  app.get('/incidents', listIncidents)
  app.get('/incidents/:id', (request, reply) => showIncident(request, reply))
  formPage(app, '/lots/:id/incidents/new', {
    show: showNew,
    act: async (trx, request, form, by) => {
      const lot = found(await findLot(trx, idIn(request)), 'lot')
      const { at, ...told } = check(newIncident(request), form)
      const id = await openIncident(trx, by, { ...told, lotId: lot.id, bundleIds: ticked(lot, form), foundAt: at })
      return { to: `/incidents/${id}`, said: 'It is written down. The client has to be told.' }
    },
  })
  pressOn(app, 'told', async (trx, request, form, by) => {
    const word = check(told(request), form).told
    const { clientName } = await addWord(trx, by, idIn(request), { kind: 'client told', ...word })
    return { to: `/incidents/${idIn(request)}`, said: `Written down: ${clientName} was told.` }
  })
  pressOn(app, 'not-told', async (trx, request, form, by) => {
    const { words } = check(notTold, form).notTold
    await addWord(trx, by, idIn(request), { kind: 'cannot be told', how: '', words })
    return { to: `/incidents/${idIn(request)}`, said: 'Written down why the client cannot be told.' }
  })
  pressOn(app, 'done', async (trx, request, form, by) => {
    await addWord(trx, by, idIn(request), { kind: 'done', how: '', ...check(done(request), form).done })
    return { to: `/incidents/${idIn(request)}`, said: 'Noted.' }
  })
  pressOn(app, 'close', async (trx, request, form, by) => {
    const { version, outcome } = check(closing, form)
    await closeIncident(trx, by, idIn(request), version, outcome)
    return { to: `/incidents/${idIn(request)}`, said: 'The incident is closed.' }
  })
}
