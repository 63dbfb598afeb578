/**
 * One process with three servers over the same generated workshop, so that they can be measured side by side:
 * the app; the hand-written limit (the SQL that the app's page ran, run raw, and the same template with ready data);
 * and the page as a constant string. Prints their ports as JSON.
 */
import type { AddressInfo } from 'node:net'
import Database from 'better-sqlite3'
import fastify, { type FastifyInstance } from 'fastify'
import { buildApp } from '../../src/app.js'
import { kyselyOn, prepare } from '../../src/store/db.js'
import { readConfig } from '../../src/web/kit/config.js'
import { templates } from '../../src/web/kit/page.js'

const [file = '', cookie = '', ...urls] = process.argv.slice(2)
const raw = prepare(new Database(file))
const config = readConfig({})
const now = () => new Date('2026-03-02T09:00:00.000Z')

type Statement = { sql: string; parameters: unknown[] }
type Captured = { url: string; statements: Statement[]; view: string; it: object; html: string }

/** Serves a page once through the app and notes its queries, its template and what the template was given. */
async function capture(): Promise<Captured[]> {
  let statements: Statement[] = []
  let shown = { view: '', it: {} }
  const db = kyselyOn(raw, event => {
    statements.push({ sql: event.query.sql, parameters: [...event.query.parameters] })
  })
  const app = buildApp({ db, config, now })
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

const portOf = async (app: FastifyInstance): Promise<number> => {
  await app.listen({ host: '127.0.0.1', port: 0 })
  return (app.server.address() as AddressInfo).port
}

const pages = await capture()
const eta = templates()
const limit = fastify()
const constant = fastify()
for (const { url, statements, view, it, html } of pages) {
  const ready = statements.map(({ sql, parameters }) => ({ statement: raw.prepare(sql), parameters: parameters }))
  limit.get(`/${pages.findIndex(page => page.url === url)}`, (_request, reply) => {
    for (const { statement, parameters } of ready) statement.all(parameters)
    return reply.type('text/html; charset=utf-8').send(eta.render(view, it))
  })
  constant.get(`/${pages.findIndex(page => page.url === url)}`, (_request, reply) =>
    reply.type('text/html; charset=utf-8').send(html),
  )
}
const app = buildApp({ db: kyselyOn(raw), config, now })
console.log(JSON.stringify({ app: await portOf(app), limit: await portOf(limit), constant: await portOf(constant) }))
