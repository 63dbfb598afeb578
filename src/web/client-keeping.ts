/** How long clients are kept, and whose erasure is due. Nobody is erased by a clock: that is a press on their own page. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { yearsBefore } from '../domain/client-data.js'
import { readCount } from '../domain/quantity.js'
import { changeClientKeeping, clientKeeping, clientsDue } from '../store/client-keeping.js'
import { readIfTyped, version } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { byOf, formPage } from './kit/post.js'

const keepingForm = z.object({
  years: readIfTyped(typed => readCount(typed, { label: 'number of years', noun: 'year', min: 1, max: 50 })),
  version,
})

async function showKeeping(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const keeping = await clientKeeping(db)
  const due = keeping.years === null ? [] : await clientsDue(db, yearsBefore(byOf(request).at, keeping.years))
  return reply.page('client-data/keeping', {
    title: 'Settings: how long clients are kept',
    form,
    status,
    data: { keeping, due },
  })
}

export function clientKeepingPage(app: FastifyInstance): void {
  formPage(app, '/settings/clients', {
    show: showKeeping,
    act: async (trx, _request, form, by) => {
      const { years, version } = check(keepingForm, form)
      await changeClientKeeping(trx, by, years?.count ?? null, version)
      const said = years ? `Clients are kept for ${years.count} years.` : 'No time is set; nobody is listed.'
      return { to: '/settings/clients', said }
    },
  })
}
