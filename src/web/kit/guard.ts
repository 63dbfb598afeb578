import './site.js'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { isSetUp, type Worker, workerOfSession } from '../../store/sign-in.js'
import type { Config } from './config.js'
import { Form } from './form.js'
import { wantsJson } from './page.js'
import { readOn, sendsFiles } from './upload.js'

declare module 'fastify' {
  interface FastifyRequest {
    /** Whoever is signed in; the guard lets no other request through to a page. */
    worker: Worker
  }
  interface FastifyContextConfig {
    /** Answers without a sign-in. */
    open?: boolean
  }
}

/** `same-origin`, not `no-referrer`: the latter would blank the Origin header of our own forms. */
const HEADERS = {
  'content-security-policy': [
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "img-src 'self'",
    "connect-src 'self'",
    "form-action 'self'",
    "base-uri 'none'",
    "object-src 'none'",
    "frame-ancestors 'none'",
    "require-trusted-types-for 'script'",
    "trusted-types 'none'",
  ].join('; '),
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'same-origin',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'permissions-policy': 'geolocation=(), microphone=()',
}

const SAFE = new Set(['GET', 'HEAD'])

/**
 * A form is believed only from our own pages: Fetch Metadata where the browser sends it, else the Origin header.
 * Neither can expire under a form that is being typed (OWASP Cheat Sheet Series, Cross-Site Request Forgery Prevention).
 */
export function isOwnRequest(request: FastifyRequest, transport: Config['transport']): boolean {
  const site = request.headers['sec-fetch-site']
  if (site !== undefined) return site === 'same-origin' || site === 'none'
  const origin = request.headers.origin
  const own = `${transport === 'proxy' ? 'https' : 'http'}://${request.headers.host}`
  return origin !== undefined && origin.toLowerCase() === own.toLowerCase()
}

export const cookieName = (transport: Config['transport']): string => (transport === 'proxy' ? '__Host-tie' : 'tie')

const NOT_SIGNED_IN = 'Nobody is signed in. Sign in first, and send the cookie of that sign-in along.'

async function askToSignIn(request: FastifyRequest, reply: FastifyReply): Promise<FastifyReply> {
  if (wantsJson(request)) {
    await readOn(request, reply)
    return reply.code(401).send({ sentence: NOT_SIGNED_IN })
  }
  if (!(await isSetUp(request.server.db))) return reply.redirect('/set-up', 303)
  if (SAFE.has(request.method)) return reply.redirect(`/sign-in?next=${encodeURIComponent(request.url)}`, 303)
  if (sendsFiles(request)) {
    // Files are not held for a stranger: they are chosen again on the form's own page.
    await readOn(request, reply)
    return reply.page('sign-in/sign-in', {
      title: 'Sign in, then choose the files again',
      status: 401,
      data: { next: request.url, held: '', wait: 0 },
    })
  }
  const typed = Object.fromEntries(Form.read(request.body).typed)
  return reply.page('sign-in/sign-in', {
    title: 'Sign in to send what you typed',
    status: 401,
    data: { next: '/', held: JSON.stringify({ to: request.url, typed }), wait: 0 },
  })
}

export function guard(app: FastifyInstance, config: Config): void {
  app.decorateRequest('worker')

  app.addHook('onRequest', async (request, reply) => {
    reply.headers(HEADERS)
    if (config.transport === 'proxy') reply.header('strict-transport-security', 'max-age=31536000')
    if (!request.routeOptions.config.open || !request.url.startsWith('/static/')) {
      reply.header('cache-control', 'private, no-cache').header('vary', 'accept, cookie')
    }
    if (!SAFE.has(request.method) && !isOwnRequest(request, config.transport)) {
      return reply.page('errors/refused', {
        title: 'Not accepted',
        status: 403,
        data: {
          sentence: 'This was sent from another site, so nothing was done. Open the page here and send it again.',
          typed: [],
        },
      })
    }
  })

  // After the body is read, so that what was typed can be kept when the sign-in has run out.
  app.addHook('preHandler', async (request, reply) => {
    if (request.is404 || request.routeOptions.config.open) return
    const token = request.cookies[cookieName(config.transport)]
    const worker = token ? await workerOfSession(app.db, token, app.now().toISOString()) : undefined
    if (worker) request.worker = worker
    else return askToSignIn(request, reply)
  })
}
