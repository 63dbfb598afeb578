import { sql } from 'kysely'
import type { Catalogue, EntryKind, EntryOf } from '../domain/catalogue.js'
import type { Entry } from '../domain/catalogue-entry.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db } from './db.js'
import { noteTextOfEntry } from './search.js'

/** An entry as it stands, of one of the three kinds. */
export type CatalogueRow = {
  [K in EntryKind]: {
    id: string
    kind: K
    name: string
    entry: EntryOf[K]
    version: number
    withdrawnAt: string | null
  }
}[EntryKind]

type Stored = { id: string; kind: EntryKind; name: string; entry: string; version: number; withdrawn_at: string | null }

const opened = ({ id, kind, name, entry, version, withdrawn_at }: Stored): CatalogueRow => ({
  id,
  kind,
  name,
  entry: JSON.parse(entry),
  version,
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
  const before = await entryAt(db, id, version)
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
  if (entry.name !== before.name) await noteTextOfEntry(db, id)
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

export type EntryChange = { at: string; who: string | null; why: string; was: Entry | null; became: Entry }

/** Every wording that an entry had, newest first; `who` null: it came with the program. */
export async function changesOfEntry(db: Db, id: string): Promise<EntryChange[]> {
  const rows = await db
    .selectFrom('catalogue_change')
    .leftJoin('worker', 'worker.id', 'catalogue_change.worker_id')
    .innerJoin('catalogue', 'catalogue.id', 'catalogue_change.entry_id')
    .select(['catalogue_change.at', 'worker.name as who', 'why', 'was', 'became', 'catalogue.kind'])
    .where('entry_id', '=', id)
    .orderBy('catalogue_change.id', 'desc')
    .execute()
  return rows.map(({ kind, was, became, ...row }) => ({
    ...row,
    was: was === null ? null : { kind, entry: JSON.parse(was) },
    became: { kind, entry: JSON.parse(became) },
  }))
}

/** Numbers of the lots whose fibre or dye this is, and of those that have not gone back. */
export async function lotsWith(db: Db, id: string): Promise<{ all: number; here: number }> {
  const { all, here } = await db
    .selectFrom('lot')
    .select(({ fn }) => [fn.countAll<number>().as('all'), sql<number>`count(*) - count(closed_at)`.as('here')])
    .where(({ or, eb }) => or([eb('fibre_id', '=', id), eb('dye_id', '=', id)]))
    .executeTakeFirstOrThrow()
  return { all, here }
}

/** The first of "wild-hop", "wild-hop-2", "wild-hop-3" … that no entry has. */
export async function freeId(db: Db, wanted: string): Promise<string> {
  const known = await db.selectFrom('catalogue').select('id').execute()
  // "new" is the address of the page that adds an entry.
  const taken = new Set(['new', ...known.map(({ id }) => id)])
  for (let n = 1; ; n += 1) {
    const id = n === 1 ? wanted : `${wanted}-${n}`
    if (!taken.has(id)) return id
  }
}

/** Takes an entry out of the choices, or brings it back; what was reckoned with it keeps its figures. */
export async function withdraw(db: Db, by: By, id: string, version: number, out: boolean, why: string): Promise<void> {
  const before = await entryAt(db, id, version)
  if (out && (await lotsWith(db, id)).here > 0) {
    throw new Refusal(
      'wrong',
      `"${before.name}" is the fibre or the dye of a lot that is here: it cannot be withdrawn yet.`,
    )
  }
  await db
    .updateTable('catalogue')
    .set({ withdrawn_at: out ? by.at : null, version: version + 1 })
    .where('id', '=', id)
    .execute()
  const said = out ? `withdrawn: ${why}` : `brought back: ${why}`
  await db
    .insertInto('catalogue_change')
    .values({ entry_id: id, at: by.at, worker_id: by.workerId, why: said, was: before.entry, became: before.entry })
    .execute()
}

async function entryAt(db: Db, id: string, version: number): Promise<Stored> {
  const before = await db.selectFrom('catalogue').selectAll().where('id', '=', id).executeTakeFirst()
  if (!before) throw new Refusal('not-found', 'There is no such entry in the catalogue.')
  if (before.version === version) return before
  throw new Refusal('conflict', `"${before.name}" was changed elsewhere while you were typing. Look at it again first.`)
}
