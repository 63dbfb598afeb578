import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { changedFields } from '../domain/catalogue-change.js'
import { figuresOf, mentionsOf } from '../domain/catalogue-entry.js'
import {
  type CatalogueRow,
  changesOfEntry,
  type EntryChange,
  findEntry,
  listEntries,
  lotsWith,
  readCatalogue,
} from '../store/catalogue.js'
import type { Db } from '../store/db.js'
import { found } from './kit/post.js'

export const entryIn = async (db: Db, request: FastifyRequest): Promise<CatalogueRow> =>
  found(await findEntry(db, (request.params as { id: string }).id), 'entry in the catalogue')

async function listAll(request: FastifyRequest, reply: FastifyReply) {
  const entries = (await listEntries(request.server.db)).map(row => ({
    ...row,
    notKnown: figuresOf(row).filter(({ figure }) => figure === null).length,
  }))
  return reply.page('catalogue/list', { title: 'Catalogue', data: { entries } })
}

async function showEntry(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const row = await entryIn(db, request)
  const names = await namesIn(db)
  return reply.page('catalogue/show', {
    title: row.name,
    data: {
      ...row,
      figures: figuresOf(row).map(figure => ({ ...figure, label: withName(figure.label, names) })),
      ...mentionsOf(row.id, await readCatalogue(db)),
      lots: await lotsWith(db, row.id),
      names: namedIn(row, names),
      changes: (await changesOfEntry(db, row.id)).map(tell),
    },
  })
}

const tell = ({ was, became, ...change }: EntryChange) => ({
  ...change,
  fields: was === null ? [] : changedFields(was, became),
})

const namesIn = async (db: Db): Promise<Map<string, string>> =>
  new Map((await listEntries(db)).map(({ id, name }) => [id, name]))

/** "soda-crystals: a quarter of the alum" with the name in place of the id. */
export const withName = (label: string, names: ReadonlyMap<string, string>): string =>
  label.replace(/^[a-z0-9-]+(?=[:,])/, id => names.get(id) ?? id)

/** The names of the entries that a rule speaks of, by id. */
function namedIn(row: CatalogueRow, names: ReadonlyMap<string, string>): Record<string, string> {
  if (row.kind !== 'rule') return {}
  const { fibreIds, dyeIds, mordantIds } = row.entry
  return Object.fromEntries([...fibreIds, ...dyeIds, ...mordantIds].map(id => [id, names.get(id) ?? id]))
}

export function catalogue(app: FastifyInstance): void {
  app.get('/catalogue', listAll)
  app.get('/catalogue/:id', showEntry)
}
