/** A data folder from before lots could share a bath: each of its loads is of one lot, and goes on as it did. */
import BetterSqlite3 from 'better-sqlite3'
import { expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { reckon } from '../../src/domain/reckon.js'
import { inOneStep, kyselyOn, prepare } from '../../src/store/db.js'
import { beginNextStep, findLoad, reallyUsed } from '../../src/store/loads.js'
import { loadsOfLot } from '../../src/store/loads-of-lot.js'
import { migrate, readMigrations } from '../../src/store/migrate.js'
import { wrongSums } from '../../src/store/sums.js'
import { jobOf } from '../pots-kit.js'

const AT = '2026-03-02T09:00:00.000Z'
const BEFORE = 38

/** Lot 1 of two bundles lies in a pot by its share, recipe 2, of recipe 1. */
function oldRecords() {
  const raw = prepare(new BetterSqlite3(':memory:'))
  for (const { n, sql } of readMigrations().filter(({ n }) => n < BEFORE)) {
    raw.exec(sql)
    raw.pragma(`user_version = ${n}`)
  }
  const put = raw.prepare('insert into catalogue (id, kind, name, entry) values (?, ?, ?, ?)')
  for (const fibre of firstCatalogue.fibres) put.run(fibre.id, 'fibre', fibre.name, JSON.stringify(fibre))
  for (const one of firstCatalogue.substances) put.run(one.id, 'substance', one.name, JSON.stringify(one))
  const job = jobOf(300)
  const recipe = raw.prepare(`insert into recipe (lot_id, part_of, dry_weight_g, job, answer, made_at, made_by)
    values (1, ?, 300, ?, ?, '${AT}', 1)`)
  const bundle = (n: number) => `
    insert into bundle (lot_id, n, ties_in, ties_on, dry_weight_g, weight_typed, thickness_typed, condition, how_tied, place)
      values (1, ${n}, 3, 3, 150, '150 g', '', '', '', 'arrivals shelf');
    insert into move (bundle_id, to_place, load_id, at, worker_id, why) values (${n}, 'pot', 1, '${AT}', 1, '');
    insert into bundle_arrival values (${n}, '${AT}', 1, '[]', '', '', '', '');
    insert into load_bundle (load_id, bundle_id, ties_on) values (1, ${n}, 3);
    update bundle set place = 'pot', load_id = 1 where id = ${n};`
  raw.exec(`
    insert into worker (name, passphrase_hash, made_at) values ('Wren', 'x', '${AT}');
    insert into client (name, name_folded, mark, contact, settles, wishes, photographs, note, made_at)
      values ('Marta Quill', 'marta quill', 'MQ', '', 'trade', 'no sun', 'no', '', '${AT}');
    insert into commission (client_id, purpose, needed_by, arrangement, note, taken_in_at, taken_in_by)
      values (1, 'hats', '2026-04-01', 'trade', '', '${AT}', 1);
    insert into lot (commission_id, fibre_id, colour, route, dye_id, ties_undyed, against)
      values (1, 'red-cedar-inner-bark', 'black', 'label', 'all-purpose-bottled', 0, '');
    insert into agreement (commission_id, how, agreed_on, words, at, worker_id)
      values (1, 'spoken', '2026-03-02', '', '${AT}', 1);
    insert into agreed_lot values (1, 1, 'black', 'all-purpose-bottled', 'label', 0);
    insert into pot (name, usable_ml, usable_typed, metal, note) values ('Pot 1', 15000, '15 L', 'steel', '')`)
  for (const partOf of [null, 1]) recipe.run(partOf, JSON.stringify(job), JSON.stringify(reckon(job, firstCatalogue)))
  raw.exec(`
    insert into load (pot_id, recipe_id, dry_weight_g, laid_at, laid_by, step_n, step_since)
      values (1, 2, 300, '${AT}', 1, 1, '${AT}');
    insert into load_step (load_id, n, key, title, place, heat, ties_come_off) values
      (1, 1, 'dye', 'Dye', 'pot', 0, 0), (1, 2, 'rinse', 'Rinse', 'rinse', 0, 0);
    insert into load_line values (1, 1, 'dye', 'all-purpose-bottled', 'dye', 60, 'mL');
    ${bundle(1)} ${bundle(2)}
    insert into bath_log (load_id, at, entered_at, worker_id, kind, step_n) values (1, '${AT}', '${AT}', 1, 'step', 1)`)
  return raw
}

test('has its one lot, all of its bath, and is emptied without a count', async () => {
  const raw = oldRecords()
  migrate(raw)
  const db = kyselyOn(raw)
  const load = await findLoad(db, 1)
  expect(load?.lots).toMatchObject([{ lotId: 1, clientName: 'Marta Quill', dryWeightG: 300, bundleNs: [1, 2] }])
  expect(load?.toldApart).toBeNull()
  expect(raw.prepare('select recipe_id from load_lot').pluck().all()).toEqual([1])
  expect(await loadsOfLot(db, 1)).toMatchObject([
    { bundles: [{ id: 1 }, { id: 2 }], others: [], weighedOut: [{ amount: 60 }] },
  ])
  expect((await reallyUsed(db, 1))[0]?.perKg).toBeCloseTo(200, 9)
  await inOneStep(db, trx => beginNextStep(trx, { workerId: 1, at: AT }, { loadId: 1, version: 1 }))
  expect((await findLoad(db, 1))?.potFreeAt).toBe(AT)
  // Tags are given to what is older than they are at the next start.
  expect((await wrongSums(db)).filter(sentence => !sentence.includes('tag'))).toEqual([])
})
