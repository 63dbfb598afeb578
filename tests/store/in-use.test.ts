import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { expect, test } from 'vitest'
import { projectRoot } from '../../src/root.js'
import { backUp, DATABASE_NAME } from '../../src/store/backup.js'
import { openDb } from '../../src/store/db.js'
import { holdDataFolder, LOCK_NAME } from '../../src/store/in-use.js'

const aFolder = () => mkdtempSync(join(tmpdir(), 'tie-served-'))

test('a second server on the same data folder is refused, in words; on another it is not', () => {
  const [folder, other] = [aFolder(), aFolder()]
  const letGo = holdDataFolder(folder)
  expect(() => holdDataFolder(folder)).toThrow(`Another Tie for Tie serves the records in ${folder} already.`)
  expect(statSync(join(folder, LOCK_NAME)).mode & 0o777).toBe(0o600)
  holdDataFolder(other)()
  letGo()
  holdDataFolder(folder)()
})

test('a backup goes on beside a server that holds the folder', async () => {
  const folder = aFolder()
  const letGo = holdDataFolder(folder)
  const { close } = openDb(join(folder, DATABASE_NAME))
  expect(backUp(folder, join(aFolder(), 'copy.sqlite'), '2026-03-02T09:00:00.000Z').rows.client).toBe(0)
  await close()
  letGo()
})

/** A process of its own that takes the same lock and then waits. */
const HOLDING = `
  const { default: BetterSqlite3 } = await import(process.argv[1])
  const lock = new BetterSqlite3(process.argv[2], { timeout: 0 })
  lock.exec('begin exclusive')
  console.log('held')
  setInterval(() => {}, 1000)`

test('a server that was killed has let go of it', async () => {
  const folder = aFolder()
  const library = pathToFileURL(join(projectRoot, 'node_modules', 'better-sqlite3', 'lib', 'index.js')).href
  const server = spawn(process.execPath, ['--input-type=module', '-e', HOLDING, library, join(folder, LOCK_NAME)])
  await once(server.stdout, 'data')
  expect(() => holdDataFolder(folder)).toThrow('already')
  server.kill('SIGKILL')
  await once(server, 'exit')
  holdDataFolder(folder)()
})
