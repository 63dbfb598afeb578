import BetterSqlite3 from 'better-sqlite3'
import { expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { lotsNotAgreed, whyNotBegun } from '../../src/store/agreements.js'
import { findArrival, lotArrivals } from '../../src/store/arrivals.js'
import { kyselyOn, prepare } from '../../src/store/db.js'
import { migrate, readMigrations } from '../../src/store/migrate.js'
import { receiptsOf } from '../../src/store/receipts.js'
import { START } from '../helper.js'

/** Records as the schema before this one kept them: two lots of one commission, and a client with wishes. */
function recordsOfBefore() {
  const raw = prepare(new BetterSqlite3(':memory:'))
  for (const { n, sql } of readMigrations().filter(({ n }) => n < 14)) {
    raw.exec(sql)
    raw.pragma(`user_version = ${n}`)
  }
  const put = (table: string, row: Record<string, unknown>) => {
    const names = Object.keys(row)
    raw.prepare(`insert into ${table} (${names}) values (${names.map(() => '?')})`).run(Object.values(row))
  }
  put('worker', { name: 'Wren', passphrase_hash: 'none', made_at: START })
  for (const [kind, entry] of [
    ['fibre', firstCatalogue.fibres[0]],
    ['substance', firstCatalogue.substances[0]],
  ] as const)
    put('catalogue', { id: entry?.id, kind, name: entry?.name, entry: JSON.stringify(entry) })
  const client = {
    name_folded: 'ode',
    mark: '',
    contact: '',
    settles: 'paid',
    photographs: 'no',
    note: '',
    made_at: START,
  }
  put('client', { name: 'Ode', wishes: 'in the shade', ...client })
  put('client', { name: 'Ilka', wishes: '', ...client })
  const asked = {
    purpose: 'hats',
    needed_by: '2026-03-20',
    arrangement: 'paid',
    note: '',
    taken_in_at: START,
    taken_in_by: 1,
  }
  put('commission', { client_id: 1, ...asked })
  const [fibreId, dyeId] = [firstCatalogue.fibres[0]?.id, firstCatalogue.substances[0]?.id]
  for (const colour of ['red', 'straw'])
    put('lot', {
      commission_id: 1,
      fibre_id: fibreId,
      colour,
      route: 'plant',
      dye_id: dyeId,
      ties_undyed: 0,
      against: '',
    })
  for (const lotId of [1, 2])
    put('bundle', {
      lot_id: lotId,
      n: 1,
      ties_in: 3,
      ties_on: 3,
      dry_weight_g: 150,
      weight_typed: '150 g',
      thickness_typed: '',
      condition: 'torn at one end',
      how_tied: '',
      place: 'arrivals shelf',
    })
  return raw
}

test('what was taken in before is looked at, agreed and kept, and nothing is asked again', async () => {
  const raw = recordsOfBefore()
  expect(migrate(raw).from).toBe(13)
  const db = kyselyOn(raw)
  const seen = { found: [], words: 'torn at one end', at: START, who: 'Wren', tiePlace: 'not written down' }
  expect(await lotArrivals(db, 1)).toMatchObject([
    { lotId: 1, faults: 'not asked', bundles: [seen] },
    { lotId: 2, faults: 'not asked', bundles: [seen] },
  ])
  expect(await findArrival(db, 1)).toMatchObject({ broughtBy: '', offcuts: 'back to the client', terms: '' })
  expect(await lotsNotAgreed(db, 1)).toEqual([])
  expect(await whyNotBegun(db, { id: 2, commissionId: 1 })).toBeNull()
  expect(await receiptsOf(db, 1)).toEqual([])
  const told = raw.prepare('select wishes_answer, wishes_at from client order by id').raw().all()
  expect(told).toEqual([
    ['told', START],
    ['not asked', ''],
  ])
  expect(raw.pragma('foreign_key_check')).toEqual([])
  await db.destroy()
})
