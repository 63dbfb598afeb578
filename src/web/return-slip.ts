import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { tieStates } from '../domain/bundle-check.js'
import { ROUTE_WORDS } from '../domain/recipe.js'
import { accounts, differences, slipLines, USE_WORDS } from '../domain/return-slip.js'
import { findHandBack, type ReturnSlip, type SlipLot } from '../store/return-slip.js'
import { Form } from './kit/form.js'
import { found, idIn } from './kit/post.js'

const PAPERS = ['A5', 'Letter'] as const

const checkedOf = (lot: SlipLot) =>
  lot.bundles.map(({ check, ...bundle }) => ({ bundle: { ...bundle, lotId: lot.id }, check }))

const lotShown = (lot: SlipLot) => ({
  ...lot,
  accounts: accounts(checkedOf(lot)),
  howDyed: howDyed(lot),
  bundles: lot.bundles.map(bundle => ({
    ...bundle,
    tieStates: tieStates(bundle, bundle.check),
    differences: differences({ ...bundle, lotId: lot.id }, bundle.check),
  })),
})

/** Each way in which the lot was really dyed, once; what was asked for when no bath is on record. */
function howDyed({ baths, dyeName, route }: SlipLot): string[] {
  if (baths.length === 0) return [`not on record; asked for: ${dyeName} (${ROUTE_WORDS[route]})`]
  return [...new Set(baths.map(({ dyeWords, routeWords }) => `${dyeWords} (${routeWords})`))]
}

const slipShown = (slip: ReturnSlip) => ({
  slip: { ...slip, lots: slip.lots.map(lotShown) },
  accounts: accounts(slip.lots.flatMap(checkedOf)),
  lines: slipLines(slip.lots.flatMap(checkedOf)),
  useWords: USE_WORDS,
})

const readSlip = async (request: FastifyRequest) =>
  slipShown(found(await findHandBack(request.server.db, idIn(request)), 'hand-back'))

async function showClosed(request: FastifyRequest, reply: FastifyReply) {
  const shown = await readSlip(request)
  return reply.page('return-slip/closed', { title: `Handed back: slip ${shown.slip.id}`, data: shown })
}

async function showSlip(request: FastifyRequest, reply: FastifyReply) {
  const shown = await readSlip(request)
  const asked = Form.read(request.query).value('paper')
  const paper = PAPERS.find(one => one === asked) ?? request.workshop.slipPaper
  return reply.page('return-slip/slip', {
    title: `Return slip ${shown.slip.id}`,
    data: { ...shown, paper, papers: PAPERS },
  })
}

export function returnSlip(app: FastifyInstance): void {
  app.get('/hand-backs/:id', showClosed)
  app.get('/hand-backs/:id/slip', showSlip)
}
