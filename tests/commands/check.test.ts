import { mkdtempSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import BetterSqlite3 from 'better-sqlite3'
import { beforeAll, expect, test } from 'vitest'
import { DATABASE_NAME } from '../../src/store/backup.js'
import { linkOlderRecords } from '../../src/store/chain.js'
import { kyselyOn } from '../../src/store/db.js'
import { buildCli, runCli } from '../built-cli.js'
import { wholeWorkshop } from '../custody/whole-workshop.js'

const folder = mkdtempSync(join(tmpdir(), 'tie-check-'))
const file = join(folder, DATABASE_NAME)
const check = (...args: string[]) => runCli(['check', ...args], '', { ...process.env, TIE_DATA: folder })

beforeAll(async () => {
  buildCli()
  const memory = new BetterSqlite3((await wholeWorkshop()).serialize())
  memory.exec('drop trigger chain_kept; delete from chain')
  await linkOlderRecords(kyselyOn(memory))
  writeFileSync(file, memory.serialize())
}, 120_000)

test('records in order end with 0 and the last link', () => {
  const { status, output, complaint } = check()
  expect({ status, complaint }).toEqual({ status: 0, complaint: '' })
  expect(output).toMatch(/^Everything is in order: \d+ records are linked, the last link is [0-9a-f]{16}\.\n$/)
})

test('what was changed from outside is named, and ends with 1', () => {
  const raw = new BetterSqlite3(file)
  raw.exec('drop trigger move_stays')
  raw.exec("update move set why = 'nothing' where id = 2")
  raw.close()
  const { status, output, complaint } = check()
  expect(status).toBe(1)
  expect(complaint).toBe('Move 2 was changed with another program.\n')
  expect(output).toContain('1 things are not in order')
})

test('a folder without records, and words too many, are said', () => {
  expect(runCli(['check'], '', { ...process.env, TIE_DATA: join(folder, 'nowhere') })).toMatchObject({ status: 1 })
  expect(check('all').status).toBe(2)
})
