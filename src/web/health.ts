import type { FastifyInstance } from 'fastify'
import { sql } from 'kysely'

/** Whether the server answers and its records can be read; says nothing about anybody. */
export function health(app: FastifyInstance): void {
  app.get('/healthz', { config: { open: true } }, async (_request, reply) => {
    await sql`select 1`.execute(app.db)
    return reply.type('text/plain; charset=utf-8').send('well\n')
  })
}
