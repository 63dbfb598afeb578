/** A data folder from before lots went back in part: its sealed slips stay readable, and the rules hold for it at once. */
import BetterSqlite3 from 'better-sqlite3'
import { expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { inOneStep, kyselyOn, prepare } from '../../src/store/db.js'
import { findAgain } from '../../src/store/found-again.js'
import { closeHandBack } from '../../src/store/hand-back.js'
import { handBacksOfCommission } from '../../src/store/hand-backs.js'
import { migrate, readMigrations } from '../../src/store/migrate.js'
import { findHandBack } from '../../src/store/return-slip.js'
import { findWorkshop } from '../../src/store/workshop.js'

const AT = '2026-03-02T09:00:00.000Z'
const BEFORE = 17

/** The records as an older program left them: lot 1 handed back with bundle 2 not found, lot 2 ready. */
function oldRecords() {
  const raw = prepare(new BetterSqlite3(':memory:'))
  for (const { n, sql } of readMigrations().filter(({ n }) => n < BEFORE)) {
    raw.exec(sql)
    raw.pragma(`user_version = ${n}`)
  }
  const put = raw.prepare('insert into catalogue (id, kind, name, entry) values (?, ?, ?, ?)')
  for (const fibre of firstCatalogue.fibres) put.run(fibre.id, 'fibre', fibre.name, JSON.stringify(fibre))
  for (const one of firstCatalogue.substances) put.run(one.id, 'substance', one.name, JSON.stringify(one))
  const bundle = (lot: number, n: number) =>
    `insert into bundle (lot_id, n, ties_in, ties_on, dry_weight_g, weight_typed, thickness_typed, condition, how_tied, place)
      values (${lot}, ${n}, 3, 3, 150, '150 g', '', '', '', 'arrivals shelf');`
  const lot = `insert into lot (commission_id, fibre_id, colour, route, dye_id, ties_undyed, against)
    values (1, 'flax', 'straw', 'plant', 'weld', 0, '');`
  raw.exec(`
    insert into workshop (id, name, weight_unit, volume_unit, time_zone, dry_basis, scale_step_g, slip_paper, slip_words)
      values (1, 'The Weir Shed', 'metric', 'metric', 'UTC', 'conditioned', 1, 'Letter', 'Mind the dog.');
    insert into worker (name, passphrase_hash, made_at) values ('Wren', 'x', '${AT}');
    insert into client (name, name_folded, mark, contact, settles, wishes, photographs, note, made_at)
      values ('Marta Quill', 'marta quill', 'MQ', '', 'trade', 'no sun', 'no', '', '${AT}');
    insert into commission (client_id, purpose, needed_by, arrangement, note, taken_in_at, taken_in_by)
      values (1, 'hats', '2026-04-01', 'trade', '', '${AT}', 1);
    ${lot} ${lot} ${bundle(1, 1)} ${bundle(1, 2)} ${bundle(2, 1)}
    update bundle set place = 'ready shelf';
    insert into hand_back (commission_id, to_whom, words, worker_id, at) values (1, 'Marta', 'Come again.', 1, '${AT}');
    insert into hand_back_lot values (1, 1);
    insert into hand_back_bundle (hand_back_id, bundle_id, found, tied_again, ties_in, ties_back, ties_replaced,
        weight_g, weight_typed, condition, explanation)
      values (1, 1, 1, 1, 3, 3, 0, 148, '148 g', 'as it came', ''), (1, 2, 0, 0, 3, 0, 0, null, '', 'as it came', 'gone');
    update hand_back set closed = 1;
    update bundle set place = 'handed back' where id = 1;
    update bundle set place = 'not found', ties_on = 0, ties_lost = 3 where id = 2;
    update lot set closed_at = '${AT}' where id = 1`)
  return raw
}

test('a slip from before is the slip it was, and says who received the bundles', async () => {
  const raw = oldRecords()
  migrate(raw)
  expect(raw.pragma('integrity_check', { simple: true })).toBe('ok')
  const db = kyselyOn(raw)
  const slip = await findHandBack(db, 1)
  expect(slip).toMatchObject({
    ...{ toWhom: 'Marta', clientName: 'Marta Quill', clientMark: 'MQ', wishes: 'no sun', words: 'Come again.' },
    ...{ who: 'Wren', how: 'in person', acknowledged: 'on paper', isErased: false, commissionId: 1 },
  })
  const kept = slip?.lots.map(({ id, rest, bundles }) => [id, rest.ns, bundles.map(({ n, check }) => [n, check.found])])
  expect(kept).toEqual([
    [
      1,
      [],
      [
        [1, true],
        [2, false],
      ],
    ],
  ])
  expect(slip?.lots[0]?.bundles[0]?.check).toMatchObject({ weightG: 148, tiesBack: 3, tagCode: '' })
  expect(await handBacksOfCommission(db, 1)).toMatchObject([{ toWhom: 'Marta', lotIds: [1], bundles: 1 }])
  expect((await findWorkshop(db))?.slipPaper).toBe('Letter')
})

test('its lost bundle can be found again, and what it holds goes on by the new rules', async () => {
  const raw = oldRecords()
  migrate(raw)
  const db = kyselyOn(raw)
  const by = { workerId: 1, at: AT }
  expect(() => raw.exec("update bundle set place = 'ready shelf' where id = 2")).toThrow('does not change')
  await inOneStep(db, trx => findAgain(trx, by, { handBackId: 1, bundleId: 2, words: 'behind the tub' }))
  const check = { found: true, tiedAgain: true, tiesBack: 3, tiesReplaced: 0, weightG: null, weightTyped: '' }
  const asItCame = { ...check, condition: 'as it came' as const, explanation: '', tagCode: '' }
  const handBack = { commissionId: 1, lotIds: [1], toWhom: 'MQ', words: '', checks: new Map([[2, asItCame]]) }
  expect(await inOneStep(db, trx => closeHandBack(trx, by, handBack))).toBe(2)
  expect(raw.prepare('select place, ties_on, ties_lost from bundle where id = 2').raw().get()).toEqual([
    ...['handed back', 3, 0],
  ])
  expect((await findHandBack(db, 1))?.foundAgain).toMatchObject([{ lotId: 1, n: 2, words: 'behind the tub' }])
})
