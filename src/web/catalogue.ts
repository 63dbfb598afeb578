import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { changedFields } from '../domain/catalogue-change.js'
import { figuresOf, mentionsOf, type ShownGroup, shownGroups } from '../domain/catalogue-entry.js'
import type { Names } from '../domain/catalogue-say.js'
import { useOf } from '../domain/catalogue-uses.js'
import {
  type CatalogueRow,
  changesOfEntry,
  type EntryChange,
  findEntry,
  listEntries,
  readCatalogue,
} from '../store/catalogue.js'
import { countLotsOf, lotsHereWith } from '../store/catalogue-uses.js'
import type { Db } from '../store/db.js'
import { learntOfFibre } from './how-long.js'
import { found } from './kit/post.js'

export const entryIn = async (db: Db, request: FastifyRequest): Promise<CatalogueRow> =>
  found(await findEntry(db, (request.params as { id: string }).id), 'entry in the catalogue')

export const namesIn = async (db: Db): Promise<Names> =>
  new Map(
    (await listEntries(db)).map(row => [
      row.id,
      { name: row.name, unit: row.kind === 'substance' ? row.entry.unit : '' },
    ]),
  )

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
  const groups = shownGroups(row, names)
  return reply.page('catalogue/show', {
    title: row.name,
    data: {
      ...row,
      groups: groups.filter(group => stands(row, group)).map(group => withUses(row, group, names)),
      unset: groups.filter(group => !stands(row, group)).map(({ key, title }) => ({ key, title })),
      ...mentionsOf(row.id, await readCatalogue(db)),
      lots: { all: await countLotsOf(db, row.id), here: await lotsHereWith(db, row.id) },
      learnt: row.kind === 'fibre' ? await learntOfFibre(db, row.id) : [],
      changes: (await changesOfEntry(db, row.id)).map(change => tell(change, names)),
    },
  })
}

/** A substance has many groups of which nothing stands; what a dye needs is shown as not known all the same. */
function stands(row: CatalogueRow, { key, facts, figures }: ShownGroup): boolean {
  if (row.kind !== 'substance' || facts.length > 0 || figures.some(({ figure }) => figure !== null)) return true
  const { dyeClass, mordantDose } = row.entry
  if (key === 'shades') return dyeClass !== null && dyeClass !== 'all-purpose'
  if (key === 'bath') return dyeClass !== null || mordantDose !== null
  return key !== 'salt' && figures.length > 0
}

const withUses = (row: CatalogueRow, { figures, ...group }: ShownGroup, names: Names) => ({
  ...group,
  figures: figures.map(figure => ({ ...figure, usedFor: useOf(row, figure.path, names).words })),
})

const tell = ({ was, became, ...change }: EntryChange, names: Names) => ({
  ...change,
  fields: was === null ? [] : changedFields(was, became, names),
})

export function catalogue(app: FastifyInstance): void {
  app.get('/catalogue', listAll)
  app.get('/catalogue/:id', showEntry)
}
