/** The chain of custody: each record that never changes gets a link, the hash of the link before it and of the record. */
import { createHash } from 'node:crypto'
import { type RawBuilder, sql } from 'kysely'
import type { Db, Trx } from './db.js'

/** A table whose rows are linked by these columns; `parts` are the rows of a second table that belong to each of them. */
type Chained = {
  table: string
  columns: readonly string[]
  parts?: { table: string; of: string; columns: readonly string[] }
}

/**
 * What is linked, in the order in which records of one transaction are. Only columns that are never changed, and none
 * that a person's erasure empties. A column that a later migration adds is not put into an old list: its links are made.
 */
const CHAINED: readonly Chained[] = [
  { table: 'lot', columns: ['commission_id', 'fibre_id'] },
  { table: 'bundle', columns: ['lot_id', 'n', 'ties_in', 'dry_weight_g', 'weight_typed'] },
  { table: 'recipe', columns: ['lot_id', 'part_of', 'dry_weight_g', 'job', 'answer', 'made_at', 'made_by'] },
  {
    table: 'load',
    columns: ['pot_id', 'recipe_id', 'dry_weight_g', 'laid_at', 'laid_by'],
    parts: { table: 'load_bundle', of: 'load_id', columns: ['bundle_id', 'from_place', 'ties_on'] },
  },
  {
    table: 'bath_log',
    columns: [
      ...['load_id', 'at', 'entered_at', 'worker_id', 'kind', 'step_n', 'substance_id'],
      ...['amount', 'unit', 'typed', 'water', 'words', 'undoes'],
    ],
  },
  { table: 'load_weighed', columns: ['load_id', 'n', 'amount', 'typed', 'at', 'worker_id'] },
  { table: 'outcome', columns: ['lot_id', 'at', 'worker_id', 'swatch', 'nearness', 'words'] },
  {
    table: 'hand_back',
    columns: ['commission_id', 'worker_id', 'at'],
    parts: {
      table: 'hand_back_bundle',
      of: 'hand_back_id',
      columns: [
        ...['bundle_id', 'found', 'tied_again', 'ties_in', 'ties_back', 'ties_replaced'],
        ...['weight_g', 'condition', 'explanation'],
      ],
    },
  },
  { table: 'wet_cloth', columns: ['lot_id', 'grade', 'least', 'why', 'words', 'at', 'worker_id'] },
  { table: 'day_promise', columns: ['lot_id', 'day', 'earliest', 'how', 'told_on', 'at', 'worker_id'] },
  { table: 'step_overrun', columns: ['load_id', 'step_n', 'minutes', 'at', 'worker_id'] },
  {
    table: 'incident',
    columns: ['lot_id', 'kind', 'found_at', 'entered_at', 'worker_id', 'what_happened'],
    parts: { table: 'incident_bundle', of: 'incident_id', columns: ['bundle_id'] },
  },
  { table: 'incident_word', columns: ['incident_id', 'kind', 'at', 'entered_at', 'worker_id'] },
  { table: 'spot_move', columns: ['bundle_id', 'from_spot_id', 'to_spot_id', 'at', 'worker_id', 'why'] },
  { table: 'shelf_count_bundle', columns: ['count_id', 'bundle_id'] },
  { table: 'shelf_count_seen', columns: ['count_id', 'bundle_id', 'seen', 'at', 'worker_id'] },
  { table: 'shelf_count_finding', columns: ['count_id', 'bundle_id', 'finding'] },
  { table: 'shelf_count_answer', columns: ['finding_id', 'answer', 'incident_id', 'at', 'worker_id'] },
  {
    table: 'tie_event',
    columns: [
      ...['bundle_id', 'kind', 'count', 'tied', 'load_id', 'at', 'worker_id', 'words'],
      ...['ties_on', 'ties_off', 'ties_lost', 'ties_replaced'],
    ],
  },
  { table: 'move', columns: ['bundle_id', 'from_place', 'to_place', 'load_id', 'at', 'worker_id', 'why'] },
  {
    table: 'history',
    columns: ['at', 'worker_id', 'commission_id', 'lot_id', 'load_id', 'what', 'was', 'became', 'words'],
  },
]

