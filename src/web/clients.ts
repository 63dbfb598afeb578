import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { OFFCUTS, PHOTOGRAPHS, SETTLES, SHARES_BATH, SHARES_BATH_WORDS, sayClientChange } from '../domain/client.js'
import { addClient, changeClient, changesOfClient, erasedAt, findClient, findClients } from '../store/clients.js'
import { commissionsOfClient } from '../store/commissions.js'
import { nameOnTag } from '../store/tag-settings.js'
import { timedWishesOf } from '../store/timed-wishes.js'
import { choice, optionalText, text, version } from './kit/fields.js'
import { check, Form } from './kit/form.js'
import { formPage, found, idIn } from './kit/post.js'

/** What is asked of a client once; the drop-off asks the same of a new one. */
export const clientFields = {
  name: text('Full name'),
  mark: optionalText('Mark', 40),
  contact: text('How to reach them', 500),
  settles: choice('How they settle', SETTLES),
  wishes: optionalText('Handling wishes', 2000),
  photographs: choice('Photographs', PHOTOGRAPHS),
  note: optionalText('Note', 2000),
  wishesAnswer: choice('Handling wishes', ['', 'not asked', 'nothing special', 'rather not say']).transform(
    answer => answer || ('not asked' as const),
  ),
  wishesSaidBy: optionalText('Who said the wishes'),
  offcuts: choice('Offcuts and lost ties', ['', ...OFFCUTS]).transform(answer => answer || OFFCUTS[0]),
  sharesBath: choice('One bath with others', ['', ...SHARES_BATH]).transform(answer => answer || SHARES_BATH[0]),
}

const newClient = z.object(clientFields)
const knownClient = z.object({ ...clientFields, version })

async function listClients(request: FastifyRequest, reply: FastifyReply) {
  const words = Form.read(request.query).value('find').slice(0, 200)
  const clients = await findClients(request.server.db, words)
  return reply.page('clients/list', { title: 'Clients', data: { find: words, clients } })
}

async function showClient(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const client = found(await findClient(db, idIn(request)), 'client')
  const [commissions, changes] = [await commissionsOfClient(db, client.id), await changesOfClient(db, client.id)]
  return reply.page('clients/show', {
    title: client.name,
    data: {
      client,
      erasedAt: await erasedAt(db, client.id),
      bathWords: SHARES_BATH_WORDS[client.sharesBath ?? 'not asked'],
      commissions,
      changes: changes.map(change => ({
        ...change,
        /** What is first written down stands above. */
        words: change.what === 'changed' ? sayClientChange(change.was, change.became) : [],
      })),
      nameOnTag: await nameOnTag(db, client.id),
      timedWishes: await timedWishesOf(db, client.id),
    },
  })
}

const showNew = (_request: FastifyRequest, reply: FastifyReply, form: Form, status: number) =>
  reply.page('clients/edit', { title: 'A new client', form, status, data: { client: null } })

async function showEdit(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const client = found(await findClient(request.server.db, idIn(request)), 'client')
  return reply.page('clients/edit', { title: `${client.name}: change`, form, status, data: { client } })
}

export function clients(app: FastifyInstance): void {
  app.get('/clients', listClients)
  formPage(app, '/clients/new', {
    show: showNew,
    act: async (trx, _request, form, by) => {
      const client = check(newClient, form)
      return { to: `/clients/${await addClient(trx, by, client)}`, said: `${client.name} is written down.` }
    },
  })
  app.get('/clients/:id', showClient)
  formPage(app, '/clients/:id/edit', {
    show: showEdit,
    act: async (trx, request, form, by) => {
      const { version, ...client } = check(knownClient, form)
      await changeClient(trx, by, idIn(request), version, client)
      return { to: `/clients/${idIn(request)}`, said: `${client.name} is changed.` }
    },
  })
}
