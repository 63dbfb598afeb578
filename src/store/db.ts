import { mkdirSync } from 'node:fs'
import { dirname } from 'node:path'
import BetterSqlite3, { type Database as Raw } from 'better-sqlite3'
import { Kysely, type LogConfig, type SqliteDatabase, SqliteDialect, type Transaction } from 'kysely'
import { Refusal } from '../domain/refusal.js'
import { linked } from './chain.js'
import { migrate, readMigrations, schemaOf } from './migrate.js'
import type { Tables } from './schema.js'

export type Db = Kysely<Tables>
export type Trx = Transaction<Tables>

/** Who does something, and when: every writing function takes it. */
export type By = { workerId: number; at: string }

export type Opened = { raw: Raw; db: Db; schema: { from: number; to: number }; close: () => Promise<void> }

/** "TfT1": tells our files from anybody else's. */
export const APPLICATION_ID = 0x54665431
const OLDEST_SQLITE = [3, 51, 3] as const

/**
 * The pragmas of every connection. FULL is said after WAL, because SQLite is built here to fall back to NORMAL once
 * the journal is a WAL, and then an acknowledged drop-off could be lost with the power (SQLite documentation, pragma
 * synchronous). secure_delete: text that is erased is gone from the file. recursive_triggers: without them a row that
 * is never to be deleted could still be replaced (SQLite documentation, lang_conflict: REPLACE).
 */
export function prepare(raw: Raw): Raw {
  raw.pragma('busy_timeout = 5000')
  raw.pragma('journal_mode = WAL')
  raw.pragma('synchronous = FULL')
  raw.pragma('foreign_keys = ON')
  raw.pragma('recursive_triggers = ON')
  raw.pragma('trusted_schema = OFF')
  raw.pragma('secure_delete = ON')
  return raw
}

/** Node 24.19 and later end a program in the middle of its work when an SQL statement of better-sqlite3 12 is let go. */
const NODE_FROM = 20
const NODE_BEFORE = 23

/** Says no before anything is written: the process would be gone at a moment that nobody chooses. */
export function checkNode(version: string): void {
  const major = Number.parseInt(version, 10)
  if (major >= NODE_FROM && major < NODE_BEFORE) return
  throw new Refusal(
    'not-now',
    `This is Node ${version}. Tie for Tie needs Node 20 (20.19 or later) or Node 22: the database library it stands on does not work with others yet.`,
  )
}

function checkLibrary(raw: Raw): void {
  const version = String(raw.prepare('select sqlite_version()').pluck().get())
  const [major = 0, minor = 0, patch = 0] = version.split('.').map(Number)
  const [a, b, c] = OLDEST_SQLITE
  const tooOld = major !== a ? major < a : minor !== b ? minor < b : patch < c
  if (tooOld)
    throw new Error(`SQLite ${version} can damage a database in WAL mode; ${OLDEST_SQLITE.join('.')} is needed`)
}

function checkFile(raw: Raw, file: string): void {
  const id = Number(raw.pragma('application_id', { simple: true }))
  const tables = Number(raw.prepare('select count(*) from sqlite_master').pluck().get())
  if (id !== APPLICATION_ID && tables > 0) throw new Error(`${file} is a database, but not one of Tie for Tie`)
  const sound = String(raw.pragma('quick_check(1)', { simple: true }))
  const broken = raw.pragma('foreign_key_check') as unknown[]
  if (sound !== 'ok' || broken.length > 0) {
    throw new Error(`${file} is damaged (${sound}). Nothing was changed. Restore the newest backup, see README.`)
  }
  raw.pragma(`application_id = ${APPLICATION_ID}`)
}

/** Statements kept ready, by their SQL; lists of varying length make many, so the oldest go. */
const MOST_STATEMENTS = 400

/**
 * Kysely prepares its SQL anew for each query, which costs more than most of our queries; here a statement is
 * prepared once. None of them is stepped through while another runs, so sharing is safe.
 */
function preparedOnce(raw: Raw): SqliteDatabase {
  const ready = new Map<string, ReturnType<Raw['prepare']>>()
  return {
    close: () => raw.close(),
    prepare(sql) {
      const known = ready.get(sql)
      if (known) return known
      const statement = raw.prepare(sql)
      const [oldest] = ready.keys()
      if (ready.size >= MOST_STATEMENTS && oldest !== undefined) ready.delete(oldest)
      ready.set(sql, statement)
      return statement
    },
  }
}

