import { chmodSync, copyFileSync, existsSync, mkdirSync, renameSync, rmSync } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import BetterSqlite3, { type Database as Raw } from 'better-sqlite3'
import { Refusal } from '../domain/refusal.js'
import {
  beginCopy,
  bringBack,
  type CopiedPhotographs,
  completeCopy,
  keepBeside,
  leaveNone,
  neededBy,
  refuseIfThere,
  refuseUnlessWhole,
} from './backup-photographs.js'
import { APPLICATION_ID } from './db.js'
import { flush } from './disk.js'
import { readMigrations, schemaOf } from './migrate.js'

export const DATABASE_NAME = 'tie-for-tie.sqlite'

/** What a copy holds: its schema, the rows of each table, and the last line of the history. */
export type Contents = {
  schema: number
  rows: Record<string, number>
  lastHistory: { id: number; at: string; what: string } | null
}

const MANIFEST = 'backup_manifest'

const open = (file: string, readonly: boolean): Raw => new BetterSqlite3(file, { fileMustExist: true, readonly })

/** Runs work on a file that is opened for it alone, and closes it whatever happens. */
function onFile<T>(file: string, readonly: boolean, work: (raw: Raw) => T): T {
  const raw = open(file, readonly)
  try {
    return work(raw)
  } finally {
    raw.close()
  }
}

export function contentsOf(raw: Raw): Contents {
  const tables = raw
    .prepare(
      `select name from sqlite_master where type = 'table' and name not like 'sqlite_%' and name <> ? order by name`,
    )
    .pluck()
    .all(MANIFEST) as string[]
  const count = (table: string) => Number(raw.prepare(`select count(*) from "${table}"`).pluck().get())
  const last = raw.prepare('select id, at, what from history order by id desc limit 1').get()
  return {
    schema: schemaOf(raw),
    rows: Object.fromEntries(tables.map(table => [table, count(table)])),
    lastHistory: (last as Contents['lastHistory'] | undefined) ?? null,
  }
}

const notOurs = (file: string): Refusal =>
  new Refusal('wrong', `${file} is not a backup of Tie for Tie; nothing was changed.`)

/** Opens the copy and looks at all of it: pages, references, and whose file it is. A size says nothing. */
function checkCopy(raw: Raw, file: string): void {
  const sound = String(raw.pragma('integrity_check(1)', { simple: true }))
  const broken = (raw.pragma('foreign_key_check') as unknown[]).length
  const ours = Number(raw.pragma('application_id', { simple: true })) === APPLICATION_ID
  if (!ours) throw notOurs(file)
  if (sound !== 'ok' || broken > 0) {
    throw new Refusal('wrong', `${file} is damaged (${sound}; ${broken} broken references). Use another backup.`)
  }
}

/** Puts a finished file in its place so that a power cut leaves the old state or the new one. */
function settle(part: string, file: string): void {
  chmodSync(part, 0o600)
  flush(part)
  renameSync(part, file)
  flush(dirname(resolve(file)))
}

/** Work that leaves files behind leaves none when it fails. */
function orElse<T>(leaveNothing: () => void, work: () => T): T {
  try {
    return work()
  } catch (fault) {
    leaveNothing()
    throw fault
  }
}

export type BackedUp = Contents & { photographs: CopiedPhotographs }

/**
 * Copies the records to one file while the workshop goes on working, and checks the copy by opening it; the photographs
 * go into a folder beside it. VACUUM INTO sees one moment of the database; copying the file itself would miss what is
 * still in the WAL.
 */
export function backUp(dataFolder: string, file: string, at: string): BackedUp {
  const source = join(dataFolder, DATABASE_NAME)
  if (!existsSync(source))
    throw new Refusal('not-found', `There are no records in ${dataFolder}. Set TIE_DATA to the data folder.`)
  if (existsSync(file))
    throw new Refusal('conflict', `${file} exists already. A backup never writes over another one; give a new name.`)
  refuseIfThere(file)
  if (!existsSync(dirname(resolve(file))))
    throw new Refusal('wrong', `There is no folder ${dirname(resolve(file))} to put the backup in.`)
  const part = `${file}.part`
  const leaveNothing = () => {
    rmSync(part, { force: true })
    leaveNone(file)
  }
  return orElse(leaveNothing, () => {
    rmSync(part, { force: true })
    beginCopy(dataFolder, file, onFile(source, true, neededBy))
    onFile(source, true, raw => raw.prepare('vacuum into ?').run(part))
    const backedUp = onFile(part, false, raw => {
      checkCopy(raw, part)
      const photographs = completeCopy(dataFolder, file, neededBy(raw))
      const contents = contentsOf(raw)
      writeManifest(raw, at, contents, photographs.broken)
      return { ...contents, photographs }
    })
    settle(part, file)
    return backedUp
  })
}

