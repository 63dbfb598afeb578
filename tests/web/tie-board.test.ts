/** The tie board of a lot: nothing to press where nothing is unusual, one press for each exception, and always the sum. */
import type { Database } from 'better-sqlite3'
import { beforeEach, describe, expect, test } from 'vitest'
import { inOneStep } from '../../src/store/db.js'
import { beginNextStep, layLoad, undoLast } from '../../src/store/loads.js'
import { addPot } from '../../src/store/pots.js'
import { bandFor, sharesBack } from '../../src/store/weight-back.js'
import { rowsTicked } from '../hand-back-helper.js'
import { testApp } from '../helper.js'
import { lotReady, potOf } from '../pots-kit.js'

type Site = Awaited<ReturnType<typeof testApp>>
let site: Site
let raw: Database
let lotId: number
let loadId: number

const next = (version: number) =>
  inOneStep(site.db, trx => beginNextStep(trx, site.by, { loadId, version, why: 'so asked' }))
const counts = () =>
  raw
    .prepare('select ties_on, ties_off, ties_lost, ties_replaced from bundle where lot_id = ? order by n')
    .raw()
    .all(lotId)
const say = (n: number, saying: string, words = '') => {
  const after = raw
    .prepare(
      'select coalesce(max(tie_event.id), 0) from bundle left join tie_event on bundle_id = bundle.id where lot_id = ? and n = ?',
    )
    .pluck()
    .get(lotId, n)
  return site.browser.post(`/lots/${lotId}/ties`, { n, saying, words, after: Number(after) })
}

beforeEach(async () => {
  site = await testApp()
  raw = site.raw
  const potId = await inOneStep(site.db, trx => addPot(trx, site.by, potOf('Pot 1', 500)))
  lotId = await lotReady(site.db, site.by, { bundles: 2 })
  const ids = raw.prepare('select id from bundle where lot_id = ?').pluck().all(lotId).map(Number)
  loadId = await inOneStep(site.db, trx => layLoad(trx, site.by, { potId, bundleIds: ids }))
})

/** Through all its steps to the ready shelf. */
async function dry(from = 1): Promise<void> {
  const steps = Number(raw.prepare('select count(*) from load_step where load_id = ?').pluck().get(loadId))
  for (let n = from; n <= steps; n += 1) await next(n)
}

describe('the everyday way', () => {
  test('asks for no press: off with the step that takes them off, and back when all is dry', async () => {
    await next(1)
    expect(counts()).toEqual([
      [0, 3, 0, 0],
      [0, 3, 0, 0],
    ])
    const { text } = await site.browser.get(`/lots/${lotId}/ties`)
    expect(text).toContain('6 came: 6 on the board, kept undyed')
    await dry(2)
    expect(counts()).toEqual([
      [3, 0, 0, 0],
      [3, 0, 0, 0],
    ])
    const kinds = raw.prepare('select kind from tie_event order by id').pluck().all()
    expect(kinds).toEqual(['taken off', 'taken off', 'put back', 'put back'])
  })
})

