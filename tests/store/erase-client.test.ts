/** A client is erased from a file on disk: what was theirs is gone from its bytes, what was done with fibre is not. */
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { beforeEach, expect, test } from 'vitest'
import { unchecked } from '../../src/domain/bundle-check.js'
import { TABLE_WORDS } from '../../src/domain/client-data.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { DATABASE_NAME } from '../../src/store/backup.js'
import { fillCatalogue } from '../../src/store/catalogue.js'
import { walkChain } from '../../src/store/chain.js'
import { everythingOf, OWNED } from '../../src/store/client-data.js'
import { openClientPage } from '../../src/store/client-page.js'
import { changeClient, findClient } from '../../src/store/clients.js'
import { inOneStep, openDb } from '../../src/store/db.js'
import { eraseAgain, eraseClient, forget, listErased } from '../../src/store/erase-client.js'
import { closeHandBack } from '../../src/store/hand-back.js'
import { openIncident } from '../../src/store/incidents.js'
import { addWorker } from '../../src/store/sign-in.js'
import { addWorkshop } from '../../src/store/workshop.js'
import { takeInLot } from '../a-lot.js'
import { settings } from '../custody/shed.js'
import { wholeWorkshop } from '../custody/whole-workshop.js'
import { START } from '../helper.js'

let site: Awaited<ReturnType<typeof furnished>>
beforeEach(async () => {
  site = await furnished()
})

/** Everything that is said of a person here; the first name is written over by the second. */
const PERSONAL = [
  'Ilka Fenn',
  'Ilka Harbour',
  'the mill',
  'the quay',
  'not near the dog',
  'never after dark',
  'her cousin',
]

async function furnished() {
  const folder = mkdtempSync(join(tmpdir(), 'tie-erase-'))
  const opened = openDb(join(folder, DATABASE_NAME))
  const { db, raw } = opened
  await fillCatalogue(db, firstCatalogue, START)
  await addWorkshop(db, settings)
  const by = { workerId: await addWorker(db, 'Wren', 'x', START), at: START }
  const lotId = await takeInLot({ db, by })
  const client = await findClient(db, 1)
  if (!client) throw new Error('no client')
  await inOneStep(db, async trx => {
    const { id: _, madeAt: __, version, wishesAt: ___, ...was } = client
    await changeClient(trx, by, 1, version, {
      ...was,
      name: 'Ilka Harbour',
      contact: 'the quay',
      wishes: 'never after dark',
    })
    await openClientPage(trx, by, 1)
  })
  raw.exec("update commission set note = 'her cousin comes for it'; update lot_text set words = words || ' her cousin'")
  return { ...opened, folder, by, lotId }
}

async function handBack() {
  const { db, raw, by, lotId } = site
  raw.exec(
    "insert into move select null, id, place, 'ready shelf', null, '2026-03-02', 1, '' from bundle; update bundle set place = 'ready shelf'",
  )
  const ids = raw.prepare<[], number>('select id from bundle').pluck().all()
  const checks = new Map(ids.map(id => [id, { ...unchecked({ tiesIn: 3 }), tiedAgain: true }]))
  await inOneStep(db, trx =>
    closeHandBack(trx, by, { commissionId: 1, lotIds: [lotId], toWhom: 'Ilka Harbour', words: '', checks }),
  )
}

const erase = () => inOneStep(site.db, trx => eraseClient(trx, site.by, 1))

const inFiles = (words: string): string[] =>
  readdirSync(site.folder).filter(name => readFileSync(join(site.folder, name)).includes(words))

test('is refused while fibre of theirs is here, and while an incident about it is open', async () => {
  await expect(erase()).rejects.toThrow(/still here \(lot 1\)/)
  await handBack()
  await inOneStep(site.db, trx =>
    openIncident(trx, site.by, { lotId: site.lotId, kind: 'damaged', bundleIds: [], whatHappened: 'It came undone.' }),
  )
  await expect(erase()).rejects.toThrow(/Incident 1 .* is not closed/)
  expect((await findClient(site.db, 1))?.name).toBe('Ilka Harbour')
})

test('leaves none of their words in the file, its journal or the search', async () => {
  await handBack()
  for (const words of PERSONAL) expect(inFiles(words).length, words).toBeGreaterThan(0)
  await erase()
  await forget(site.db)
  for (const words of PERSONAL) expect(inFiles(words), words).toEqual([])
  await site.close()
  for (const words of PERSONAL) expect(inFiles(words), words).toEqual([])
})

