import type { Catalogue, Entry, EntryKind, EntryOf } from '../domain/catalogue.js'
import { mentionsOf } from '../domain/catalogue-entry.js'
import type { KnownIds } from '../domain/entry-sense.js'
import { readEntry } from '../domain/read-entry.js'
import { Refusal } from '../domain/refusal.js'
import { lotsHereWith } from './catalogue-uses.js'
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
  const entries: Entry[] = [
    ...first.fibres.map(entry => ({ kind: 'fibre' as const, entry })),
    ...first.substances.map(entry => ({ kind: 'substance' as const, entry })),
    ...first.rules.map(entry => ({ kind: 'rule' as const, entry })),
  ]
  const rows = await idsIn(db)
  const beside = entries.map(({ kind, entry }) => ({ id: entry.id, kind, withdrawn_at: null }))
  // A program must start even where its dyer withdrew what a newer entry goes with.
  const known = knownIn([...rows, ...beside], true)
  const there = new Set(rows.map(row => row.id))
  for (const { kind, entry } of entries.filter(({ entry }) => !there.has(entry.id))) {
    await insert(db, { workerId: null, at }, readEntry(kind, entry, known), 'first contents')
  }
}

const idsIn = (db: Db) => db.selectFrom('catalogue').select(['id', 'kind', 'withdrawn_at']).execute()

/** What an entry may name. One that is out of the choices itself may go on naming others that are. */
function knownIn(rows: { id: string; kind: EntryKind; withdrawn_at: string | null }[], isOut = false): KnownIds {
  const substances = rows.filter(row => row.kind === 'substance')
  const atHand = substances.filter(row => isOut || row.withdrawn_at === null)
  const ids = (some: { id: string }[]) => new Set(some.map(row => row.id))
  return {
    fibreIds: ids(rows.filter(row => row.kind === 'fibre')),
    substanceIds: ids(substances),
    atHandIds: ids(atHand),
  }
}

async function insert(
  db: Db,
  { workerId, at }: { workerId: number | null; at: string },
  { kind, entry }: Entry,
  why: string,
): Promise<void> {
  const document = JSON.stringify(entry)
  await db
    .insertInto('catalogue')
    .values({ id: entry.id, kind, name: entry.name, entry: document, withdrawn_at: null })
    .execute()
  await db
    .insertInto('catalogue_change')
    .values({ entry_id: entry.id, at, worker_id: workerId, why, was: null, became: document })
    .execute()
}

/**
 * Corrects an entry, once it has been read and found whole; the wording before stays in its changes.
 * Answers its name, and whether anything was different.
 */
export async function changeEntry(
  db: Db,
  by: By,
  id: string,
  version: number,
  json: unknown,
  why: string,
): Promise<{ name: string; changed: boolean }> {
  const before = await entryAt(db, id, version)
  const read = readEntry(before.kind, json, knownIn(await idsIn(db), before.withdrawn_at !== null))
  const { entry } = read
  if (entry.id !== id) throw new Error(`an entry cannot become another: ${id}, ${entry.id}`)
  const document = JSON.stringify(entry)
  if (document === before.entry) return { name: entry.name, changed: false }
  if (entry.name !== before.name) await nameIsFree(db, entry.name, id)
  if (read.kind === 'substance') await refuseAnotherClass(db, before, read.entry)
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
  return { name: entry.name, changed: true }
}

/** Adds an entry of the dyer's own, once it has been read and found whole; answers its name. */
export async function addEntry(db: Db, by: By, kind: EntryKind, json: unknown, why: string): Promise<string> {
  const read = readEntry(kind, json, knownIn(await idsIn(db)))
  const { id, name } = read.entry
  const known = await db.selectFrom('catalogue').select('id').where('id', '=', id).executeTakeFirst()
  if (known) throw new Refusal('conflict', `The catalogue already has an entry "${id}".`, 'id')
  await nameIsFree(db, name, id)
  await insert(db, by, read, why)
  return name
}

async function nameIsFree(db: Db, name: string, id: string): Promise<void> {
  const rows = await db.selectFrom('catalogue').select(['id', 'name']).where('id', '<>', id).execute()
  if (rows.some(row => row.name.toLowerCase() === name.toLowerCase()))
    throw new Refusal('wrong', `The catalogue already has “${name}”: give this one a name of its own.`, 'name')
}

/** A lot that is here was promised by this class of dye. */
async function refuseAnotherClass(db: Db, before: Stored, { dyeClass, name }: EntryOf['substance']): Promise<void> {
  const was: EntryOf['substance'] = JSON.parse(before.entry)
  if (was.dyeClass === dyeClass || (await lotsHereWith(db, before.id)).every(lot => !lot.asDye)) return
  throw new Refusal('wrong', `“${name}” is the dye of a lot that is here: its class cannot change yet.`, 'dyeClass')
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
  if (out) await refuseWithdrawal(db, before)
  else readEntry(before.kind, JSON.parse(before.entry), knownIn(await idsIn(db)))
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

/** A recipe could no longer be worked out without it. */
async function refuseWithdrawal(db: Db, { id, kind, name }: Stored): Promise<void> {
  if (kind === 'rule') return
  if ((await lotsHereWith(db, id)).length > 0)
    throw new Refusal('wrong', `“${name}” is needed by a lot that is here: it cannot be withdrawn yet.`)
  const [asking] = mentionsOf(id, await readCatalogue(db)).askedForBy
  if (asking) throw new Refusal('wrong', `“${name}” goes with ${asking.name}: take it out there first.`)
}

async function entryAt(db: Db, id: string, version: number): Promise<Stored> {
  const before = await db.selectFrom('catalogue').selectAll().where('id', '=', id).executeTakeFirst()
  if (!before) throw new Refusal('not-found', 'There is no such entry in the catalogue.')
  if (before.version === version) return before
  throw new Refusal('conflict', `"${before.name}" was changed elsewhere while you were typing. Look at it again first.`)
}