describe('an exception', () => {
  test('is one press, and stays when the step is undone and done again', async () => {
    await next(1)
    expect((await say(1, 'lost', 'it fell in the drain')).status).toBe(303)
    expect((await say(2, 'replaced')).status).toBe(303)
    expect(counts()).toEqual([
      [0, 2, 1, 0],
      [0, 3, 0, 1],
    ])
    await inOneStep(site.db, trx => undoLast(trx, site.by, { loadId, version: 2 }))
    expect(counts()).toEqual([
      [2, 0, 1, 0],
      [3, 0, 0, 1],
    ])
    await next(3)
    expect(counts()).toEqual([
      [0, 2, 1, 0],
      [0, 3, 0, 1],
    ])
    const { text } = await site.browser.get(`/lots/${lotId}/ties`)
    expect(text).toContain('3 came: 2 on the board, kept undyed; 1 lost')
    expect(text).toContain('it fell in the drain')
    expect((await say(1, 'found')).status).toBe(303)
    expect((await say(2, 'first back')).status).toBe(303)
    expect(counts()).toEqual([
      [0, 3, 0, 0],
      [0, 3, 0, 0],
    ])
  })

  test('arrives at the hand-back missing, and is explained there; a replaced one is shown as such', async () => {
    await dry()
    await say(1, 'lost')
    await say(2, 'replaced')
    const url = `/commissions/${raw.prepare('select commission_id from lot where id = ?').pluck().get(lotId)}/hand-back`
    const { body } = await site.browser.json(url)
    expect(body.lots[0].bundles.map((one: { tieStates: string[] }) => one.tieStates)).toEqual([
      ['on', 'on', 'missing'],
      ['on', 'on', 'replaced'],
    ])
    const rows = {
      ...rowsTicked([{ lot: 0, bundles: 2 }]),
      ...{ 'lots.0.bundles.0.tiesBack': 2, 'lots.0.bundles.1.tiesBack': 2, 'lots.0.bundles.1.tiesReplaced': 1 },
    }
    const typed = { do: 'close', toWhom: 'Ilse Marram', version: body.version, ...rows }
    const silent = await site.browser.post(url, typed)
    expect(silent.status).toBe(422)
    expect(silent.text).toContain('1 is missing (2 back and 0 replaced)')
    const told = await site.browser.post(url, { ...typed, 'lots.0.bundles.0.explanation': 'it snapped' })
    expect(told.status).toBe(303)
    expect(counts()).toEqual([
      [2, 0, 1, 0],
      [3, 0, 0, 1],
    ])
    expect((await site.browser.get(String(told.headers.location))).text).toContain(
      '1 tie replaced from the strip’s own end',
    )
    expect((await say(1, 'found')).status).toBe(409)
  })

  test('makes a checklist that was opened before it out of date', async () => {
    await dry()
    const url = `/commissions/${raw.prepare('select commission_id from lot where id = ?').pluck().get(lotId)}/hand-back`
    const { body } = await site.browser.json(url)
    await say(1, 'lost')
    const rows = rowsTicked([{ lot: 0, bundles: 2 }])
    const typed = { do: 'close', toWhom: 'Ilse Marram', version: body.version, ...rows }
    expect((await site.browser.post(url, typed)).status).toBe(409)
  })

  test('is refused where there is no such tie, from an old page, and as nonsense', async () => {
    const before = counts()
    expect((await say(1, 'found')).status).toBe(422)
    expect((await say(1, 'first back')).status).toBe(422)
    expect((await site.browser.post(`/lots/${lotId}/ties`, { n: 1, saying: 'lost', after: 77 })).status).toBe(409)
    for (const fields of [
      {},
      { n: 'x', saying: 'y', after: 'z' },
      { n: 1, after: 0, saying: 'lost', words: 'w'.repeat(10_000) },
    ])
      expect((await site.browser.post(`/lots/${lotId}/ties`, fields)).status).toBe(422)
    expect((await site.browser.get('/lots/999/ties')).status).toBe(404)
    expect(counts()).toEqual(before)
  })
})

describe('the weight that came back', () => {
  test('is asked of the newest lots of the fibre and the route, by their index', async () => {
    const plan = raw
      .prepare(
        `explain query plan select back.weight_g / bundle.dry_weight_g from
          (select id from lot where fibre_id = ? and route = ? and closed_at is not null order by id desc limit 100) newest
          join bundle on bundle.lot_id = newest.id join hand_back_bundle back on back.bundle_id = bundle.id
          where back.found = 1 and back.weight_g is not null and back.condition = 'as it came'`,
      )
      .all('red-cedar-inner-bark', 'label') as { detail: string }[]
    const details = plan.map(({ detail }) => detail).join('\n')
    expect(details).toContain('lot_fibre_route')
    expect(details).not.toMatch(/SCAN (lot|bundle|back)\b/)
    expect(await sharesBack(site.db, 'red-cedar-inner-bark', 'label')).toEqual([])
    expect(await bandFor(site.db, { fibreId: 'red-cedar-inner-bark', route: 'label' })).toMatchObject({ of: 0 })
  })

  test('is held against what was expected on that day, which is kept with it', async () => {
    await dry()
    const url = `/commissions/${raw.prepare('select commission_id from lot where id = ?').pluck().get(lotId)}/hand-back`
    const rows = { ...rowsTicked([{ lot: 0, bundles: 2 }]), 'lots.0.bundles.0.weight': '148 g' }
    const typed = { do: 'close', toWhom: 'Ilse Marram', version: 0, ...rows }
    expect((await site.browser.post(url, typed)).status).toBe(303)
    expect(raw.prepare('select band_from, band_to, band_of from hand_back_bundle').raw().all()).toEqual([
      [0.9, 1.15, 0],
      [0.9, 1.15, 0],
    ])
    expect(await sharesBack(site.db, 'red-cedar-inner-bark', 'label')).toEqual([{ share: 148 / 150 }])
  })
})
