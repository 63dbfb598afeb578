import { beforeEach, describe, expect, test } from 'vitest'
import { sayTagCode } from '../../src/domain/tag-code.js'
import { inOneStep } from '../../src/store/db.js'
import { beginNextStep, findLoad, layLoad, noteAddition, noteRinse, undoLast } from '../../src/store/loads.js'
import { findLot } from '../../src/store/lots.js'
import { takeInLot as takeInWeld } from '../a-lot.js'
import { aLot, alike, bring, makeReady, rowsTicked } from '../hand-back-helper.js'
import { newKey, testApp } from '../helper.js'
import { jobOf, keep, lotReady, takeInLot, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const at = (hour: number) => ({ workerId: site.workerId, at: `2026-03-02T${String(hour).padStart(2, '0')}:00:00.000Z` })
const page = async (url: string) => (await site.browser.get(url)).text
const json = async (url: string) => (await site.browser.json(url)).body

/** A lot of four bundles in Pot 1, taken through `steps` of its steps, one an hour. */
async function lotAtWork(steps = 0): Promise<{ lotId: number; loadId: number }> {
  const [potId] = await threePots(site.db, site.by)
  const lotId = await lotReady(site.db, site.by, {}, { tiesUndyed: true })
  const bundles = (await findLot(site.db, lotId))?.bundles ?? []
  const loadId = await inOneStep(site.db, trx =>
    layLoad(trx, site.by, { potId, bundleIds: bundles.map(({ id }) => id) }),
  )
  for (let n = 0; n < steps; n += 1) await carryOn(loadId, 10 + n)
  return { lotId, loadId }
}

async function carryOn(loadId: number, hour: number): Promise<void> {
  const version = (await findLoad(site.db, loadId))?.version ?? 0
  await inOneStep(site.db, trx => beginNextStep(trx, at(hour), { loadId, version, why: 'as agreed' }))
}

describe('the page of a lot', () => {
  test('on paper is enough to hand it back with the computer off', async () => {
    const lotId = await takeInLot(site.db, site.by)
    const text = await page(`/lots/${lotId}`)
    const codes = site.raw.prepare('select code from tag').pluck().all().map(String)
    const [came, owner] = [
      ['3 ties', '150 g dry', 'clean', 'thick end first'],
      ['Ilse Marram', 'IM', 'the net loft'],
    ]
    const asked = ['true black', 'stay undyed', 'Never hang it by the thin ends.', '4 bundles, 12 ties, 600 g dry']
    for (const words of [...codes.map(sayTagCode), ...came, ...owner, ...asked]) expect(text).toContain(words)
    expect(codes).toHaveLength(4)
  })

  test('with no recipe, no load and no outcome yet says so, with its wishes on top', async () => {
    const lotId = await takeInLot(site.db, site.by)
    const text = await page(`/lots/${lotId}`)
    const order = ['Never hang it by the thin ends.', 'Asked', 'Computed', 'Really done', 'Came out', 'Bundles']
    const places = order.map(words => text.indexOf(words))
    expect(places).toEqual([...places].sort((one, other) => one - other))
    expect(places[0]).toBeGreaterThan(0)
    expect(text).toContain('No recipe is kept yet')
    expect(text).toContain('Nothing was in a pot yet')
    expect(text).toContain('Nothing is written down yet')
    expect(text).not.toMatch(/undefined|NaN|null/)
    expect(text.match(/<svg[^>]*role="img"/g)).toHaveLength(4)
  })

  test('holds the four records side by side', async () => {
    const { lotId, loadId } = await lotAtWork(3)
    await inOneStep(site.db, trx =>
      noteAddition(trx, at(14), { loadId, substanceId: 'all-purpose-bottled', amount: 60, unit: 'mL', typed: '60 mL' }),
    )
    await inOneStep(site.db, trx => noteRinse(trx, at(15), { loadId, water: 'tinted', words: 'smells of vinegar' }))
    await site.browser.post(`/lots/${lotId}/outcome`, {
      'outcome.nearness': 'nearly as asked',
      'outcome.swatch': '#221f1e',
      'outcome.words': 'a little brown',
    })
    const { lot, computed, loads, outcomes } = await json(`/lots/${lotId}`)
    expect(lot).toMatchObject({ colour: 'true black', swatch: '#2a2523', purpose: 'hat class', neededBy: '2026-03-20' })
    expect(computed).toMatchObject({ dryWeightG: 600, suits: true })
    expect(computed.lines[0]).toMatchObject({ unit: 'mL', amount: expect.any(Number) })
    expect(loads).toHaveLength(1)
    expect(loads[0]).toMatchObject({ potName: 'Pot 1', dryWeightG: 600, laidAt: site.by.at, doneAt: null })
    expect(loads[0].bundles).toHaveLength(4)
    expect(loads[0].log.map((line: { kind: string }) => line.kind)).toEqual([
      ...['step', 'step', 'step', 'step'],
      ...['added', 'rinsed'],
    ])
    expect(loads[0].log.at(-2)).toMatchObject({ amount: 60, unit: 'mL', at: at(14).at, who: 'Wren' })
    expect(loads[0].log.at(-1)).toMatchObject({ water: 'tinted', words: 'smells of vinegar' })
    expect(outcomes).toMatchObject([{ nearness: 'nearly as asked', swatch: '#221f1e', words: 'a little brown' }])
    const text = await page(`/lots/${lotId}`)
    for (const words of ['Added 60 mL', 'Rinse ran tinted: smells of vinegar', 'a little brown', 'nearly as asked'])
      expect(text).toContain(words)
  })

  test('tells where each bundle and each tie is', async () => {
    const { lotId, loadId } = await lotAtWork()
    const steps = (await findLoad(site.db, loadId))?.steps ?? []
    const off = steps.findIndex(step => step.tiesComeOff)
    expect(off).toBeGreaterThanOrEqual(0)
    for (let n = 0; n <= off; n += 1) await carryOn(loadId, 10 + n)
    const text = await page(`/lots/${lotId}`)
    expect(text).toContain('3 ties: 0 on it, 3 on the tie board')
    expect(text).toContain('Bundle 1: 3 ties, 3 on the tie board, ties undyed')
    const { lot, moves } = await json(`/lots/${lotId}`)
    expect(moves.filter((move: { n: number }) => move.n === 1).at(-1)).toMatchObject({ to: lot.bundles[0].place })
    expect(moves.filter((move: { n: number }) => move.n === 4)[0]).toMatchObject({ from: null, to: 'arrivals shelf' })
  })

  test('tells bundles in runs, and each thing weighed out on a line of its own', async () => {
    const { loadId, lotId } = await lotAtWork()
    const steps = (await findLoad(site.db, loadId))?.steps ?? []
    for (let n = 0; n < steps.findIndex(step => step.place === 'pot'); n += 1) await carryOn(loadId, 10 + n)
    const text = await page(`/lots/${lotId}`)
    expect(text).toContain('begun: soaking, for Pot 1; bundles 1 to 4; 600 g dry')
    const [weighed] = (await json(`/lots/${lotId}`)).loads[0].weighedOut
    expect(text).toContain(`<li>${weighed.substanceName}: <strong>`)
  })

  test('keeps what was undone in sight, as undone', async () => {
    const { lotId, loadId } = await lotAtWork(2)
    const version = (await findLoad(site.db, loadId))?.version ?? 0
    await inOneStep(site.db, trx => undoLast(trx, at(20), { loadId, version }))
    const { loads } = await json(`/lots/${lotId}`)
    expect(loads[0].log.map((line: { undoneAt: string | null }) => line.undoneAt)).toEqual([null, null, at(20).at])
    expect(await page(`/lots/${lotId}`)).toMatch(/<s>[^<]+<\/s> <span class="quiet">undone/)
  })

  test('says what a repeat would use, from what was weighed out and added', async () => {
    const { lotId, loadId } = await lotAtWork()
    expect((await json(`/lots/${lotId}`)).used).toEqual([])
    const steps = (await findLoad(site.db, loadId))?.steps ?? []
    for (let n = 0; n < steps.findIndex(step => step.place === 'pot'); n += 1) await carryOn(loadId, 10 + n)
    await inOneStep(site.db, trx =>
      noteAddition(trx, at(20), { loadId, substanceId: 'all-purpose-bottled', amount: 60, unit: 'mL', typed: '60 mL' }),
    )
    const { used, loads } = await json(`/lots/${lotId}`)
    const weighedMl = loads[0].weighedOut[0].amount
    const dye = used.find((one: { substanceId: string }) => one.substanceId === 'all-purpose-bottled')
    // By definition: all that went in, over 0.6 kg of dry fibre.
    expect(dye.perKg).toBeCloseTo((weighedMl + 60) / 0.6, 6)
    expect(await page(`/lots/${lotId}`)).toMatch(/for each 500 g of dry fibre:[\s\S]*mL \([\d.]+ bottles?\)/)
  })

  test('leads to what comes next', async () => {
    const lotId = await takeInLot(site.db, site.by)
    expect((await json(`/lots/${lotId}`)).next).toEqual(['recipe', 'outcome'])
    await keep(site.db, site.by, lotId, jobOf(600))
    expect((await json(`/lots/${lotId}`)).next[0]).toBe('pot')
    expect(await page(`/lots/${lotId}`)).toContain(`<a class="button main" href="/lots/${lotId}/load">`)
    site.raw.prepare("update bundle set place = 'ready shelf'").run()
    expect((await json(`/lots/${lotId}`)).next[0]).toBe('hand-back')
  })

  test('that went back shows how, the explanation of what is missing, and the way to its slip', async () => {
    await bring(site.db, site.by, [aLot(alike(2))])
    makeReady(site.raw, 1)
    const short = { tiesBack: '1', tiesReplaced: '1', explanation: 'one strip broke in two' }
    const closed = await site.browser.post('/commissions/1/hand-back', {
      ...rowsTicked([{ lot: 0, bundles: 2 }]),
      ...Object.fromEntries(Object.entries(short).map(([field, value]) => [`lots.0.bundles.1.${field}`, value])),
      ...{ do: 'close', version: '0', toWhom: 'Marta Quill', words: '' },
    })
    expect(closed.status).toBe(303)
    const { lot, back, next } = await json('/lots/1')
    expect(lot.closedAt).toBe(site.by.at)
    expect(lot.bundles).toMatchObject([{ tiesOn: 3 }, { tiesOn: 2, tiesLost: 1, place: 'handed back' }])
    expect(back[1]).toMatchObject({ tiesBack: 1, tiesReplaced: 1, found: true, explanation: 'one strip broke in two' })
    expect(next[0]).toBe('repeat')
    const text = await page('/lots/1')
    expect(text).toContain('href="/hand-backs/1"')
    expect(text).toContain('1 back, 1 replaced from the strip’s own end')
    expect(text).toMatch(/Bundle 2: 3 ties, 1 missing, 1 replaced/)
    expect(text).toContain('href="/drop-off?repeat=1"')
    expect(text).not.toContain('Change the colour asked')
    await site.browser.post('/lots/1/outcome', {
      'outcome.nearness': 'nearly as asked',
      'outcome.words': 'faded by June',
    })
    expect((await json('/lots/1')).outcomes).toMatchObject([{ words: 'faded by June' }])
  })

  test('of no lot is not found', async () => {
    for (const url of ['/lots/1', '/lots/x', '/lots/1/outcome']) expect((await site.browser.get(url)).status).toBe(404)
    expect((await site.browser.post('/lots/1/outcome', { 'outcome.nearness': 'as asked' })).status).toBe(404)
  })

  test('prints markup as text', async () => {
    const lotId = await takeInWeld(site, { colour: '"><img src=x>' })
    await site.browser.post(`/lots/${lotId}/outcome`, {
      'outcome.nearness': 'as asked',
      'outcome.words': '<script>alert(1)</script>',
    })
    const text = (await page(`/lots/${lotId}`)) + (await page('/past-lots'))
    expect(text).not.toMatch(/<img|<script>alert/)
  })
})

describe('what came out', () => {
  const told = { 'outcome.nearness': 'not as asked', 'outcome.swatch': '#445566', 'outcome.words': 'went grey' }

  test('overwrites neither the ask nor the recipe, and a later word stands beside it', async () => {
    const { lotId } = await lotAtWork()
    const before = await json(`/lots/${lotId}`)
    expect((await site.browser.post(`/lots/${lotId}/outcome`, told)).status).toBe(303)
    await site.browser.post(`/lots/${lotId}/outcome`, {
      'outcome.nearness': 'nearly as asked',
      'outcome.swatch': '#dedede',
    })
    const after = await json(`/lots/${lotId}`)
    expect(after.lot).toEqual(before.lot)
    expect(after.computed).toEqual(before.computed)
    expect(after.loads).toEqual(before.loads)
    expect(after.outcomes).toMatchObject([
      { nearness: 'nearly as asked', swatch: null, words: '' },
      { nearness: 'not as asked', swatch: '#445566', words: 'went grey', who: 'Wren', at: site.by.at },
    ])
  })

  test('is in the history and among the words that find the lot', async () => {
    const lotId = await takeInWeld(site)
    await site.browser.post(`/lots/${lotId}/outcome`, told)
    const { history } = await json(`/lots/${lotId}`)
    expect(history.at(-1)).toMatchObject({ what: 'came out not as asked', words: 'went grey', who: 'Wren' })
    expect((await json('/past-lots?words=grey')).lots).toMatchObject([{ id: lotId }])
    expect((await json('/past-lots?words=not+as+asked')).lots).toMatchObject([{ id: lotId }])
    expect((await json('/past-lots?words=nearly')).lots).toEqual([])
  })

  test('sent twice by one form is written once', async () => {
    const lotId = await takeInWeld(site)
    const key = newKey()
    for (const _ of [1, 2]) await site.browser.post(`/lots/${lotId}/outcome`, { ...told, key })
    expect((await json(`/lots/${lotId}`)).outcomes).toHaveLength(1)
  })

  test.each([
    ['empty', {}],
    ['nonsense', { 'outcome.nearness': 'splendid', 'outcome.swatch': 'reddish', 'outcome.words': 'kept <words>' }],
    ['10,000 characters', { 'outcome.nearness': 'nearly as asked', 'outcome.words': 'y'.repeat(10_000) }],
  ])('%s comes back with what was typed', async (_, fields: Record<string, string>) => {
    const lotId = await takeInWeld(site)
    const answer = await site.browser.post(`/lots/${lotId}/outcome`, fields)
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('id="trouble"')
    const words = fields['outcome.words'] ?? ''
    expect(answer.text).toContain(words.replace('<', '&lt;').replace('>', '&gt;'))
    expect((await json(`/lots/${lotId}`)).outcomes).toEqual([])
  })
})
