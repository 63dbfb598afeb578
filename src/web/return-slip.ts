import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { accounts, type Checked, slipLines } from '../domain/return-slip.js'
import { sayHereAgain, slipBlocks, slipRunning } from '../domain/slip-blocks.js'
import type { ReturnSlip } from '../domain/slip-facts.js'
import { clientPageAddress } from '../store/client-page.js'
import type { Db } from '../store/db.js'
import { findAgain, noteStayed } from '../store/found-again.js'
import { addHandBackNote } from '../store/hand-back-note.js'
import { findHandBack } from '../store/return-slip.js'
import { choice, id, text } from './kit/fields.js'
import { check, Form } from './kit/form.js'
import { type PaperContent, paperPage, sendPaper } from './kit/paper.js'
import { found, idIn, onPost } from './kit/post.js'

const checkedOf = ({ lots }: ReturnSlip): Checked[] =>
  lots.flatMap(lot => lot.bundles.map(({ check, ...bundle }) => ({ bundle: { ...bundle, lotId: lot.id }, check })))

const readSlip = async (request: FastifyRequest): Promise<ReturnSlip> =>
  found(await findHandBack(request.server.db, idIn(request)), 'hand-back')

/** Bundles of this slip that are still not found, or, `wentBack`, that still went back. */
const bundlesOf = ({ lots, foundAgain }: ReturnSlip, wentBack: boolean) =>
  lots.flatMap(lot =>
    lot.bundles
      .filter(({ check }) => check.found === wentBack)
      .filter(({ n }) => !foundAgain.some(one => one.lotId === lot.id && one.n === n))
      .map(({ id, n }) => ({ id, n, lotId: lot.id })),
  )

const hereAgainOf = ({ foundAgain }: ReturnSlip) => foundAgain.map(one => ({ ...one, said: sayHereAgain(one) }))

async function showClosed(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const slip = await readSlip(request)
  const all = checkedOf(slip)
  return reply.page('return-slip/closed', {
    title: `Handed back: slip ${slip.id}`,
    form,
    status,
    data: {
      slip,
      accounts: accounts(all),
      lines: slipLines(all),
      lost: bundlesOf(slip, false),
      went: bundlesOf(slip, true),
      hereAgain: hereAgainOf(slip),
    },
  })
}

/** The slip's own content, the same for the page, the print and the PDF. */
const contentOf = async (db: Db, slip: ReturnSlip): Promise<PaperContent> => ({
  blocks: slipBlocks(slip, await clientPageAddress(db, slip.commissionId)),
  running: slipRunning(slip),
})

async function showSlip(request: FastifyRequest, reply: FastifyReply) {
  const slip = await readSlip(request)
  const content = await contentOf(request.server.db, slip)
  return reply.page('return-slip/slip', {
    title: `Return slip ${slip.id}`,
    data: { slip, accounts: accounts(checkedOf(slip)), ...paperPage(request, content) },
  })
}

/** The slip as a file, on the paper that was asked for. */
export async function sendSlip(request: FastifyRequest, reply: FastifyReply, slip: ReturnSlip) {
  const content = await contentOf(request.server.db, slip)
  return sendPaper(request, reply, { ...content, name: `return-slip-${slip.id}`, at: slip.at })
}

const noteForm = z.object({ note: z.object({ words: text('The note', 2000) }) })
const stayedForm = z.object({
  do: choice('Which bundles are still here', ['ticked', 'all']),
  stayed: z.object({ words: text('What happened', 2000) }),
})

/** The ticked bundles of a slip, or all that went with it and are not here again. */
function stayedOf(slip: ReturnSlip, form: Form, which: 'ticked' | 'all'): number[] {
  const went = bundlesOf(slip, true)
  return went.filter(({ id }) => which === 'all' || form.has(`stayed.b${id}`)).map(({ id }) => id)
}

const foundForm = z.object({
  found: z.object({ bundleId: id('The bundle that was found'), words: text('Where it was found', 2000) }),
})

export function returnSlip(app: FastifyInstance): void {
  app.get('/hand-backs/:id', (request, reply) => showClosed(request, reply, new Form(), 200))
  app.get('/hand-backs/:id/slip', showSlip)
  app.get('/hand-backs/:id/slip.pdf', async (request, reply) => sendSlip(request, reply, await readSlip(request)))
  onPost(app, '/hand-backs/:id/notes', {
    show: showClosed,
    act: async (trx, request, form, by) => {
      const { note } = check(noteForm, form)
      await addHandBackNote(trx, by, idIn(request), note.words)
      return { to: `/hand-backs/${idIn(request)}`, said: 'The note stands beside the slip.' }
    },
  })
  onPost(app, '/hand-backs/:id/stayed', {
    show: showClosed,
    act: async (trx, request, form, by) => {
      const handBackId = idIn(request)
      const slip = found(await findHandBack(trx, handBackId), 'hand-back')
      const { do: which, stayed } = check(stayedForm, form)
      const bundleIds = stayedOf(slip, form, which)
      await noteStayed(trx, by, { handBackId, bundleIds, words: stayed.words })
      const said = `${bundleIds.length === 1 ? 'It lies' : 'They lie'} on the ready shelf again. The slip stays, with a line beside it.`
      return { to: `/hand-backs/${handBackId}`, said }
    },
  })
  onPost(app, '/hand-backs/:id/found', {
    show: showClosed,
    act: async (trx, request, form, by) => {
      const handBackId = idIn(request)
      const { found } = check(foundForm, form)
      await findAgain(trx, by, { handBackId, ...found })
      return {
        to: `/hand-backs/${handBackId}`,
        said: 'It lies on the ready shelf again, and goes back on a slip of its own.',
      }
    },
  })
}
