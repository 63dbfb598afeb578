import type { Catalogue, EntryKind, EntryOf } from '../domain/catalogue.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db } from './db.js'

export type CatalogueRow<K extends EntryKind = EntryKind> = {
  id: string
  kind: K
  name: string
  entry: EntryOf[K]
  version: number
  withdrawnAt: string | null
}

type Stored = { id: string; kind: EntryKind; name: string; entry: string; version: number; withdrawn_at: string | null }

const opened = ({ withdrawn_at, entry, ...row }: Stored): CatalogueRow => ({
  ...row,
  entry: JSON.parse(entry),
  withdrawnAt: withdrawn_at,
})

/** The whole catalogue as the recipe engine takes it, without what was withdrawn. */
export async function readCatalogue(db: Db): Promise<Catalogue> {
  const rows = await db
    .selectFrom('catalogue')
    .select(['kind', 'entry'])
    .where('withdrawn_at', 'is', null)
    .orderBy('name')
    .execute()
  const entries = <K extends EntryKind>(kind: K): EntryOf[K][] =>
    rows.filter(row => row.kind === kind).map(row => JSON.parse(row.entry))
  return { fibres: entries('fibre'), substances: entries('substance'), rules: entries('rule') }
}

export async function findEntry(db: Db, id: string): Promise<CatalogueRow | undefined> {
  const row = await db.selectFrom('catalogue').selectAll().where('id', '=', id).executeTakeFirst()
  return row && opened(row)
}

export async function listEntries(db: Db): Promise<CatalogueRow[]> {
  return (await db.selectFrom('catalogue').selectAll().orderBy('name').execute()).map(opened)
}

/** Puts in the entries that the file does not have yet; what the dyer has corrected stays as it is. */
export async function fillCatalogue(db: Db, first: Catalogue, at: string): Promise<void> {
  const entries = [
    ...first.fibres.map(entry => ({ kind: 'fibre' as const, entry })),
    ...first.substances.map(entry => ({ kind: 'substance' as const, entry })),
    ...first.rules.map(entry => ({ kind: 'rule' as const, entry })),
  ]
  const known = new Set((await db.selectFrom('catalogue').select('id').execute()).map(row => row.id))
  for (const { kind, entry } of entries.filter(({ entry }) => !known.has(entry.id))) {
    const document = JSON.stringify(entry)
    await db
      .insertInto('catalogue')
      .values({ id: entry.id, kind, name: entry.name, entry: document, withdrawn_at: null })
      .execute()
    await db
      .insertInto('catalogue_change')
      .values({ entry_id: entry.id, at, worker_id: null, why: 'first contents', was: null, became: document })
      .execute()
  }
}

/** Corrects an entry; the wording before stays in its changes. */
export async function changeEntry(
  db: Db,
  by: By,
  id: string,
  version: number,
  entry: EntryOf[EntryKind],
  why: string,
): Promise<void> {
  const before = await db.selectFrom('catalogue').selectAll().where('id', '=', id).executeTakeFirst()
  if (!before) throw new Refusal('not-found', 'There is no such entry in the catalogue.')
  if (before.version !== version) {
    throw new Refusal(
      'conflict',
      `"${before.name}" was changed elsewhere while you were typing. Look at it again first.`,
    )
  }
  const document = JSON.stringify(entry)
  await db
    .updateTable('catalogue')
    .set({ entry: document, name: entry.name, version: version + 1 })
    .where('id', '=', id)
    .execute()
  await db
    .insertInto('catalogue_change')
    .values({ entry_id: id, at: by.at, worker_id: by.workerId, why, was: before.entry, became: document })
    .execute()
}

export async function addEntry(db: Db, by: By, kind: EntryKind, entry: EntryOf[EntryKind], why: string): Promise<void> {
  const known = await db.selectFrom('catalogue').select('id').where('id', '=', entry.id).executeTakeFirst()
  if (known) throw new Refusal('conflict', `The catalogue already has an entry "${entry.id}".`, 'id')
  const document = JSON.stringify(entry)
  await db
    .insertInto('catalogue')
    .values({ id: entry.id, kind, name: entry.name, entry: document, withdrawn_at: null })
    .execute()
  await db
    .insertInto('catalogue_change')
    .values({ entry_id: entry.id, at: by.at, worker_id: by.workerId, why, was: null, became: document })
    .execute()
}
