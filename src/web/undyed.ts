import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { findLot } from '../store/lots.js'
import { layReadyUndyed, mayGoUndyed } from '../store/undyed.js'
import { text } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { formPage, found, idIn } from './kit/post.js'

async function showUndyed(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const lot = found(await findLot(request.server.db, idIn(request)), 'lot')
  const bundles = mayGoUndyed(lot).map(({ n, tiesIn, dryWeightG }) => ({ n, tiesIn, dryWeightG }))
  return reply.page('lots/undyed', { title: `Lot ${lot.id}: back undyed`, form, status, data: { lot, bundles } })
}

/** What waits goes back without a bath, with a reason; from the ready shelf the ordinary hand-back takes it. */
export function undyed(app: FastifyInstance): void {
  formPage(app, '/lots/:id/undyed', {
    show: showUndyed,
    act: async (trx, request, form, by) => {
      const { why } = check(z.object({ why: text('Why it goes back undyed', 500) }), form)
      const lotId = idIn(request)
      const count = await layReadyUndyed(trx, by, { lotId, why })
      const said = `${count} ${count === 1 ? 'bundle lies' : 'bundles lie'} on the ready shelf as they came.`
      return { to: `/lots/${lotId}`, said }
    },
  })
}