/** The connection under a database, for `ready` queries; none where every query is to be watched by a log. */
const connections = new WeakMap<Db, { raw: Raw; answer: Answer }>()

export function kyselyOn(raw: Raw, log: LogConfig = []): Db {
  const db = new Kysely<Tables>({ dialect: new SqliteDialect({ database: preparedOnce(raw) }), log })
  if (Array.isArray(log)) connections.set(db, { raw, answer: answersOf(raw) })
  return db
}

type Row = Record<string, unknown>
type Answer = (sql: string, parameters: readonly unknown[]) => Row[]

/**
 * Rows read as lists and named here: the library's own objects are dictionaries, slow to make and slow to read.
 * `ready` queries are few, so all their statements are kept.
 */
function answersOf(raw: Raw): Answer {
  const known = new Map<string, { statement: ReturnType<Raw['prepare']>; names: string[] }>()
  const prepared = (sql: string) => {
    const statement = raw.prepare(sql).raw()
    const fresh = { statement, names: statement.columns().map(({ name }) => name) }
    known.set(sql, fresh)
    return fresh
  }
  return (sql, parameters) => {
    const { statement, names } = known.get(sql) ?? prepared(sql)
    return (statement.all(parameters) as unknown[][]).map(values => named(names, values))
  }
}

function named(names: readonly string[], values: readonly unknown[]): Row {
  const row: Row = {}
  let n = 0
  for (const name of names) row[name] = values[n++]
  return row
}

/**
 * Answers a query straight from the connection, when nothing else is going on there; undefined inside a transaction,
 * and while another one is open, whose unfinished work must not be seen: then Kysely waits for its turn.
 */
export function answerAtOnce(db: Db, sql: string, parameters: readonly unknown[]): Row[] | undefined {
  const connection = connections.get(db)
  return connection === undefined || connection.raw.inTransaction ? undefined : connection.answer(sql, parameters)
}

/**
 * Opens the one database of a data folder, checks it and brings it to this program's schema. Also one in memory: an
 * empty one (':memory:') or a copy, from the bytes of another.
 */
export function openDb(file: string | Buffer): Opened {
  checkNode(process.versions.node)
  const inMemory = typeof file !== 'string' || file === ':memory:'
  if (!inMemory) mkdirSync(dirname(file), { recursive: true, mode: 0o700 })
  const raw = new BetterSqlite3(file)
  try {
    checkLibrary(raw)
    checkFile(raw, inMemory ? 'memory' : file)
    prepare(raw)
    const schema = migrate(raw)
    const db = kyselyOn(raw)
    return { raw, db, schema, close: () => db.destroy() }
  } catch (fault) {
    raw.close()
    throw fault
  }
}

/**
 * Opens records that are there only to read them, beside a program that may be serving them: nothing is made, checked
 * through or brought up to date, so records of another schema are refused.
 */
export function openToRead(file: string): Pick<Opened, 'db' | 'close'> {
  checkNode(process.versions.node)
  const raw = new BetterSqlite3(file, { readonly: true, fileMustExist: true })
  try {
    checkLibrary(raw)
    const ours = Number(raw.pragma('application_id', { simple: true })) === APPLICATION_ID
    if (!ours) throw new Refusal('wrong', `${file} is not a database of Tie for Tie.`)
    const [schema, newest] = [schemaOf(raw), readMigrations().at(-1)?.n ?? 0]
    if (schema !== newest)
      throw new Refusal(
        'not-now',
        `The records in ${file} are of another version (schema ${schema}; this program knows ${newest}). Start this version's program on them once, or use the newer one.`,
      )
    const db = kyselyOn(raw)
    return { db, close: () => db.destroy() }
  } catch (fault) {
    raw.close()
    throw fault
  }
}

/**
 * One action, one transaction, whose custody records are linked to the chain before it ends. Inside it only `trx` may be
 * used: the outer db would wait for itself for ever.
 */
export const inOneStep = <T>(db: Db, act: (trx: Trx) => Promise<T>): Promise<T> =>
  db.transaction().execute(trx => linked(trx, act))