function writeManifest(raw: Raw, at: string, contents: Contents, broken: readonly string[]): void {
  raw.exec(
    `create table ${MANIFEST} (made_at text not null, contents text not null, broken_photographs text not null) strict`,
  )
  raw.prepare(`insert into ${MANIFEST} values (?, ?, ?)`).run(at, JSON.stringify(contents), JSON.stringify(broken))
}

/** The column of photographs is not there in backups from before they were kept. */
type Manifest = { made_at: string; contents: string; broken_photographs?: string }

export type Inspected = {
  madeAt: string
  contents: Contents
  /** The pictures that its records need, and those of them that could not be copied when it was made. */
  photographs: { needed: string[]; broken: string[] }
}

/** What is no database at all, or one without the list that every backup has. */
const FOREIGN = ['SQLITE_NOTADB', 'SQLITE_ERROR']

function manifestIn(raw: Raw, file: string): Manifest {
  try {
    checkCopy(raw, file)
    const row = raw.prepare<[], Manifest>(`select * from ${MANIFEST}`).get()
    if (row !== undefined) return row
  } catch (fault) {
    if (!(fault instanceof BetterSqlite3.SqliteError) || !FOREIGN.includes(fault.code)) throw fault
  }
  throw notOurs(file)
}

/** What a backup says of itself, once it has been opened and found to be so. */
export function inspectBackup(file: string): Inspected {
  if (!existsSync(file)) throw new Refusal('not-found', `There is no file ${file}.`)
  return onFile(file, true, raw => {
    const row = manifestIn(raw, file)
    const contents = JSON.parse(row.contents) as Contents
    if (JSON.stringify(contents) !== JSON.stringify(contentsOf(raw))) {
      throw new Refusal('wrong', `${file} does not hold what it says it holds. Use another backup.`)
    }
    const newest = readMigrations().at(-1)?.n ?? 0
    if (contents.schema > newest) {
      throw new Refusal(
        'wrong',
        `${file} was made by a newer Tie for Tie (schema ${contents.schema}; this one knows ${newest}).`,
      )
    }
    const broken = JSON.parse(row.broken_photographs ?? '[]') as string[]
    return { madeAt: row.made_at, contents, photographs: { needed: neededBy(raw), broken } }
  })
}

/** Folds the WAL into the file and lets go of it: possible only while no other program has the records open. */
function letGo(source: string): Contents {
  return onFile(source, false, raw => {
    const before = contentsOf(raw)
    try {
      raw.pragma('busy_timeout = 500')
      raw.pragma('journal_mode = DELETE')
    } catch {
      throw new Refusal(
        'not-now',
        'The workshop is being served from this data folder. Stop the program first, then restore.',
      )
    }
    return before
  })
}

export type Restored = { before: Contents | null; keptAs: string | null; after: Contents; photographs: number }

/**
 * Puts a backup in the place of the records. What was there is kept beside it, never written over. Photographs are
 * brought first: at each moment the records that stand there have theirs.
 */
export function restore(dataFolder: string, file: string, at: string, withPhotographs = true): Restored {
  const { contents, photographs } = inspectBackup(file)
  if (withPhotographs) refuseUnlessWhole(file, photographs.needed, photographs.broken)
  mkdirSync(dataFolder, { recursive: true, mode: 0o700 })
  const target = join(dataFolder, DATABASE_NAME)
  const part = `${target}.part`
  return orElse(
    () => rmSync(part, { force: true }),
    () => {
      copyFileSync(file, part)
      onFile(part, false, raw => raw.exec(`drop table ${MANIFEST}`))
      const before = existsSync(target) ? letGo(target) : null
      const keptAs = before ? join(dataFolder, `before-restore-${at.replace(/[:.]/g, '-')}.sqlite`) : null
      if (keptAs) keepBeside(dataFolder, keptAs)
      const brought = withPhotographs ? bringBack(dataFolder, file, photographs.needed) : 0
      if (keptAs) {
        chmodSync(target, 0o600)
        renameSync(target, keptAs)
      }
      for (const leftover of [`${target}-wal`, `${target}-shm`]) rmSync(leftover, { force: true })
      settle(part, target)
      const after = onFile(target, true, contentsOf)
      if (JSON.stringify(after) !== JSON.stringify(contents))
        throw new Error('the restored records differ from the backup')
      return { before, keptAs, after, photographs: brought }
    },
  )
}