test('keeps what was done: lots, bundles, measures, moves, the slip and the chain', async () => {
  await handBack()
  const before = site.raw.prepare('select lot_id, n, ties_in, dry_weight_g, place from bundle').raw().all()
  const history = site.raw.prepare('select count(*) from history').pluck().get()
  await erase()
  expect(site.raw.prepare('select lot_id, n, ties_in, dry_weight_g, place from bundle').raw().all()).toEqual(before)
  expect(site.raw.prepare('select count(*) from history').pluck().get()).toBe(history)
  expect(site.raw.prepare('select count(*) from hand_back where closed = 1').pluck().get()).toBe(1)
  const { broken } = await walkChain(site.db)
  // The moves above were made past the program.
  expect(broken.filter(words => !words.startsWith('move'))).toEqual([])
  expect(await findClient(site.db, 1)).toMatchObject({
    name: 'erased client 1',
    contact: '',
    wishes: '',
    photographs: 'no',
  })
})

test('is done once, and is done again after an older copy was put back', async () => {
  await handBack()
  const older = site.raw.serialize()
  await erase()
  await listErased(site.db, site.folder)
  await listErased(site.db, site.folder)
  expect(JSON.parse(readFileSync(join(site.folder, 'erased-clients.json'), 'utf8'))).toHaveLength(1)
  await expect(erase()).rejects.toThrow('erased already')

  await site.close()
  const folder = mkdtempSync(join(tmpdir(), 'tie-again-'))
  mkdirSync(folder, { recursive: true })
  writeFileSync(join(folder, DATABASE_NAME), older)
  writeFileSync(join(folder, 'erased-clients.json'), readFileSync(join(site.folder, 'erased-clients.json')))
  const again = openDb(join(folder, DATABASE_NAME))
  expect((await findClient(again.db, 1))?.name).toBe('Ilka Harbour')
  expect((await inOneStep(again.db, trx => eraseAgain(trx, folder))).count).toBe(1)
  expect((await findClient(again.db, 1))?.name).toBe('erased client 1')
  expect((await inOneStep(again.db, trx => eraseAgain(trx, folder))).count).toBe(0)
  await again.close()
  expect(existsSync(join(folder, DATABASE_NAME))).toBe(true)
})

test('a client of the same number who is somebody else is not erased by an old list', async () => {
  await handBack()
  writeFileSync(
    join(site.folder, 'erased-clients.json'),
    JSON.stringify([{ clientId: 1, clientMadeAt: '2001-01-01', at: START }]),
  )
  expect((await inOneStep(site.db, trx => eraseAgain(trx, site.folder))).count).toBe(0)
})

test('every table is either about clients or named here as about none', async () => {
  const raw = await wholeWorkshop()
  const tables = raw
    .prepare(
      "select name from sqlite_master where type = 'table' and name not like 'sqlite_%' and name not like 'lot_text%'",
    )
    .pluck()
    .all()
    .map(String)
  const NOBODYS = [
    ...['workshop', 'workshop_change', 'worker', 'session', 'press', 'catalogue', 'catalogue_change', 'pot', 'chain'],
    ...['tag_setting', 'photograph_setting', 'drop_off_default', 'wet_cloth_setting', 'spot', 'shelf_count'],
    ...['working_days', 'working_hours', 'day_away', 'step_habit', 'calendar_feed'],
    ...['kept_plan', 'pot_rest', 'chain_table'],
    // It speaks of every owner in the bath; what a client has of it stands in load_lot and counted_out.
    'shared_bath',
  ]
  expect(tables.filter(name => !(name in OWNED) && !NOBODYS.includes(name))).toEqual([])
  expect(Object.keys(OWNED).filter(name => !tables.includes(name))).toEqual([])
  expect(Object.keys(TABLE_WORDS).sort()).toEqual(Object.keys(OWNED).sort())
})

test('everything of one client is there, and nothing of another', async () => {
  const { raw, db } = site
  const own = await takeInLot({ db, by: site.by }, { colour: 'night blue' })
  raw.exec("update client set name = 'Bram Osier', contact = 'the lock house' where id = 2")
  const data = await everythingOf(db, 2)
  expect(data.lot).toEqual(raw.prepare('select * from lot where id = ?').all(own))
  expect(data.bundle).toEqual(raw.prepare('select * from bundle where lot_id = ?').all(own))
  expect(data.move).toHaveLength(3)
  const text = JSON.stringify(data)
  expect(text).toContain('the lock house')
  for (const words of [
    ...PERSONAL.filter(words => !['the mill', 'not near the dog', 'Ilka Fenn'].includes(words)),
    'straw yellow',
  ])
    expect(text, words).not.toContain(words)
})
