/**
 * One server over the generated workshop, in a process of its own: `app`; `limit`, the hand-written one (the SQL that
 * the app's page ran, run raw, and the same template with ready data); or `constant`, the page as a constant string.
 * Each answers at the app's own addresses. Prints its port.
 */
import type { AddressInfo } from 'node:net'
import Database from 'better-sqlite3'
import fastify, { type FastifyInstance } from 'fastify'
import { buildApp } from '../../src/app.js'
import { kyselyOn, prepare } from '../../src/store/db.js'
import { readConfig } from '../../src/web/kit/config.js'
import { templates } from '../../src/web/kit/page.js'

const [kind = '', file = '', cookie = '', ...urls] = process.argv.slice(2)
const raw = prepare(new Database(file))
const parts = { config: readConfig({}), now: () => new Date('2026-03-02T09:00:00.000Z') }
const HTML = 'text/html; charset=utf-8'

type Statement = { sql: string; parameters: unknown[] }
type Captured = { url: string; statements: Statement[]; view: string; it: object; html: string }

/** Serves each page once through the app and notes its queries, its template and what the template was given. */
async function capture(): Promise<Captured[]> {
  let statements: Statement[] = []
  let shown = { view: '', it: {} }
  const db = kyselyOn(raw, event => {
    statements.push({ sql: event.query.sql, parameters: [...event.query.parameters] })
  })
  const app = buildApp({ db, ...parts })
  app.addHook('preHandler', async (_request, reply) => {
    const view = reply.view.bind(reply)
    reply.view = ((name: string, it: object) => {
      shown = { view: name, it }
      return view(name, it)
    }) as typeof reply.view
  })
  const captured: Captured[] = []
  for (const url of urls) {
    statements = []
    const answer = await app.inject({ url, headers: { cookie, accept: 'text/html' } })
    if (answer.statusCode !== 200) throw new Error(`${url} answered ${answer.statusCode}: ${answer.body.slice(0, 500)}`)
    captured.push({ url, statements, ...shown, html: answer.body })
  }
  return captured
}

async function handWritten(): Promise<FastifyInstance> {
  const server = fastify()
  const eta = templates()
  for (const { url, statements, view, it } of await capture()) {
    const ready = statements.map(({ sql, parameters }) => ({ statement: raw.prepare(sql), parameters }))
    server.get(pathOf(url), (_request, reply) => {
      for (const { statement, parameters } of ready) statement.all(parameters)
      return reply.type(HTML).send(eta.render(view, it))
    })
  }
  return server
}

async function constant(): Promise<FastifyInstance> {
  const server = fastify()
  for (const { url, html } of await capture()) server.get(pathOf(url), (_request, reply) => reply.type(HTML).send(html))
  return server
}

const pathOf = (url: string): string => url.split('?')[0] ?? url

const servers: Record<string, () => Promise<FastifyInstance>> = {
  app: async () => buildApp({ db: kyselyOn(raw), ...parts }),
  limit: handWritten,
  constant,
}
const server = await servers[kind]?.()
if (!server) throw new Error(`no such server: ${kind}`)
await server.listen({ host: '127.0.0.1', port: 0 })
console.log((server.server.address() as AddressInfo).port)
