/** Changes made past the program, on a copy of a workshop with a record of every kind, are named one by one. */
import { createHash } from 'node:crypto'
import BetterSqlite3, { type Database } from 'better-sqlite3'
import { beforeEach, expect, test } from 'vitest'
import { linkOlderRecords, walkChain } from '../../src/store/chain.js'
import { CHAINED_TABLES } from '../../src/store/chained.js'
import { type Db, inOneStep, kyselyOn } from '../../src/store/db.js'
import { remember } from '../../src/store/history.js'
import { damage, wrongSums } from '../../src/store/sums.js'
import { wholeWorkshop } from '../custody/whole-workshop.js'
import { START } from '../helper.js'

const by = { workerId: 1, at: START }
let raw: Database
let db: Db

/** All records linked anew: the tests' own furniture is put there without the program. */
beforeEach(async () => {
  raw = new BetterSqlite3((await wholeWorkshop()).serialize())
  raw.exec('drop trigger chain_kept; delete from chain')
  db = kyselyOn(raw)
  await linkOlderRecords(db)
})

/** As somebody with another program would: what stands in the way is taken away first. */
function tamper(sql: string): void {
  const triggers = raw.prepare("select name from sqlite_master where type = 'trigger'").pluck().all() as string[]
  raw.pragma('foreign_keys = OFF')
  for (const name of triggers) raw.exec(`drop trigger ${name}`)
  raw.exec(sql)
}
const broken = async (): Promise<string[]> => (await walkChain(db)).broken

test('a workshop that nobody touched from outside fits its chain', async () => {
  const rows = CHAINED_TABLES.map(table => Number(raw.prepare(`select count(*) from ${table}`).pluck().get()))
  for (const [at, count] of rows.entries()) expect(count, CHAINED_TABLES[at]).toBeGreaterThan(0)
  const walked = await walkChain(db)
  expect(walked.broken).toEqual([])
  expect(walked.links).toBe(rows.reduce((sum, count) => sum + count, 0))
  expect(walked.head).toMatch(/^[0-9a-f]{16}$/)
})

test('a link is the SHA-256 of the link before it and of the record', () => {
  const [first] = raw.prepare('select * from chain order by n limit 1').all() as {
    of_table: string
    row_id: number
    hash: Buffer
  }[]
  const lot = raw.prepare('select commission_id, fibre_id from lot where id = 1').raw().get()
  const hash = createHash('sha256')
    .update(Buffer.alloc(32))
    .update(`lot\n1\n${JSON.stringify(lot)}`)
    .digest()
  expect(first).toMatchObject({ of_table: 'lot', row_id: 1, hash })
})

test.each([
  ['bundle 3 was changed', 'update bundle set dry_weight_g = dry_weight_g + 1 where id = 3'],
  ['how bundle 9 came was changed', "update bundle_arrival set words = '' where bundle_id = 9"],
  ['line of what was put right 1 was changed', "update correction set why = 'because' where id = 1"],
  ['lot 1 was changed', "update lot set fibre_id = 'flax', commission_id = 2 where id = 1"],
  ['recipe 1 was changed', "update recipe set answer = json_set(answer, '$.waterL', 1) where id = 1"],
  ['move 2 was changed', "update move set to_place = 'drying line' where id = 2"],
  ['line of the history 4 was changed', "update history set at = '2026-03-02T09:00:01.000Z' where id = 4"],
  ['line of a bath log 3 was changed', 'update bath_log set amount = 6 where id = 3'],
  ['outcome 1 was changed', "update outcome set words = 'just right' where id = 1"],
  ['hand-back 1 was changed', 'update hand_back_bundle set ties_back = 3 where bundle_id = 1'],
  ['load 1 was changed', 'delete from load_bundle where bundle_id = 7'],
  ['shared bath 2 was changed', "update shared_bath set told_apart = 'by their smell'"],
  ['shared bath 2 was changed', 'update load_lot set dry_weight_g = 100 where load_id = 2 and lot_id = 7'],
  ['shared bath 2 was changed', 'delete from load_lot where load_id = 2 and lot_id = 7'],
  ['count 1 was changed', 'update counted_out set bundles = 2 where id = 1'],
  ['line of the history 2 was removed', 'delete from history where id = 2'],
  ['tag 0 was changed', "update tag set code = '23467H' where id = 0"],
  ['tag 0 was changed', 'update tag set bundle_id = 99 where id = 0'],
  ['receipt 1 was changed', "update receipt set content = replace(content, 'a', 'e') where id = 1"],
  ['receipt 1 was changed', `update receipt set content = '"erased"', grain = '' where id = 1`],
  ['agreement 1 was changed', "update agreement set agreed_on = '2026-01-01' where id = 1"],
  ['agreement 1 was changed', "update agreed_lot set colour = 'blue' where agreement_id = 1"],
  ['how bundle 3 came was changed', "update bundle_arrival set words = 'torn' where bundle_id = 3"],
  ['photograph 1 was changed', "update photograph set moment = 'as it goes' where id = 1"],
  ['photograph 1 was removed', 'delete from photograph where id = 1'],
  ['bundle 9 was removed', 'delete from bundle where id = 9'],
  [
    'outcome 2 was written',
    'insert into outcome select 2, lot_id, at, worker_id, swatch, nearness, words from outcome',
  ],
])('%s with another program', async (words, sql) => {
  tamper(sql)
  expect(await broken()).toEqual([`${words} with another program`])
})

