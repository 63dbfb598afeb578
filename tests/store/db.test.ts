import { mkdtempSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import BetterSqlite3 from 'better-sqlite3'
import { expect, test } from 'vitest'
import { checkNode, openDb } from '../../src/store/db.js'
import { readMigrations } from '../../src/store/migrate.js'

const inFolder = () => join(mkdtempSync(join(tmpdir(), 'tie-')), 'tie.sqlite')

test('every connection keeps WAL, FULL and foreign keys, also after the first write and on reopening', async () => {
  const file = inFolder()
  for (const round of [1, 2]) {
    const { raw, close } = openDb(file)
    raw
      .prepare('insert into worker (name, passphrase_hash, made_at) values (?, ?, ?)')
      .run(`worker ${round}`, 'x', 'now')
    // SQLite documentation, pragma synchronous: 2 is FULL.
    expect(raw.pragma('synchronous', { simple: true })).toBe(2)
    expect(raw.pragma('journal_mode', { simple: true })).toBe('wal')
    expect(raw.pragma('foreign_keys', { simple: true })).toBe(1)
    await close()
  }
})

test('migrations run once and leave the newest schema', async () => {
  const file = inFolder()
  const newest = readMigrations().at(-1)?.n
  const first = openDb(file)
  expect(first.schema).toEqual({ from: 0, to: newest })
  await first.close()
  const second = openDb(file)
  expect(second.schema).toEqual({ from: newest, to: newest })
  await second.close()
})

test('a file of a newer program is refused and not touched', async () => {
  const file = inFolder()
  const { raw, close } = openDb(file)
  raw.pragma('user_version = 9999')
  await close()
  expect(() => openDb(file)).toThrow(/newer Tie for Tie/)
})

test("somebody else's database is refused", () => {
  const file = inFolder()
  const other = new BetterSqlite3(file)
  other.exec('create table kitchen (id integer)')
  other.close()
  expect(() => openDb(file)).toThrow(/not one of Tie for Tie/)
})

test('a file that is no database is refused and keeps its bytes', () => {
  const file = inFolder()
  writeFileSync(file, 'not a database at all, but long enough to be read as a header of one')
  expect(() => openDb(file)).toThrow()
})

test('a Node on which the database library breaks off is refused before anything is written', () => {
  expect(() => checkNode('20.19.0')).not.toThrow()
  expect(() => checkNode('22.23.3')).not.toThrow()
  expect(() => checkNode('24.21.0')).toThrow('Node 24.21.0. Tie for Tie needs Node 20 (20.19 or later) or Node 22')
  expect(() => checkNode('18.20.0')).toThrow('needs Node 20')
})
