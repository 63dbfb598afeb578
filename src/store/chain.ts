/** The chain of custody: each record that never changes gets a link, the hash of the link before it and of the record. */
import { createHash } from 'node:crypto'
import { type RawBuilder, sql } from 'kysely'
import { CHAINED, CHAINED_TABLES, type Chained, nameOfRecord } from './chained.js'
import type { Db, Trx } from './db.js'
import { sealOf } from './receipt-seal.js'

type Link = { n: number; hash: Buffer }
const START: Link = { n: 0, hash: Buffer.alloc(32) }

const linkHash = (before: Buffer, table: string, rowId: number, facts: string): Buffer =>
  createHash('sha256').update(before).update(`${table}\n${rowId}\n${facts}`).digest()

/** How many records are read at once: a kept recipe is some ten thousand characters. */
const AT_ONCE = 500

type Row = Record<string, unknown>
type Recorded = { rowId: number; facts: string }

const list = (columns: readonly string[]): RawBuilder<unknown> => sql.join(columns.map(column => sql.ref(column)))

/** Records of one table after a number, oldest first, as text that is the same for the same record for ever. */
async function recordsAfter(db: Db, chained: Chained, after: number, most = AT_ONCE): Promise<Recorded[]> {
  const { table, columns, parts, key = 'id' } = chained
  const read = chained.isSealed ? [...columns, 'content', 'grain', 'seal'] : columns
  const { rows } = await sql<Row & { id: number }>`
    select ${sql.ref(key)} as id, ${list(read)} from ${sql.table(table)}
    where ${sql.ref(key)} > ${after} order by 1 limit ${most}`.execute(db)
  if (chained.isPutRight) await asFirstWritten(db, table, rows)
  const recorded: Recorded[] = []
  for (const row of rows) {
    const own = columns.map(column => row[column])
    if (chained.isSealed) own.push(sealOf(row))
    const facts = parts ? [...own, await partsOf(db, parts, row.id)] : own
    recorded.push({ rowId: row.id, facts: JSON.stringify(facts) })
  }
  return recorded
}

type PutRight = { id: number; field: string; was: unknown; became: unknown }

/** Stands for what is not as its newest line of `correction` says: nothing that was ever linked. */
const NOT_AS_PUT_RIGHT = { changed: 'with another program' }

/** Puts what these rows said at first in the place of what was put right since. */
async function asFirstWritten(db: Db, table: string, rows: readonly (Row & { id: number })[]): Promise<void> {
  const [first, last] = [rows[0]?.id ?? 0, rows.at(-1)?.id ?? 0]
  const { rows: lines } = await sql<PutRight>`
    select row_id as id, field, was, became from correction
    where of_table = ${table} and row_id between ${first} and ${last} order by correction.id desc`.execute(db)
  const known = new Map(rows.map(row => [row.id, row]))
  for (const { id, field, was, became } of lines) {
    const row = known.get(id)
    if (row !== undefined) row[field] = row[field] === became ? was : NOT_AS_PUT_RIGHT
  }
}

async function partsOf(db: Db, parts: NonNullable<Chained['parts']>, id: number): Promise<unknown[][]> {
  const { rows } = await sql<Row>`
    select ${list(parts.columns)} from ${sql.table(parts.table)} where ${sql.ref(parts.of)} = ${id} order by 1`.execute(
    db,
  )
  return rows.map(row => parts.columns.map(column => row[column]))
}

type Newest = Record<string, number>
/** Before the first number of any table: tags begin at 0. */
const NONE = -1

const NEWEST = sql<Newest>`select ${sql.join(
  CHAINED.map(
    ({ table, key = 'id' }) =>
      sql`coalesce((select max(${sql.ref(key)}) from ${sql.table(table)}), ${NONE}) as ${sql.ref(table)}`,
  ),
)}`

const newest = async (db: Db): Promise<Newest> => (await NEWEST.execute(db)).rows[0] ?? {}

async function lastLink(db: Db): Promise<Link> {
  const { rows } = await sql<Link>`select n, hash from chain order by n desc limit 1`.execute(db)
  return rows[0] ?? START
}

