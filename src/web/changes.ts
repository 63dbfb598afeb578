/** The stream that tells an open page that something was written down: how far the records have come, and nothing else. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { isLive } from '../store/sign-in.js'
import type { Listener } from './kit/changes.js'
import type { Config } from './kit/config.js'
import { cookieName } from './kit/guard.js'

/** A browser holds six connections to one host; pages out of sight let theirs go. */
const MOST_OF_A_SESSION = 6
const HEARTBEAT_MS = 15_000
const TRY_AGAIN_MS = 3_000

const open = new Map<string, number>()

/** A stream of one signed-in browser; answers false when that has enough of them open. */
function listen(request: FastifyRequest, reply: FastifyReply, token: string): void {
  const { changes, db, now } = request.server
  const { raw } = reply.hijack()
  raw.writeHead(200, {
    ...Object.fromEntries(Object.entries(reply.getHeaders()).filter(([, value]) => value !== undefined)),
    'content-type': 'text/event-stream; charset=utf-8',
    'cache-control': 'no-store',
    // Else the connection would be kept for the next request, and hold the server up when it stops.
    connection: 'close',
    'x-accel-buffering': 'no',
  })
  raw.write(`retry: ${TRY_AGAIN_MS}\n`)
  const listener: Listener = {
    tell: version => raw.write(`event: changed\ndata: ${version}\n\n`),
    look: () => {
      isLive(db, token, now().toISOString()).then(
        live => live || listener.end(),
        () => listener.end(),
      )
    },
    end: () => raw.end(),
  }
  const heart = setInterval(() => {
    raw.write(': still here\n\n')
    listener.look()
  }, HEARTBEAT_MS)
  changes.add(listener)
  open.set(token, (open.get(token) ?? 0) + 1)
  raw.once('close', () => {
    clearInterval(heart)
    changes.remove(listener)
    const left = (open.get(token) ?? 1) - 1
    if (left > 0) open.set(token, left)
    else open.delete(token)
  })
  listener.tell(changes.version)
}

export function changes(app: FastifyInstance, config: Config): void {
  app.get('/now/changes', async (request, reply) => {
    const token = request.cookies[cookieName(config.transport)] ?? ''
    // 204 tells a browser not to come again by itself (HTML Standard, server-sent events); the page then asks now and then.
    if ((open.get(token) ?? 0) >= MOST_OF_A_SESSION) return reply.code(204).send()
    return listen(request, reply, token)
  })
}
