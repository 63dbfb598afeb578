import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { Refusal, type RefusalCode } from '../../domain/refusal.js'
import { Form } from './form.js'
import { noteIfWrongTag } from './wrong-tag.js'

export const STATUS: Record<RefusalCode, number> = {
  wrong: 422,
  conflict: 409,
  'not-found': 404,
  gone: 410,
  'not-now': 503,
  'not-allowed': 403,
  'too-much': 413,
}

const PLAIN: Record<number, string> = {
  400: 'The request could not be read. Go back, and send the form from its page again.',
  404: 'There is nothing at this address. It may have been typed with a slip, or a number may be wrong.',
  413: 'That is more than a form can hold. Shorten the longest text and send it again.',
  414: 'That address is too long.',
  415: 'Only forms can be sent here.',
}

const refuse = (request: FastifyRequest, reply: FastifyReply, status: number, title: string, sentence: string) =>
  reply.page('errors/refused', {
    title,
    status,
    data: {
      sentence,
      typed: [...Form.read(request.body).typed].filter(([name]) => name !== 'key' && name !== 'version'),
    },
  })

/** The one place where something thrown becomes a page: a refusal in its own words, a fault as "something broke". */
export function errorPages(app: FastifyInstance): void {
  app.setNotFoundHandler((request, reply) => refuse(request, reply, 404, 'Nothing here', PLAIN[404] ?? ''))
  app.setErrorHandler(async (fault: FastifyError | Refusal, request, reply) => {
    if (fault instanceof Refusal) {
      await noteIfWrongTag(request, fault)
      const status = STATUS[fault.code]
      if (status === 503) reply.header('retry-after', '5')
      return refuse(request, reply, status, status === 404 ? 'Nothing here' : 'Not done', fault.message)
    }
    if ('code' in fault && String(fault.code).startsWith('SQLITE_BUSY')) {
      reply.header('retry-after', '5')
      return refuse(
        request,
        reply,
        503,
        'Busy for a moment',
        'The records are busy. Nothing was saved; send it again in a few seconds.',
      )
    }
    const status = fault.statusCode ?? 500
    if (status < 500) return refuse(request, reply, status, 'Not accepted', PLAIN[status] ?? PLAIN[400] ?? '')
    request.log.error({ err: fault, reference: request.id }, 'fault')
    return refuse(
      request,
      reply,
      500,
      'Something broke',
      `Nothing was saved. If it happens again, note this reference: ${request.id}.`,
    )
  })
}

const ALL = ['GET', 'POST', 'PUT', 'PATCH', 'DELETE', 'OPTIONS'] as const

/** A known address asked with another method answers 405 and says which it takes (RFC 9110, 15.5.6). */
export function refuseOtherMethods(app: FastifyInstance, known: ReadonlyMap<string, ReadonlySet<string>>): void {
  for (const [url, methods] of known) {
    const others = ALL.filter(method => !methods.has(method))
    const allow = [...methods].join(', ')
    app.route({
      method: others,
      url,
      config: { open: true },
      handler: (request, reply) => {
        reply.header('allow', allow)
        return refuse(request, reply, 405, 'Not accepted', 'This address does not take that kind of request.')
      },
    })
  }
}
