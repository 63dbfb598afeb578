/** What a client sees of their own, without a sign-in, at an address that only they were given. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { isInWork, isToFetch, lostForClients, readToken, whereForClients } from '../domain/client-page.js'
import {
  addressOf,
  baseAddress,
  clientOfToken,
  clientPageOf,
  closeClientPage,
  commissionsForClient,
  openClientPage,
} from '../store/client-page.js'
import { findClient } from '../store/clients.js'
import { findCommission } from '../store/commissions.js'
import { handBacksOfCommission } from '../store/hand-backs.js'
import { receiptsIssued, receiptsOf } from '../store/receipts.js'
import { findHandBack } from '../store/return-slip.js'
import { choice } from './kit/fields.js'
import { check, Form } from './kit/form.js'
import { found, idIn, onPost } from './kit/post.js'
import { sendReceipt } from './receipts.js'
import { sendSlip } from './return-slip.js'

/** Kept nowhere and listed nowhere; nothing that is clicked on it tells where it came from. */
const PRIVATE = {
  'cache-control': 'no-store',
  'x-robots-tag': 'noindex, nofollow, noarchive',
  'referrer-policy': 'no-referrer',
}

/** Whose page was asked for; null when it has ended. */
async function askedFor(request: FastifyRequest, reply: FastifyReply) {
  reply.headers(PRIVATE)
  const token = readToken((request.params as { token: string }).token)
  return { token, client: found(await clientOfToken(request.server.db, token), 'page') }
}

/** One of the client's own slips; anybody else's is simply not there. */
async function sendSlipTo(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const { client } = await askedFor(request, reply)
  const slip = client && (await findHandBack(db, idIn(request)))
  const own = slip && (await findCommission(db, slip.commissionId))?.clientId === client.id
  return sendSlip(request, reply, found(own ? slip : undefined, 'slip'))
}

/** One of the client's own receipts, as it was issued. */
async function sendReceiptTo(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const { client } = await askedFor(request, reply)
  const own = client && (await findCommission(db, idIn(request)))?.clientId === client.id
  const { n } = request.params as { n: string }
  const issued = own ? (await receiptsOf(db, idIn(request))).find(one => String(one.n) === n) : undefined
  return sendReceipt(request, reply, found(issued, 'receipt'))
}

async function showTo(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const { token, client } = await askedFor(request, reply)
  if (client === null) return reply.page('client-page/ended', { title: 'This page has ended', status: 410, data: {} })
  const commissions = []
  for (const one of await commissionsForClient(db, client.id)) {
    const lots = one.lots.map(lot => {
      const places = lot.bundles.map(({ place }) => place)
      return { ...lot, where: whereForClients(places), lost: lostForClients(lot.bundles), inWork: isInWork(places) }
    })
    const toFetch = isToFetch(one.lots.flatMap(lot => lot.bundles.map(({ place }) => place)))
    const handBacks = (await handBacksOfCommission(db, one.id)).map(({ id, at, lotIds, bundles }) => ({
      id,
      at,
      lotIds,
      bundles,
    }))
    const receipts = (await receiptsIssued(db, one.id)).map(({ n, at }) => ({ n, at }))
    commissions.push({ ...one, lots, toFetch, receipts, handBacks })
  }
  return reply.page('client-page/show', {
    title: client.name,
    data: { token, client: { name: client.name }, commissions },
  })
}

/** The dyer's side: whether there is a page, and its address. */
async function showForDyer(request: FastifyRequest, reply: FastifyReply, form = new Form(), status = 200) {
  const { db } = request.server
  const client = found(await findClient(db, idIn(request)), 'client')
  const page = (await clientPageOf(db, client.id)) ?? null
  const base = await baseAddress(db)
  return reply.page('client-page/dyer', {
    title: `${client.name}: their own page`,
    form,
    status,
    data: {
      client: { id: client.id, name: client.name },
      page,
      address: page ? addressOf(base, page.token) : null,
      hasBase: base !== '',
    },
  })
}

const pageForm = z.object({ do: choice('Make a page, or end it', ['make', 'end']) })

export function clientPage(app: FastifyInstance): void {
  app.get('/c/:token', { config: { open: true } }, showTo)
  app.get('/C/:token', { config: { open: true } }, showTo)
  app.get('/c/:token/slips/:id', { config: { open: true } }, sendSlipTo)
  app.get('/c/:token/receipts/:id/:n', { config: { open: true } }, sendReceiptTo)
  app.get('/clients/:id/page', (request, reply) => showForDyer(request, reply))
  onPost(app, '/clients/:id/page', {
    show: showForDyer,
    act: async (trx, request, form, by) => {
      const client = found(await findClient(trx, idIn(request)), 'client')
      const isEnd = check(pageForm, form).do === 'end'
      if (isEnd) await closeClientPage(trx, by, client.id)
      else await openClientPage(trx, by, client.id)
      const said = isEnd ? 'The page has ended; its address leads nowhere now.' : `${client.name} has a page now.`
      return { to: `/clients/${client.id}/page`, said }
    },
  })
}
