import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { findCommission } from '../store/commissions.js'
import { markRelease, releaseMarks } from '../store/release.js'
import { choice, text } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { formPage, found, idIn } from './kit/post.js'

async function showMark(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const commission = found(await findCommission(db, idIn(request)), 'commission')
  const marks = await releaseMarks(db, commission.id)
  return reply.page('release/mark', {
    title: `Commission ${commission.id}: may it be released?`,
    form,
    status,
    data: { commission, marks, isHeld: marks[0]?.held ?? false },
  })
}

const markForm = z.object({ held: choice('Hold it, or release it', ['yes', 'no']), reason: text('The reason', 1000) })

export function release(app: FastifyInstance): void {
  formPage(app, '/commissions/:id/release', {
    show: showMark,
    act: async (trx, request, form, by) => {
      const commissionId = idIn(request)
      const { held, reason } = check(markForm, form)
      await markRelease(trx, by, { commissionId, held: held === 'yes', reason })
      const said = held === 'yes' ? 'Marked: nothing of it is handed back.' : 'The mark is lifted.'
      return { to: `/commissions/${commissionId}`, said }
    },
  })
}