test('a link that was reckoned again for a changed record no longer fits the next one', async () => {
  tamper("update outcome set words = 'just right' where id = 1")
  const { n, before } = raw
    .prepare<[], { n: number; before: Buffer }>(
      "select link.n, earlier.hash as before from chain link join chain earlier on earlier.n = link.n - 1 where link.of_table = 'outcome'",
    )
    .get() ?? { n: 0, before: Buffer.alloc(0) }
  const facts = raw.prepare('select lot_id, at, worker_id, swatch, nearness, words from outcome').raw().get()
  const hash = createHash('sha256')
    .update(before)
    .update(`outcome\n1\n${JSON.stringify(facts)}`)
    .digest()
  raw.prepare('update chain set hash = ? where n = ?').run(hash, n)
  expect(await broken()).toHaveLength(1)
})

test('links that were removed are missed, from the middle at once, from the end by the last link written down', async () => {
  const { head } = await walkChain(db)
  tamper('delete from chain where n = 2')
  expect(await broken()).toContain('1 links of the chain were removed')
  raw.exec('delete from chain where n = (select max(n) from chain)')
  expect((await walkChain(db)).head).not.toBe(head)
})

test('what another program wrote is not linked by the next action of this one', async () => {
  raw.exec(`insert into history (at, worker_id, what, words) values ('${START}', 1, 'forged', '')`)
  const forged = Number(raw.prepare('select max(id) from history').pluck().get())
  await inOneStep(db, trx => remember(trx, by, { what: 'written here' }))
  expect(await broken()).toEqual([`line of the history ${forged} was written with another program`])
})

test('an action that is not carried out leaves no link', async () => {
  const { links } = await walkChain(db)
  const refused = inOneStep(db, async trx => {
    await remember(trx, by, { what: 'half done' })
    throw new Error('no')
  })
  await expect(refused).rejects.toThrow('no')
  expect(await walkChain(db)).toMatchObject({ links, broken: [] })
})

test('records of a table that the chain did not go through are linked at the next start, and once', async () => {
  const receipts = Number(raw.prepare('select count(*) from receipt').pluck().get())
  const last = Number(raw.prepare("select min(n) from chain where of_table = 'receipt'").pluck().get()) - 1
  const later = raw.prepare('select of_table from chain where n > ?').pluck().all(last)
  raw.exec(`drop trigger if exists chain_kept; drop trigger chain_table_kept; delete from chain where n > ${last}`)
  raw.exec('delete from chain_table where of_table not in (select of_table from chain)')
  expect(await broken()).not.toEqual([])
  expect(await linkOlderRecords(db)).toBe(later.length)
  expect(later.filter(table => table === 'receipt')).toHaveLength(receipts)
  expect(await broken()).toEqual([])
  expect(await linkOlderRecords(db)).toBe(0)
})

test('older records are linked once only', async () => {
  expect(await linkOlderRecords(db)).toBe(0)
})

test('more records than are read at once are linked and walked alike', async () => {
  await inOneStep(db, async trx => {
    for (let n = 0; n < 1200; n += 1) await remember(trx, by, { what: `line ${n}` })
  })
  expect(await broken()).toEqual([])
  tamper("update history set what = 'other' where what in ('line 3', 'line 1100')")
  expect(await broken()).toHaveLength(2)
})

test.each([
  ['Bundles 9 are not where their last move left them.', "update bundle set place = 'ready shelf' where id = 9"],
  [
    'The ties of bundles 8 do not add up',
    'pragma ignore_check_constraints = ON; update bundle set ties_off = 1 where id = 8',
  ],
  [
    'Bundles 9 are under way in no load.',
    "update bundle set place = 'pot', load_id = 1 where id = 9; insert into move select null, 9, 'arrivals shelf', 'pot', 1, at, 1, '' from move limit 1",
  ],
  [
    'Bundles 8 went back on no closed hand-back.',
    "update bundle set place = 'handed back' where id = 8; insert into move select null, 8, 'arrivals shelf', 'handed back', null, at, 1, '' from move limit 1",
  ],
  ['Lots 4 are closed although', "update lot set closed_at = '2026-03-02T09:00:00.000Z' where id = 4"],
  [
    'do not begin where the move before ended',
    "insert into move select null, 9, 'rinse', 'arrivals shelf', null, at, 1, '' from move limit 1",
  ],
])('a sum that does not add up is said: %s', async (words, sql) => {
  expect(await wrongSums(db)).toEqual([])
  tamper(sql)
  expect((await wrongSums(db)).join(' ')).toContain(words)
})

test('references that lead nowhere are said', async () => {
  expect(await damage(db)).toEqual([])
  tamper('update move set worker_id = 77 where id = 1')
  expect(await damage(db)).toEqual(['1 references lead nowhere.'])
})
