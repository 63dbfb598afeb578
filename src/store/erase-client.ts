/** Erasing a person: who they are goes, what was done with their fibre stays as numbers and measures. */
import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { sql } from 'kysely'
import { fold } from '../domain/fold.js'
import { Refusal } from '../domain/refusal.js'
import { aboutClient, OWNED } from './client-data.js'
import { erasedAt, findClient } from './clients.js'
import type { By, Db, Trx } from './db.js'
import { withdrawAllOfClient } from './photographs.js'
import { sealOf } from './receipt-seal.js'
import { noteTextOfClient } from './search.js'

/** Why somebody cannot be erased now, in a sentence; null when they can. */
export async function whyNotErased(db: Db, clientId: number): Promise<string | null> {
  if ((await erasedAt(db, clientId)) !== null) return 'This client was erased already.'
  const ofClient = db
    .selectFrom('commission')
    .innerJoin('lot', 'lot.commission_id', 'commission.id')
    .where('client_id', '=', clientId)
  const open = await ofClient.select('lot.id').where('lot.closed_at', 'is', null).execute()
  if (open.length > 0)
    return `Fibre of theirs is still here (lot ${open.map(({ id }) => id).join(', lot ')}). Hand it back first.`
  const mistaken = await db
    .selectFrom('correction')
    .innerJoin('lot', 'lot.commission_id', 'correction.row_id')
    .select('lot.commission_id as id')
    .where('of_table', '=', 'commission')
    .where('was', '=', clientId)
    .where('lot.closed_at', 'is', null)
    .executeTakeFirst()
  if (mistaken)
    return `Commission ${mistaken.id} was written down for them by mistake, and its receipts bear their name. They can be erased once it has gone back.`
  const incidents = await ofClient
    .innerJoin('incident', 'incident.lot_id', 'lot.id')
    .select('incident.id')
    .where('incident.closed_at', 'is', null)
    .execute()
  if (incidents.length > 0) return `Incident ${incidents[0]?.id} about their fibre is not closed. Settle it first.`
  return null
}

const GONE = 'erased'

/** What was wished, agreed, promised, told and noted about the person, in words: each becomes "erased". */
const SAID: Readonly<Record<string, readonly string[]>> = {
  unmet_wish: ['words', 'decision', 'decided_by'],
  agreement: ['words'],
  day_promise: ['words'],
  plan_pin: ['agreed'],
  client_told: ['words'],
  incident_word: ['how', 'words'],
  release_mark: ['reason'],
  hand_back: ['words', 'reference', 'not_signed_because'],
  hand_back_note: ['words'],
}

async function eraseWhatWasSaid(trx: Trx, clientId: number): Promise<void> {
  for (const [table, columns] of Object.entries(SAID))
    for (const column of columns)
      await sql`update ${sql.table(table)} set ${sql.ref(column)} = ${GONE}
        where ${sql.ref(column)} <> '' and (${aboutClient(OWNED[table] ?? 'false', clientId)})`.execute(trx)
}

/** Erases a client and answers the hashes of the photographs whose pictures have to be taken away. */
export async function eraseClient(trx: Trx, by: By, clientId: number): Promise<string[]> {
  const client = await findClient(trx, clientId)
  if (!client) throw new Refusal('not-found', 'There is no such client.')
  const why = await whyNotErased(trx, clientId)
  if (why !== null) throw new Refusal('conflict', why)
  const hashes = await withdrawAllOfClient(trx, by, clientId)
  await emptyCommissions(trx, clientId)
  await trx.deleteFrom('client_change').where('client_id', '=', clientId).execute()
  await trx.deleteFrom('timed_wish').where('client_id', '=', clientId).execute()
  await trx
    .updateTable('client_page')
    .set({ off_at: by.at, off_by: by.workerId })
    .where('client_id', '=', clientId)
    .where('off_at', 'is', null)
    .execute()
  const name = `erased client ${clientId}`
  await trx
    .updateTable('client')
    .set({
      name,
      name_folded: fold(name),
      mark: '',
      contact: '',
      wishes: '',
      wishes_answer: 'not asked',
      wishes_said_by: '',
      wishes_at: '',
      photographs: 'no',
      shares_bath: 'not asked',
      note: '',
      version: client.version + 1,
    })
    .where('id', '=', clientId)
    .execute()
  await noteTextOfClient(trx, clientId)
  await sql`insert into lot_text (lot_text) values ('optimize')`.execute(trx)
  await trx
    .insertInto('erasure')
    .values({ client_id: clientId, client_made_at: client.madeAt, at: by.at, worker_id: by.workerId })
    .execute()
  return hashes
}

