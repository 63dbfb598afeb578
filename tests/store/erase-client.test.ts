/** A client is erased from a file on disk: what was theirs is gone from its bytes, what was done with fibre is not. */
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Database } from 'better-sqlite3'
import { beforeEach, describe, expect, test } from 'vitest'
import { unchecked } from '../../src/domain/bundle-check.js'
import { TABLE_WORDS, WORDS_THAT_STAY } from '../../src/domain/client-data.js'
import { COLUMN_WORDS } from '../../src/domain/client-data-words.js'
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
import { noteTextOfClient } from '../../src/store/search.js'
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

describe('column by column', () => {
  /** What is in no words of anybody's: choices, days and times, codes, hashes, figures as typed, and what was computed. */
  const NOT_WORDS = [
    ...['arrival.terms', 'lot.conditions', 'lot.damp', 'recipe.job', 'recipe.answer'],
    ...['lot.purposes', 'day_promise.how', 'hand_back.workshop_name', 'hand_back.slip_words', 'hand_back.facts'],
    ...['bundle.weight_typed', 'bundle.thickness_typed', 'bundle_check.weight_typed', 'bundle_check.tag_code'],
    ...['hand_back_bundle.weight_typed', 'hand_back_bundle.tag_code', 'load_weighed.typed'],
    ...['load_step.key', 'load_step.title', 'load_line.key', 'load_line.bath_key'],
    ...['lot.route', 'agreed_lot.route', 'move.from_place', 'move.to_place', 'shelf_count_answer.answer'],
    ...['bundle_arrival.tie_place', 'bundle_arrival.tie_kind', 'bundle_arrival.thick_end'],
    ...['bundle_check.condition', 'hand_back_bundle.condition'],
    ...['bath_log.typed', 'bundle_arrival.found', 'correction.field', 'history.what', 'history.was', 'history.became'],
  ]
  const isTime = (column: string) => /(^|_)(at|on|day|from|to|by|until|since|earliest)$/.test(column)

  test('every column of words about a client is emptied, or is named as one that stays', async () => {
    const raw = await wholeWorkshop()
    const folder = mkdtempSync(join(tmpdir(), 'tie-words-'))
    // Everything there is becomes one client's, gone and closed, and each column gets words of its own.
    for (const name of raw.prepare("select name from sqlite_master where type = 'trigger'").pluck().all())
      raw.exec(`drop trigger ${name}`)
    raw.exec(`update commission set client_id = 1; update client_change set client_id = 1;
      update timed_wish set client_id = 1; delete from erasure;
      delete from client_page where client_id <> 1; delete from client where id <> 1; update lot set closed_at = '2026-03-09'; update lot_arrival set faults = 'told', faults_words = 'x';
      update incident set closed_at = '2026-03-09', outcome = 'x'`)
    const filled: string[] = []
    for (const table of Object.keys(OWNED))
      for (const column of textColumns(raw, table)) {
        const mark = `'"words of ${table}.${column}"'`
        const fits = [mark, `'"words of ${table}.${column} ' || rowid || '"'`].some(words =>
          goesIn(raw, table, column, words),
        )
        if (fits && !isTime(column)) filled.push(`${table}.${column}`)
      }
    expect(filled.length).toBeGreaterThan(60)
    writeFileSync(join(folder, DATABASE_NAME), raw.serialize())
    const { db, close } = openDb(join(folder, DATABASE_NAME))
    await noteTextOfClient(db, 1)
    await inOneStep(db, trx => eraseClient(trx, { workerId: 1, at: START }, 1))
    await forget(db)
    await close()
    const bytes = readFileSync(join(folder, DATABASE_NAME))
    const stays = filled.filter(column => bytes.includes(`words of ${column}`))
    const named = Object.entries(WORDS_THAT_STAY).flatMap(([table, columns]) => columns.map(one => `${table}.${one}`))
    expect(stays.filter(column => !NOT_WORDS.includes(column))).toEqual(filled.filter(column => named.includes(column)))
    expect(named.filter(column => !filled.includes(column))).toEqual([])
    expect(NOT_WORDS.filter(column => !stays.includes(column))).toEqual([])
  })
})

const textColumns = (raw: Database, table: string): string[] =>
  raw.prepare("select name from pragma_table_info(?) where type in ('TEXT', 'ANY')").pluck().all(table).map(String)

function goesIn(raw: Database, table: string, column: string, words: string): boolean {
  try {
    return raw.prepare(`update or ignore ${table} set ${column} = ${words}`).run().changes > 0
  } catch {
    return false
  }
}

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
    ...[
      'tag_setting',
      'photograph_setting',
      'drop_off_default',
      'wet_cloth_setting',
      'client_keeping',
      'spot',
      'shelf_count',
    ],
    ...['working_days', 'working_hours', 'day_away', 'step_habit', 'calendar_feed'],
    ...['kept_plan', 'pot_rest', 'chain_table'],
    // It speaks of every owner in the bath; what a client has of it stands in load_lot and counted_out.
    'shared_bath',
  ]
  expect(tables.filter(name => !(name in OWNED) && !NOBODYS.includes(name))).toEqual([])
  expect(Object.keys(OWNED).filter(name => !tables.includes(name))).toEqual([])
  expect(Object.keys(TABLE_WORDS).sort()).toEqual(Object.keys(OWNED).sort())
})

test('every field of what is kept of a client has a name that they understand, and no name is of a field that is gone', async () => {
  const raw = await wholeWorkshop()
  const fields = Object.keys(OWNED).flatMap(table =>
    raw
      .prepare('select name from pragma_table_info(?)')
      .pluck()
      .all(table)
      .map(column => [table, String(column)] as const),
  )
  expect(fields.filter(([, column]) => !(column in COLUMN_WORDS)).map(String)).toEqual([])
  const known = new Set(fields.flatMap(([table, column]) => [column, `${table}.${column}`]))
  expect(Object.keys(COLUMN_WORDS).filter(name => !known.has(name))).toEqual([])
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
