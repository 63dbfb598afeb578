import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { readTagCode, sayTagCode, seemsTagCode } from '../domain/tag-code.js'
import type { Db } from '../store/db.js'
import { findTag, neverMade } from '../store/tags.js'
import { Form } from './kit/form.js'

const notATag = (reply: FastifyReply, typed: string, sentence: string) =>
  reply.page('tags/look-up', {
    title: 'No such tag',
    status: 404,
    form: Form.of({ tag: typed.slice(0, 100) }).with([{ field: 'tag', sentence }]),
    data: {},
  })

/** From a scanned or typed code to its bundle. Nothing is written, whatever was typed. */
async function openTag(request: FastifyRequest, reply: FastifyReply, typed: string) {
  const code = readTagCode(typed)
  if (!code.ok) return notATag(reply, typed, code.sentence)
  const tag = await findTag(request.server.db, code.value)
  if (!tag) return notATag(reply, typed, neverMade(code.value))
  if (tag.voidAt === null) return reply.redirect(`/bundles/${tag.bundleId}`, 302)
  const { replacedBy, voidAt, voidWhy, bundleId } = tag
  return reply.page('tags/void', {
    title: `Tag ${sayTagCode(tag.code)} no longer counts`,
    status: 410,
    data: {
      code: sayTagCode(tag.code),
      voidAt,
      voidWhy,
      bundleId,
      replacedBy: replacedBy && { ...replacedBy, code: sayTagCode(replacedBy.code) },
    },
  })
}

/**
 * Whether a search means a tag: where it leads, or why it leads nowhere. Undefined for everything else that people look
 * for, which is looked for as before.
 */
export async function tagAsked(db: Db, typed: string): Promise<{ to?: string; sentence: string } | undefined> {
  const code = readTagCode(typed)
  if (!code.ok) return seemsTagCode(typed) ? { sentence: code.sentence } : undefined
  const tag = await findTag(db, code.value)
  if (!tag) return { sentence: neverMade(code.value) }
  return { to: tag.voidAt === null ? `/bundles/${tag.bundleId}` : `/t/${tag.code}`, sentence: '' }
}

export function tagLookUp(app: FastifyInstance): void {
  app.get('/t', async (request, reply) => {
    const form = Form.read(request.query)
    if (form.has('tag')) return openTag(request, reply, form.value('tag'))
    return reply.page('tags/look-up', { title: 'Look up a tag', data: {} })
  })
  const byAddress = (request: FastifyRequest, reply: FastifyReply) =>
    openTag(request, reply, (request.params as { code: string }).code)
  app.get('/t/:code', byAddress)
  // A square code holds capitals only, so the address in it comes in capitals.
  app.get('/T/:code', byAddress)
}