export const CHAINED_TABLES = CHAINED.map(({ table }) => table)

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
  const { table, columns, parts } = chained
  const { rows } = await sql<Row & { id: number }>`
    select id, ${list(columns)} from ${sql.table(table)} where id > ${after} order by id limit ${most}`.execute(db)
  const recorded: Recorded[] = []
  for (const row of rows) {
    const own = columns.map(column => row[column])
    const facts = parts ? [...own, await partsOf(db, parts, row.id)] : own
    recorded.push({ rowId: row.id, facts: JSON.stringify(facts) })
  }
  return recorded
}

async function partsOf(db: Db, parts: NonNullable<Chained['parts']>, id: number): Promise<unknown[][]> {
  const { rows } = await sql<Row>`
    select ${list(parts.columns)} from ${sql.table(parts.table)} where ${sql.ref(parts.of)} = ${id} order by 1`.execute(
    db,
  )
  return rows.map(row => parts.columns.map(column => row[column]))
}

type Newest = Record<string, number>

const NEWEST = sql<Newest>`select ${sql.join(
  CHAINED_TABLES.map(table => sql`coalesce((select max(id) from ${sql.table(table)}), 0) as ${sql.ref(table)}`),
)}`

const newest = async (db: Db): Promise<Newest> => (await NEWEST.execute(db)).rows[0] ?? {}

async function lastLink(db: Db): Promise<Link> {
  const { rows } = await sql<Link>`select n, hash from chain order by n desc limit 1`.execute(db)
  return rows[0] ?? START
}

/** Links everything written since these numbers. */
async function linkAfter(trx: Trx, before: Newest): Promise<number> {
  let link: Link | undefined
  let made = 0
  for (const chained of CHAINED) {
    for (let after = before[chained.table] ?? 0, records: Recorded[]; ; after = records.at(-1)?.rowId ?? after) {
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

/** Records that are older than the chain itself are linked once, at the first start that knows it. Answers how many. */
export const linkOlderRecords = (db: Db): Promise<number> =>
  db.transaction().execute(async trx => ((await lastLink(trx)).n > 0 ? 0 : linkAfter(trx, {})))

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
  for (let after = 0, upTo = 0; ; after = upTo) {
    const records = await recordsAfter(db, chained, after)
    upTo = records.length < AT_ONCE ? Number.MAX_SAFE_INTEGER : (records.at(-1)?.rowId ?? after)
    const links = await linksOf(db, table, after, upTo)
    for (const { rowId, facts } of records) {
      const link = links.get(rowId)
      if (!link) broken.push(`${nameOf(table)} ${rowId} was written with another program`)
      else if (!linkHash(link.before ?? START.hash, table, rowId, facts).equals(link.hash))
        broken.push(`${nameOf(table)} ${rowId} was changed with another program`)
      links.delete(rowId)
    }
    for (const rowId of links.keys()) broken.push(`${nameOf(table)} ${rowId} was removed with another program`)
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

const NAMES: Readonly<Record<string, string>> = {
  bath_log: 'line of a bath log',
  load_weighed: 'weighing',
  hand_back: 'hand-back',
  wet_cloth: 'wet cloth',
  day_promise: 'promised day',
  step_overrun: 'step that ran over',
  incident_word: 'line about an incident',
  history: 'line of the history',
  spot_move: 'change of spot',
  tie_event: 'line of the tie board',
  shelf_count_bundle: 'line of a shelf count',
  shelf_count_seen: 'sighting of a shelf count',
  shelf_count_finding: 'finding of a shelf count',
  shelf_count_answer: 'answer to a shelf count',
}
const nameOf = (table: string): string => NAMES[table] ?? table
