import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { FIND_IN, type FindIn, finishedFirst, isShortened, type LotsAsk } from '../domain/past-lots.js'
import { findPastLots } from '../store/past-lots.js'
import { Form } from './kit/form.js'
import { tagAsked } from './tag-look-up.js'

/** A search is never wrong: what cannot be a page's number means the first page. */
const pageIn = (typed: string): number | null => (/^\d{1,15}$/.test(typed) ? Number(typed) : null)

const askIn = (form: Form): LotsAsk => {
  const asked = (field: FindIn) => form.value(field).trim()
  return {
    words: asked('words'),
    client: asked('client'),
    colour: asked('colour'),
    fibre: asked('fibre'),
    dye: asked('dye'),
  }
}

/** The address of the next page: the same question, further back. */
function olderAddress(ask: LotsAsk, before: number): string {
  const asked = FIND_IN.filter(field => ask[field] !== '').map((field): [string, string] => [field, ask[field]])
  return `/past-lots?${new URLSearchParams([...asked, ['before', String(before)]])}`
}

async function listPastLots(request: FastifyRequest, reply: FastifyReply) {
  const form = Form.read(request.query)
  const ask = askIn(form)
  const tag = await tagAsked(request.server.db, ask.words)
  if (tag?.to) return reply.redirect(tag.to, 302)
  const { lots, before } = await findPastLots(request.server.db, ask, pageIn(form.value('before')))
  const older = before === null ? null : olderAddress(ask, before)
  return reply.page('past-lots/list', {
    title: 'Past lots',
    data: { ask, shortened: isShortened(ask), noTag: tag?.sentence ?? '', lots: finishedFirst(lots), older },
  })
}

export function pastLots(app: FastifyInstance): void {
  app.get('/past-lots', listPastLots)
}
