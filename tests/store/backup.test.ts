import { copyFileSync, existsSync, mkdtempSync, readdirSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { backUp, contentsOf, DATABASE_NAME, inspectBackup, restore } from '../../src/store/backup.js'
import { addClient } from '../../src/store/clients.js'
import { openDb } from '../../src/store/db.js'
import { remember } from '../../src/store/history.js'
import { addWorker } from '../../src/store/sign-in.js'

const AT = '2026-03-02T09:00:00.000Z'
const marta = {
  name: 'Marta Quill',
  mark: '',
  contact: 'x',
  settles: 'paid',
  wishes: '',
  photographs: 'no',
  note: '',
} as const

async function workshop() {
  const folder = mkdtempSync(join(tmpdir(), 'tie-'))
  const opened = openDb(join(folder, DATABASE_NAME))
  const workerId = await addWorker(opened.db, 'Wren', 'x', AT)
  const by = { workerId, at: AT }
  return { ...opened, folder, by, out: mkdtempSync(join(tmpdir(), 'tie-backup-')) }
}

test('a backup made while the workshop writes holds everything up to one moment, and restores exactly', async () => {
  const { db, folder, by, out, raw, close } = await workshop()
  for (let round = 0; round < 20; round += 1) {
    for (let n = 0; n < 10; n += 1) await remember(db, by, { what: `line ${round * 10 + n + 1}` })
    const contents = backUp(folder, join(out, `${round}.sqlite`), AT)
    // Equal to a prefix of the history: as many lines as the number of the last one.
    expect(contents.lastHistory?.id).toBe((round + 1) * 10)
    expect(contents.rows.history).toBe((round + 1) * 10)
  }
  const now = contentsOf(raw)
  await close()
  const empty = mkdtempSync(join(tmpdir(), 'tie-new-'))
  const { before, keptAs, after } = restore(empty, join(out, '19.sqlite'), AT)
  expect([before, keptAs]).toEqual([null, null])
  expect(after).toEqual(now)
  const again = openDb(join(empty, DATABASE_NAME))
  expect(again.raw.prepare('select what from history order by id desc limit 1').pluck().get()).toBe('line 200')
  await again.close()
})

test('the copy of a live file alone would be missing what the WAL holds; the backup is not', async () => {
  const { db, folder, by, out, close } = await workshop()
  await addClient(db, by, marta)
  // SQLite documentation, "How To Corrupt An SQLite Database File", 1.2: the database is the file and its WAL.
  copyFileSync(join(folder, DATABASE_NAME), join(out, 'copied.sqlite'))
  expect(() => inspectBackup(join(out, 'copied.sqlite'))).toThrow()
  backUp(folder, join(out, 'backup.sqlite'), AT)
  expect(inspectBackup(join(out, 'backup.sqlite')).contents.rows.client).toBe(1)
  expect(statSync(join(out, 'backup.sqlite')).mode & 0o777).toBe(0o600)
  await close()
})

test('a restore keeps the records that were there, and none of their WAL comes back', async () => {
  const { db, folder, by, out, close } = await workshop()
  backUp(folder, join(out, 'backup.sqlite'), AT)
  for (let n = 0; n < 50; n += 1) await addClient(db, by, marta)
  await close()
  const { before, keptAs, after } = restore(folder, join(out, 'backup.sqlite'), AT)
  expect([before?.rows.client, after.rows.client]).toEqual([50, 0])
  expect(statSync(keptAs ?? '').mode & 0o777).toBe(0o600)
  const kept = openDb(keptAs ?? '')
  expect(kept.raw.prepare('select count(*) from client').pluck().get()).toBe(50)
  await kept.close()
  const restored = openDb(join(folder, DATABASE_NAME))
  expect(restored.raw.prepare('select count(*) from client').pluck().get()).toBe(0)
  await restored.close()
})

test('a restore is refused while the workshop is being served, and changes nothing', async () => {
  const { db, folder, by, out, raw, close } = await workshop()
  backUp(folder, join(out, 'backup.sqlite'), AT)
  await addClient(db, by, marta)
  expect(() => restore(folder, join(out, 'backup.sqlite'), AT)).toThrow(/Stop the program first/)
  expect(raw.prepare('select count(*) from client').pluck().get()).toBe(1)
  await addClient(db, by, marta)
  expect(readdirSync(folder).filter(name => name.includes('.part') || name.startsWith('before'))).toEqual([])
  await close()
})

test('damaged, foreign and altered files are refused, and a failed backup leaves the old ones', async () => {
  const { db, folder, by, out, close } = await workshop()
  await addClient(db, by, marta)
  const good = join(out, 'good.sqlite')
  backUp(folder, good, AT)
  expect(() => backUp(folder, good, AT)).toThrow(/exists already/)
  writeFileSync(join(out, 'text.sqlite'), 'no database')
  const foreign = /is not a backup of Tie for Tie; nothing was changed\./
  expect(() => restore(folder, join(out, 'text.sqlite'), AT)).toThrow(foreign)
  expect(() => restore(folder, join(folder, DATABASE_NAME), AT)).toThrow(foreign)
  copyFileSync(good, join(out, 'altered.sqlite'))
  const altered = openDb(join(out, 'altered.sqlite'))
  await addClient(altered.db, by, marta)
  await altered.close()
  expect(() => restore(folder, join(out, 'altered.sqlite'), AT)).toThrow(/does not hold what it says/)
  expect(() => backUp(folder, join(out, 'no', 'such', 'folder.sqlite'), AT)).toThrow(/no folder/)
  expect(existsSync(good)).toBe(true)
  await close()
})
