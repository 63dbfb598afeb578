import type { Selectable } from 'kysely'
import {
  type Offcuts,
  type Photographs,
  type Settles,
  type SharesBath,
  type WishesAnswer,
  wishesAnswerOf,
} from '../domain/client.js'
import { fold } from '../domain/fold.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db } from './db.js'
import { difference } from './history.js'
import type { ClientTable } from './schema.js'
import { noteTextOfClient } from './search.js'

export type Client = {
  name: string
  mark: string
  contact: string
  settles: Settles
  wishes: string
  photographs: Photographs
  note: string
  /** Left out, the client was not asked; wishes that were told are told anyway. */
  wishesAnswer?: WishesAnswer
  /** Who said the wishes; '' is the client. */
  wishesSaidBy?: string
  offcuts?: Offcuts
  /** Whether the fibre may share a bath with that of others; left out, the client was not asked. */
  sharesBath?: SharesBath
}
export type KnownClient = Required<Client> & {
  id: number
  madeAt: string
  version: number
  /** When the wishes were said as they stand, or ''. */
  wishesAt: string
}

const opened = (row: Selectable<ClientTable>): KnownClient => ({
  id: row.id,
  name: row.name,
  mark: row.mark,
  contact: row.contact,
  settles: row.settles,
  wishes: row.wishes,
  photographs: row.photographs,
  note: row.note,
  wishesAnswer: row.wishes_answer,
  wishesSaidBy: row.wishes_said_by,
  wishesAt: row.wishes_at,
  offcuts: row.offcuts,
  sharesBath: row.shares_bath,
  madeAt: row.made_at,
  version: row.version,
})

export async function findClient(db: Db, id: number): Promise<KnownClient | undefined> {
  const row = await db.selectFrom('client').selectAll().where('id', '=', id).executeTakeFirst()
  return row && opened(row)
}

/**
 * Clients whose name holds these words, in any case and with or without accents; all of them for no words. Whoever was
 * erased brings nothing more, and is not among them.
 */
export async function findClients(db: Db, words: string, limit = 100): Promise<KnownClient[]> {
  const erased = db.selectFrom('erasure').select('client_id')
  const found = db
    .selectFrom('client')
    .selectAll()
    .where('id', 'not in', erased)
    .orderBy('name_folded')
    .orderBy('id')
    .limit(limit)
  const folded = fold(words)
  const rows = await (folded === ''
    ? found
    : found.where(({ eb, fn, val }) => eb(fn<number>('instr', ['name_folded', val(folded)]), '>', 0))
  ).execute()
  return rows.map(opened)
}

/** Those who bear exactly this name: two may, so the answer is a list. */
export async function clientsNamed(db: Db, name: string): Promise<KnownClient[]> {
  const rows = await db.selectFrom('client').selectAll().where('name_folded', '=', fold(name)).orderBy('id').execute()
  return rows.map(opened)
}

const columnsOf = ({
  wishesAnswer,
  wishesSaidBy = '',
  offcuts = 'back to the client',
  sharesBath = 'not asked',
  ...client
}: Client) => ({
  ...client,
  shares_bath: sharesBath,
  name_folded: fold(client.name),
  wishes_answer: wishesAnswerOf(client.wishes, wishesAnswer),
  wishes_said_by: wishesSaidBy,
  offcuts,
})

export async function addClient(db: Db, by: By, client: Client): Promise<number> {
  const { id } = await db
    .insertInto('client')
    .values({
      ...columnsOf(client),
      wishes_at: wishesAnswerOf(client.wishes, client.wishesAnswer) === 'not asked' ? '' : by.at,
      made_at: by.at,
    })
    .returning('id')
    .executeTakeFirstOrThrow()
  await db
    .insertInto('client_change')
    .values({
      client_id: id,
      at: by.at,
      worker_id: by.workerId,
      what: 'written down',
      was: '{}',
      became: JSON.stringify(client),
    })
    .execute()
  return id
}

export async function changeClient(db: Db, by: By, id: number, version: number, client: Client): Promise<void> {
  const before = await findClient(db, id)
  if (!before) throw new Refusal('not-found', 'There is no such client.')
  await refuseErased(db, id)
  if (before.version !== version) {
    throw new Refusal(
      'conflict',
      `${before.name} was changed elsewhere while you were typing. Look at what stands there now, then send yours again.`,
    )
  }
  const { id: _, madeAt: __, version: ___, wishesAt, ...was } = before
  const now = { ...client, wishesAnswer: wishesAnswerOf(client.wishes, client.wishesAnswer ?? before.wishesAnswer) }
  const changed = difference<Client>(was, now)
  if (!changed) return
  await db
    .updateTable('client')
    .set({
      ...columnsOf({ ...was, ...now }),
      wishes_at: 'wishes' in changed.became || 'wishesAnswer' in changed.became ? by.at : wishesAt,
      version: version + 1,
    })
    .where('id', '=', id)
    .execute()
  await db
    .insertInto('client_change')
    .values({
      client_id: id,
      at: by.at,
      worker_id: by.workerId,
      what: 'changed',
      was: JSON.stringify(changed.was),
      became: JSON.stringify(changed.became),
    })
    .execute()
  if (client.name !== before.name || client.mark !== before.mark) await noteTextOfClient(db, id)
}

/** When this client was erased; null while they are not. */
export async function erasedAt(db: Db, id: number): Promise<string | null> {
  const row = await db.selectFrom('erasure').select('at').where('client_id', '=', id).executeTakeFirst()
  return row?.at ?? null
}

/** Nobody who was erased is written down again under the old number. */
export async function refuseErased(db: Db, id: number): Promise<void> {
  if ((await erasedAt(db, id)) !== null)
    throw new Refusal('conflict', 'This client was erased: if they come again, write them down as a new one.')
}

export type ClientChange = { at: string; who: string; what: string; was: Partial<Client>; became: Partial<Client> }

export async function changesOfClient(db: Db, id: number): Promise<ClientChange[]> {
  const rows = await db
    .selectFrom('client_change')
    .innerJoin('worker', 'worker.id', 'client_change.worker_id')
    .select(['client_change.at', 'worker.name as who', 'what', 'was', 'became'])
    .where('client_id', '=', id)
    .orderBy('client_change.id')
    .execute()
  return rows.map(row => ({ ...row, was: JSON.parse(row.was), became: JSON.parse(row.became) }))
}
