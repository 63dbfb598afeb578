import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { receiptChanges } from '../domain/receipt.js'
import { findCommission } from '../store/commissions.js'
import { issueReceipt, receiptNow, receiptsOf } from '../store/receipts.js'
import { Form } from './kit/form.js'
import { formPage, found, idIn } from './kit/post.js'

const PAPERS = ['A5', 'Letter'] as const

/** A receipt as it was issued: the newest, or the one that is asked for. */
async function showReceipt(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const commission = found(await findCommission(db, idIn(request)), 'commission')
  const issued = await receiptsOf(db, commission.id)
  const asked = Form.read(request.query)
  const newest = issued.at(-1)
  const shown = asked.has('n')
    ? found(
        issued.find(({ n }) => String(n) === asked.value('n')),
        'receipt',
      )
    : newest
  const [paper] = PAPERS.filter(one => one === asked.value('paper') || one === request.workshop.slipPaper)
  return reply.page('receipts/show', {
    title: shown ? `Receipt ${shown.n} of commission ${commission.id}` : `Commission ${commission.id}: receipt`,
    form,
    status,
    data: {
      commissionId: commission.id,
      clientMark: commission.clientMark,
      issued: shown ?? null,
      all: issued.map(({ n, at, who }) => ({ n, at, who })),
      changed: newest
        ? receiptChanges(newest.receipt, await receiptNow(db, commission.id, request.server.now().toISOString()))
        : [],
      paper: PAPERS.find(one => one === asked.value('paper')) ?? paper ?? 'A5',
      papers: PAPERS,
    },
  })
}

export function receipts(app: FastifyInstance): void {
  formPage(app, '/commissions/:id/receipt', {
    show: showReceipt,
    act: async (trx, request, _form, by) => {
      found(await findCommission(trx, idIn(request)), 'commission')
      const n = await issueReceipt(trx, by, idIn(request))
      return { to: `/commissions/${idIn(request)}/receipt`, said: `Receipt ${n} is issued.` }
    },
  })
}
