import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { NEARNESS } from '../domain/outcome.js'
import { findLot } from '../store/lots.js'
import { noteOutcome, outcomesOfLot } from '../store/outcomes.js'
import { NO_SWATCH } from './drop-off-rows.js'
import { choice, group, optionalText, swatch, tick } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { formPage, found, idIn } from './kit/post.js'

const outcomeForm = z.object({
  outcome: group({
    nearness: choice('How near it came', NEARNESS),
    swatch,
    noSwatch: tick,
    words: optionalText('In words', 2000),
  }),
})

async function showOutcome(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const lot = found(await findLot(db, idIn(request)), 'lot')
  return reply.page('lots/outcome', {
    title: `Lot ${lot.id}: what came out`,
    form,
    status,
    data: { lot, outcomes: await outcomesOfLot(db, lot.id) },
  })
}

export function outcomes(app: FastifyInstance): void {
  formPage(app, '/lots/:id/outcome', {
    show: showOutcome,
    act: async (trx, request, form, by) => {
      const { outcome } = check(outcomeForm, form)
      const { noSwatch, ...told } = outcome
      const swatch = noSwatch || told.swatch === NO_SWATCH ? null : told.swatch
      await noteOutcome(trx, by, { ...told, swatch, lotId: idIn(request) })
      return { to: `/lots/${idIn(request)}`, said: `Written down: it came out ${outcome.nearness}.` }
    },
  })
}
