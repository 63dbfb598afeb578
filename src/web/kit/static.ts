import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { extname, join } from 'node:path'
import type { FastifyInstance } from 'fastify'
import { projectRoot } from '../../root.js'

const TYPES: Record<string, string> = {
  '.css': 'text/css; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.svg': 'image/svg+xml; charset=utf-8',
}

const folder = join(projectRoot, 'views', 'static')

const files = readdirSync(folder)
  .filter(name => extname(name) in TYPES)
  .map(name => {
    const bytes = readFileSync(join(folder, name))
    return { name, bytes, hash: createHash('sha256').update(bytes).digest('hex').slice(0, 16) }
  })

const addresses = new Map(files.map(({ name, hash }) => [name, `/static/${hash}/${name}`]))

/** The address of a file under views/static; it changes with the content, so that it may be kept for ever. */
export function asset(name: string): string {
  const address = addresses.get(name)
  if (!address) throw new Error(`views/static has no ${name}`)
  return address
}

export function serveStatic(app: FastifyInstance): void {
  for (const { name, bytes, hash } of files) {
    app.get(`/static/${hash}/${name}`, { config: { open: true } }, (request, reply) => {
      reply.header('cache-control', 'public, max-age=31536000, immutable').header('etag', `"${hash}"`)
      if (request.headers['if-none-match'] === `"${hash}"`) return reply.code(304).send()
      return reply.type(TYPES[extname(name)] ?? 'application/octet-stream').send(bytes)
    })
  }
}
