/** The wrong client was picked at drop-off: whose a commission is, is put right. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { AGREED_HOW } from '../domain/arrival.js'
import { dayOf } from '../domain/day.js'
import { addClient, findClient, findClients } from '../store/clients.js'
import { findCommission } from '../store/commissions.js'
import type { By, Trx } from '../store/db.js'
import { putOwnerRight, whyOwnerStays } from '../store/whose.js'
import { clientsMeant, readClient } from './drop-off-client.js'
import { choice, text, version } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { formPage, found, idIn } from './kit/post.js'

const MOST_NAMES = 300

const whoseForm = z.object({
  why: text('How you know', 500),
  agreed: choice('Agreed with them', ['', ...AGREED_HOW]),
  version,
})

async function showForm(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const commission = found(await findCommission(db, idIn(request)), 'commission')
  const clients = await findClients(db, '', MOST_NAMES)
  return reply.page('put-right/whose', {
    title: `Commission ${commission.id}: whose it is`,
    form,
    status,
    data: {
      commission,
      stays: await whyOwnerStays(db, commission.id),
      client: null,
      timedWishes: [],
      meant: await clientsMeant(db, form),
      names: [...new Set(clients.map(({ name }) => name))],
    },
  })
}

/** Somebody known, or somebody new who can be reached. */
async function clientIn(trx: Trx, by: By, form: Form) {
  const who = await readClient(trx, form)
  if ('known' in who) return who.known
  return found(await findClient(trx, await addClient(trx, by, who.fresh)), 'client')
}

export function whose(app: FastifyInstance): void {
  formPage(app, '/commissions/:id/client', {
    show: showForm,
    act: async (trx, request, form, by) => {
      const commissionId = idIn(request)
      found(await findCommission(trx, commissionId), 'commission')
      const { why, agreed, version } = check(whoseForm, form)
      const client = await clientIn(trx, by, form)
      const agreedOn = dayOf(by.at, request.workshop.timeZone)
      const agreement = agreed === '' ? null : { how: agreed, agreedOn, words: '' }
      await putOwnerRight(trx, by, { commissionId, version, client, why, agreed: agreement })
      return {
        to: `/commissions/${commissionId}`,
        said: `It is written down for ${client.name}. Print its tags again: they bear the other name.`,
      }
    },
  })
}
