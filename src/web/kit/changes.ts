/** Who has a page open that is to be told when something was written down; what it was, nobody is told here. */
import { randomUUID } from 'node:crypto'
import type { Server } from 'node:http'
import type { FastifyInstance } from 'fastify'

declare module 'fastify' {
  interface FastifyInstance {
    changes: Changes
  }
  interface FastifyRequest {
    /** How far the records had come when this was asked. */
    asOf: string
  }
}

/** Somebody listening: `tell` says how far the records have come, `look` sees whether they still may, `end` sends them away. */
export type Listener = { tell: (version: string) => void; look: () => void; end: () => void }

export class Changes {
  /** Another start of the program is another count: what changed in between is not known. */
  readonly #start = randomUUID().slice(0, 8)
  readonly #listeners = new Set<Listener>()
  #count = 0
  #isOver = false

  get version(): string {
    return `${this.#start}-${this.#count}`
  }

  get listening(): number {
    return this.#listeners.size
  }

  /** Something was written down, and is kept. */
  tell(): void {
    this.#count += 1
    for (const { tell } of this.#listeners) tell(this.version)
  }

  /** Somebody signed out: whoever listens looks whether they still may. */
  look(): void {
    for (const { look } of this.#listeners) look()
  }

  add(listener: Listener): void {
    this.#listeners.add(listener)
    if (this.#isOver) listener.end()
  }

  remove(listener: Listener): void {
    this.#listeners.delete(listener)
  }

  endAll(): void {
    this.#isOver = true
    for (const { end } of [...this.#listeners]) end()
  }
}

const IDLE_MS = 100
const UNFINISHED_MS = 5_000

/**
 * A connection that is at work when the server closes is kept for a minute once its answer is sent, and the server with
 * it. Here it goes as soon as nothing is on it, and what is not answered in a few seconds is cut off: a form that is
 * sent again then counts once.
 */
function closeSoon(server: Server): void {
  const idle = setInterval(() => server.closeIdleConnections(), IDLE_MS)
  const unfinished = setTimeout(() => server.closeAllConnections(), UNFINISHED_MS)
  for (const timer of [idle, unfinished]) timer.unref()
  server.once('close', () => {
    clearInterval(idle)
    clearTimeout(unfinished)
  })
}

export function changesOf(app: FastifyInstance): void {
  app.decorate('changes', new Changes())
  app.decorateRequest('asOf', '')
  app.addHook('onRequest', async request => {
    request.asOf = app.changes.version
  })
  // Open streams would hold the server up for as long as somebody has a page open.
  app.addHook('preClose', async () => {
    app.changes.endAll()
    if (app.server.listening) closeSoon(app.server)
  })
}