/** Who brought it, who took it away, what was wished and said, what the papers held. */
async function emptyCommissions(trx: Trx, clientId: number): Promise<void> {
  const own = trx.selectFrom('commission').select('id').where('client_id', '=', clientId)
  const handBacks = trx.selectFrom('hand_back').select('id').where('commission_id', 'in', own)
  await trx
    .updateTable('arrival')
    .set({ brought_by: '', authority: '', gathered: '', gathered_may_be_told: 0 })
    .where('commission_id', 'in', own)
    .execute()
  await trx.updateTable('commission').set({ note: '' }).where('client_id', '=', clientId).execute()
  await eraseReceipts(trx, clientId)
  await eraseWhatWasSaid(trx, clientId)
  await trx.deleteFrom('hand_back_person').where('hand_back_id', 'in', handBacks).execute()
}

/** Those of a commission that was once written down for them, too. Their words go with the grain of their seals; the seals stay, so that the chain of custody still fits. */
async function eraseReceipts(trx: Trx, clientId: number): Promise<void> {
  const receipts = await trx
    .selectFrom('receipt')
    .innerJoin('commission', 'commission.id', 'receipt.commission_id')
    .select(['receipt.id', 'content', 'grain', 'seal'])
    .where(({ or, eb, selectFrom }) =>
      or([
        eb('client_id', '=', clientId),
        eb(
          'commission.id',
          'in',
          selectFrom('correction').select('row_id').where('of_table', '=', 'commission').where('was', '=', clientId),
        ),
      ]),
    )
    .execute()
  for (const receipt of receipts) {
    const erased = { content: JSON.stringify(GONE), grain: '', seal: sealOf(receipt) }
    await trx.updateTable('receipt').set(erased).where('id', '=', receipt.id).execute()
  }
}

/** What was erased is gone from the journal beside the file as well. */
export async function forget(db: Db): Promise<void> {
  await sql`pragma wal_checkpoint(truncate)`.execute(db)
}

/** Those who were erased, kept beside the database: a backup from before still knows them. */
const LIST = 'erased-clients.json'
type Erased = { clientId: number; clientMadeAt: string; at: string }

/** Writes down beside the database who was erased, so that it outlives a restore. */
export async function listErased(db: Db, dataFolder: string): Promise<void> {
  const known = readErased(dataFolder)
  const rows = await db
    .selectFrom('erasure')
    .select(['client_id as clientId', 'client_made_at as clientMadeAt', 'at'])
    .execute()
  const fresh = rows.filter(row => !known.some(one => isSame(one, row)))
  if (fresh.length === 0) return
  mkdirSync(dataFolder, { recursive: true, mode: 0o700 })
  const file = join(dataFolder, LIST)
  writeFileSync(`${file}.part`, JSON.stringify([...known, ...fresh], null, 1), { mode: 0o600, flush: true })
  renameSync(`${file}.part`, file)
}

const isSame = (one: Erased, other: Erased): boolean =>
  one.clientId === other.clientId && one.clientMadeAt === other.clientMadeAt

function readErased(dataFolder: string): Erased[] {
  const file = join(dataFolder, LIST)
  return existsSync(file) ? (JSON.parse(readFileSync(file, 'utf8')) as Erased[]) : []
}

/** After a restore: erases again whoever the backup still knows. Answers how many, and the pictures to take away. */
export async function eraseAgain(trx: Trx, dataFolder: string): Promise<{ count: number; hashes: string[] }> {
  const hashes: string[] = []
  let count = 0
  for (const { clientId, clientMadeAt, at } of readErased(dataFolder)) {
    const client = await findClient(trx, clientId)
    if (!client || client.madeAt !== clientMadeAt || (await whyNotErased(trx, clientId)) !== null) continue
    const worker = await trx.selectFrom('worker').select('id').orderBy('id').executeTakeFirstOrThrow()
    hashes.push(...(await eraseClient(trx, { workerId: worker.id, at }, clientId)))
    count += 1
  }
  return { count, hashes }
}