/** Links everything written since these numbers. */
async function linkAfter(trx: Trx, before: Newest, tables: readonly Chained[] = CHAINED): Promise<number> {
  let link: Link | undefined
  let made = 0
  for (const chained of tables) {
    for (let after = before[chained.table] ?? NONE, records: Recorded[]; ; after = records.at(-1)?.rowId ?? after) {
      records = await recordsAfter(trx, chained, after)
      for (const { rowId, facts } of records) {
        const last: Link = link ?? (await lastLink(trx))
        link = { n: last.n + 1, hash: linkHash(last.hash, chained.table, rowId, facts) }
        await sql`insert into chain (n, of_table, row_id, hash)
          values (${link.n}, ${chained.table}, ${rowId}, ${link.hash})`.execute(trx)
        made += 1
      }
      if (records.length < AT_ONCE) break
    }
  }
  return made
}

/**
 * Does the work, and links the records that it wrote before the transaction ends. What some other program wrote
 * before stays without a link, and `check` names it.
 */
export async function linked<T>(trx: Trx, work: (trx: Trx) => Promise<T>): Promise<T> {
  const before = await newest(trx)
  const answer = await work(trx)
  const after = await newest(trx)
  if (CHAINED_TABLES.some(table => after[table] !== before[table])) await linkAfter(trx, before)
  return answer
}

/**
 * Records that are older than the chain, or than its going through their table, are linked once, at the first start that
 * knows it. Answers how many.
 */
export const linkOlderRecords = (db: Db): Promise<number> =>
  db.transaction().execute(async trx => {
    const begun = (await lastLink(trx)).n > 0 ? await tablesBegun(trx) : []
    const fresh = CHAINED.filter(({ table }) => !begun.includes(table))
    if (fresh.length === 0) return 0
    const made = await linkAfter(trx, await lastLinked(trx), fresh)
    const names = fresh.map(({ table }) => sql`(${table})`)
    await sql`insert or ignore into chain_table (of_table) values ${sql.join(names)}`.execute(trx)
    return made
  })

async function tablesBegun(db: Db): Promise<string[]> {
  const { rows } = await sql<{ table: string }>`select of_table as "table" from chain_table`.execute(db)
  return rows.map(({ table }) => table)
}

/** The newest record of each table that has a link. */
async function lastLinked(db: Db): Promise<Newest> {
  const { rows } = await sql<{ table: string; newest: number }>`
    select of_table as "table", max(row_id) as newest from chain group by of_table`.execute(db)
  return Object.fromEntries(rows.map(({ table, newest }) => [table, newest]))
}

/** What does not fit the chain, and its last link: who wrote that down elsewhere can see later that nothing was cut off. */
export type Walked = { links: number; head: string; broken: string[] }

export async function walkChain(db: Db): Promise<Walked> {
  const last = await lastLink(db)
  const { rows } = await sql<{ count: number }>`select count(*) as count from chain`.execute(db)
  const links = Number(rows[0]?.count ?? 0)
  const broken = links === last.n ? [] : [`${last.n - links} links of the chain were removed`]
  for (const chained of CHAINED) broken.push(...(await walkTable(db, chained)))
  return { links, head: last.hash.toString('hex').slice(0, 16), broken }
}

async function walkTable(db: Db, chained: Chained): Promise<string[]> {
  const { table } = chained
  const broken: string[] = []
  for (let after = NONE, upTo = NONE; ; after = upTo) {
    const records = await recordsAfter(db, chained, after)
    upTo = records.length < AT_ONCE ? Number.MAX_SAFE_INTEGER : (records.at(-1)?.rowId ?? after)
    const links = await linksOf(db, table, after, upTo)
    for (const { rowId, facts } of records) {
      const link = links.get(rowId)
      if (!link) broken.push(`${nameOfRecord(table, rowId)} was written with another program`)
      else if (!linkHash(link.before ?? START.hash, table, rowId, facts).equals(link.hash))
        broken.push(`${nameOfRecord(table, rowId)} was changed with another program`)
      links.delete(rowId)
    }
    for (const rowId of links.keys()) broken.push(`${nameOfRecord(table, rowId)} was removed with another program`)
    if (records.length < AT_ONCE) return broken
  }
}

async function linksOf(db: Db, table: string, after: number, upTo: number) {
  const { rows } = await sql<{ rowId: number; hash: Buffer; before: Buffer | null }>`
    select link.row_id as rowId, link.hash, earlier.hash as before
    from chain as link left join chain as earlier on earlier.n = link.n - 1
    where link.of_table = ${table} and link.row_id > ${after} and link.row_id <= ${upTo}`.execute(db)
  return new Map(rows.map(row => [row.rowId, row]))
}
