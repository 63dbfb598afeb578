import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { receiptChanges } from '../domain/receipt.js'
import { receiptBlocks, receiptRunning } from '../domain/receipt-blocks.js'
import { clientPageAddress } from '../store/client-page.js'
import { findCommission } from '../store/commissions.js'
import type { Db } from '../store/db.js'
import { type IssuedReceipt, issueReceipt, receiptNow, receiptsOf } from '../store/receipts.js'
import { Form } from './kit/form.js'
import { type PaperContent, paperPage, sendPaper } from './kit/paper.js'
import { formPage, found, idIn } from './kit/post.js'

/** The receipt's own content, the same for the page, the print and the PDF. */
const contentOf = async (db: Db, issued: IssuedReceipt): Promise<PaperContent> => ({
  blocks: receiptBlocks(issued, await clientPageAddress(db, issued.commissionId)),
  running: receiptRunning(issued),
})

/** The receipt whose number is asked for; the newest, if any, when none is. */
function askedFor(request: FastifyRequest, issued: readonly IssuedReceipt[]): IssuedReceipt | undefined {
  const asked = Form.read(request.query)
  if (!asked.has('n')) return issued.at(-1)
  return found(
    issued.find(({ n }) => String(n) === asked.value('n')),
    'receipt',
  )
}

/** A receipt as it was issued: the newest, or the one that is asked for. */
async function showReceipt(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const commission = found(await findCommission(db, idIn(request)), 'commission')
  const issued = await receiptsOf(db, commission.id)
  const newest = issued.at(-1)
  const shown = askedFor(request, issued)
  const content = shown ? await contentOf(db, shown) : { blocks: [], running: [] }
  return reply.page('receipts/show', {
    title: shown ? `Receipt ${shown.n} of commission ${commission.id}` : `Commission ${commission.id}: receipt`,
    form,
    status,
    data: {
      commissionId: commission.id,
      issued: shown ?? null,
      all: issued.map(({ n, at, who }) => ({ n, at, who })),
      changed: newest
        ? receiptChanges(newest.receipt, await receiptNow(db, commission.id, request.server.now().toISOString()))
        : [],
      ...paperPage(request, content),
    },
  })
}

/** A receipt as a file, on the paper that was asked for. */
export async function sendReceipt(request: FastifyRequest, reply: FastifyReply, issued: IssuedReceipt) {
  const content = await contentOf(request.server.db, issued)
  const name = `receipt-${issued.commissionId}-${issued.n}`
  return sendPaper(request, reply, { ...content, name, at: issued.at })
}

export function receipts(app: FastifyInstance): void {
  app.get('/commissions/:id/receipt.pdf', async (request, reply) => {
    const issued = await receiptsOf(request.server.db, idIn(request))
    return sendReceipt(request, reply, found(askedFor(request, issued), 'receipt'))
  })
  formPage(app, '/commissions/:id/receipt', {
    show: showReceipt,
    act: async (trx, request, _form, by) => {
      found(await findCommission(trx, idIn(request)), 'commission')
      const n = await issueReceipt(trx, by, idIn(request))
      return { to: `/commissions/${idIn(request)}/receipt`, said: `Receipt ${n} is issued.` }
    },
  })
}
