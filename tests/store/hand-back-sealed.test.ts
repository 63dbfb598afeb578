/** What the database itself refuses when something is written past the program. */
import { beforeEach, describe, expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { fillCatalogue } from '../../src/store/catalogue.js'
import { openDb } from '../../src/store/db.js'
import { addWorker } from '../../src/store/sign-in.js'
import { aLot, alike, bring, makeReady } from '../hand-back-helper.js'

const AT = '2026-03-02T09:00:00.000Z'
let opened: ReturnType<typeof openDb>
/** Lot 1: bundles 1 and 2; lot 2: bundle 3; lot 3 of another client: bundle 4. All are ready; hand-back 1 is open. */
beforeEach(async () => {
  opened = openDb(':memory:')
  await fillCatalogue(opened.db, firstCatalogue, AT)
  const by = { workerId: await addWorker(opened.db, 'Wren', 'x', AT), at: AT }
  await bring(opened.db, by, [aLot(alike(2)), aLot(alike(1))])
  await bring(opened.db, by, [aLot(alike(1))], { name: 'Ode Reed' })
  for (const lot of [1, 2, 3]) makeReady(opened.raw, lot)
  run(`insert into hand_back (commission_id, to_whom, words, worker_id, at) values (1, 'Marta', '', 1, '${AT}')`)
  run('insert into hand_back_lot values (1, 1)')
})

const run = (sql: string) => opened.raw.exec(sql)
type Row = Partial<{ found: number; tied: number; came: number; back: number; replaced: number; words: string }>
const bundleBack = (id: number, { found = 1, tied = 1, came = 3, back = 3, replaced = 0, words = '' }: Row = {}) =>
  run(`insert into hand_back_bundle values
    (1, ${id}, ${found}, ${tied}, ${came}, ${back}, ${replaced}, null, '', 'as it came', '${words}')`)
const closeIt = () => run('update hand_back set closed = 1 where id = 1')

describe('a hand-back that does not add up', () => {
  test('does not close with a bundle that is not in it', () => {
    bundleBack(1)
    expect(closeIt).toThrow('a bundle of this hand-back is not accounted for')
  })

  test('does not close empty', () => {
    run(`insert into hand_back (commission_id, to_whom, words, worker_id, at) values (1, 'Marta', '', 1, '${AT}')`)
    expect(() => run('update hand_back set closed = 1 where id = 2')).toThrow('without bundles does not close')
  })

  test('is not written as closed from the start', () => {
    expect(() =>
      run(`insert into hand_back (commission_id, to_whom, words, worker_id, at, closed) values (1, 'x', '', 1, '', 1)`),
    ).toThrow('closed after its bundles are written')
  })

  test.each<[string, Row]>([
    ['a tie missing without words', { back: 2 }],
    ['a tie missing with blanks for words', { back: 2, words: '   ' }],
    ['a bundle untied without words', { tied: 0 }],
    ['a bundle not found without words', { found: 0, tied: 0, back: 0 }],
    ['a bundle not found that brings ties', { found: 0, tied: 0, back: 3, words: 'x' }],
    ['more ties back than came', { back: 3, replaced: 1, words: 'x' }],
    ['less than no ties', { back: -1, words: 'x' }],
    ['less than no ties replaced', { replaced: -1, words: 'x' }],
  ])('takes no row with %s', (_, row) => {
    expect(() => bundleBack(1, row)).toThrow('CHECK constraint failed')
  })

  test('takes no other count of ties than came in', () => {
    expect(() => bundleBack(1, { came: 2, back: 2 })).toThrow('the ties taken in are those of the bundle')
  })

  test('takes no bundle from outside its lots, and no lot from outside its commission', () => {
    expect(() => bundleBack(3)).toThrow('goes back with its whole lot')
    expect(() => run('insert into hand_back_lot values (1, 3)')).toThrow('of its own commission')
  })

  test('takes a bundle and a lot only once', () => {
    bundleBack(1)
    expect(() => bundleBack(1)).toThrow('UNIQUE')
    expect(() => run('insert into hand_back_lot values (1, 1)')).toThrow('UNIQUE')
  })

  test('does not close with a bundle that is elsewhere than on the ready shelf', () => {
    bundleBack(1)
    bundleBack(2)
    run("update bundle set place = 'arrivals shelf' where id = 2")
    expect(closeIt).toThrow('a bundle goes back from the ready shelf')
  })
})

describe('a bundle', () => {
  test('does not leave without a closed hand-back', () => {
    bundleBack(1)
    expect(() => run("update bundle set place = 'handed back' where id = 1")).toThrow('only through a closed hand-back')
    expect(() => run("update bundle set place = 'not found' where id = 1")).toThrow('only through a closed hand-back')
  })

  test('leaves the way its hand-back says, with the ties that were counted', () => {
    bundleBack(1, { back: 1, replaced: 1, words: 'one snapped' })
    bundleBack(2, { found: 0, tied: 0, back: 0, words: 'nowhere' })
    closeIt()
    const leave = (place: string, on: number, off: number, lost: number, id: number) =>
      run(
        `update bundle set place = '${place}', ties_on = ${on}, ties_off = ${off}, ties_lost = ${lost} where id = ${id}`,
      )
    expect(() => leave('not found', 2, 0, 1, 1)).toThrow('only through a closed hand-back')
    expect(() => leave('handed back', 3, 0, 0, 1)).toThrow('the ties that were counted back')
    expect(() => leave('handed back', 2, 1, 0, 1)).toThrow('the ties that were counted back')
    expect(() => leave('handed back', 2, 0, 0, 1)).toThrow('CHECK constraint failed')
    leave('handed back', 2, 0, 1, 1)
    expect(() => leave('handed back', 0, 0, 3, 2)).toThrow('only through a closed hand-back')
    leave('not found', 0, 0, 3, 2)
    expect(() => run("update bundle set condition = 'better' where id = 1")).toThrow('handed back does not change')
    expect(() => run("update bundle set place = 'ready shelf' where id = 1")).toThrow('handed back does not change')
    expect(() => run('delete from bundle where id = 1')).toThrow('never deleted')
  })
})

describe('a lot', () => {
  test('does not close while a bundle of it is here', () => {
    expect(() => run(`update lot set closed_at = '${AT}' where id = 1`)).toThrow('when all its bundles have gone back')
  })

  test('that has closed does not change, and does not go back again', () => {
    letGo()
    expect(() => run("update lot set colour = 'blue' where id = 1")).toThrow('was handed back does not change')
    expect(() => run('update lot set closed_at = null where id = 1')).toThrow('was handed back does not change')
    run(`insert into hand_back (commission_id, to_whom, words, worker_id, at) values (1, 'Marta', '', 1, '${AT}')`)
    expect(() => run('insert into hand_back_lot values (2, 1)')).toThrow('an open lot goes back')
  })
})

function letGo(): void {
  bundleBack(1)
  bundleBack(2)
  closeIt()
  run("update bundle set place = 'handed back' where lot_id = 1")
  run(`update lot set closed_at = '${AT}' where id = 1`)
}

describe('a closed hand-back is sealed', () => {
  beforeEach(letGo)

  test.each([
    ["update hand_back set to_whom = 'Ode' where id = 1", 'a closed hand-back is sealed'],
    ['update hand_back set closed = 0 where id = 1', 'a closed hand-back is sealed'],
    ['delete from hand_back where id = 1', 'a hand-back is never deleted'],
    ["update hand_back_bundle set explanation = 'other' where bundle_id = 1", 'what went back is written once'],
    ['delete from hand_back_bundle where bundle_id = 1', 'what went back is written once'],
    ['update hand_back_lot set lot_id = 2 where lot_id = 1', 'what went back is written once'],
    ['delete from hand_back_lot where lot_id = 1', 'what went back is written once'],
    ['insert into hand_back_lot values (1, 2)', 'that is not closed'],
  ])('%s', (sql, sentence) => {
    expect(() => run(sql)).toThrow(sentence)
  })

  test('takes no further bundle', () => {
    expect(() => bundleBack(3)).toThrow(/sealed|whole lot/)
  })
})
