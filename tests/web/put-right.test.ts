/** Putting right what was written at drop-off: only what was otherwise is filled in, and what stood there stays readable. */
import { beforeEach, describe, expect, test } from 'vitest'
import { walkChain } from '../../src/store/chain.js'
import { inOneStep } from '../../src/store/db.js'
import { addBundles } from '../../src/store/drop-off.js'
import { beginNextStep, layLoad } from '../../src/store/loads.js'
import { addPot } from '../../src/store/pots.js'
import { wrongSums } from '../../src/store/sums.js'
import { aLot, alike, bring, makeReady, plainText, rowsTicked } from '../hand-back-helper.js'
import { testApp } from '../helper.js'
import { lotReady, potOf } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
const why = 'counted again with Marta'
const send = (fields: Record<string, string>, lotId = 1) =>
  site.browser.post(`/lots/${lotId}/put-right`, { version: '1', why, ...fields })
const lotPage = async (lotId = 1) => (await site.browser.json(`/lots/${lotId}`)).body
const textOf = async (url: string) => plainText((await site.browser.get(url)).text)
const isSound = async () => {
  expect((await walkChain(site.db)).broken).toEqual([])
  expect(await wrongSums(site.db)).toEqual([])
}

describe('on the arrivals shelf', () => {
  beforeEach(async () => {
    site = await testApp()
    await bring(site.db, site.by, [aLot(alike(4))])
  })

  test('the same for all bundles in one line, and a row of its own before it', async () => {
    expect((await site.browser.get('/lots/1')).text).toContain('href="/lots/1/put-right"')
    const sent = await send({
      'each.ties': '4',
      'bundles.2.ties': '5',
      'bundles.3.weight': '510',
      'bundles.3.thickness': 'none',
    })
    expect(sent.status, sent.text).toBe(303)
    const { lot, history } = await lotPage()
    expect(lot.bundles.map(({ tiesIn, tiesOn }: { tiesIn: number; tiesOn: number }) => [tiesIn, tiesOn])).toEqual([
      [4, 4],
      [5, 5],
      [4, 4],
      [4, 4],
    ])
    expect(lot.bundles[2]).toMatchObject({
      dryWeightG: 510,
      weightTyped: '510',
      thicknessMm: null,
      thicknessTyped: '',
    })
    expect(
      history.slice(1).map(({ what, was, became, words }: Record<string, unknown>) => [what, was, became, words]),
    ).toEqual([
      ['put right: bundles 1, 4', { ties: 3 }, { ties: 4 }, why],
      ['put right: bundle 2', { ties: 3 }, { ties: 5 }, why],
      [
        'put right: bundle 3',
        { ties: 3, dryWeightG: 150, thicknessMm: 0.8 },
        { ties: 4, dryWeightG: 510, thicknessMm: null },
        why,
      ],
    ])
    expect(await textOf('/lots/1')).toContain(
      'dry weight from “150 g” to “510 g”; thickness from “0.8 mm” to “none”: “counted again with Marta”',
    )
    expect(await textOf('/bundles/3')).toContain(
      'Wren: dry weight from “150 g” to “510 g”, because: counted again with Marta',
    )
    await isSound()
  })

  test('condition and tying follow what is seen, and what spreads is kept apart', async () => {
    expect((await send({ 'bundles.1.condition': 'mould seen, at one end', 'bundles.1.howTied': 'a bow' })).status).toBe(
      303,
    )
    const { came, lot, points } = await lotPage()
    expect(came.bundles[0]).toMatchObject({
      found: ['mould seen'],
      words: 'mould seen, at one end',
      tieKind: 'a bow',
      thickEnd: 'thick end first',
    })
    expect(lot.bundles[0]).toMatchObject({ condition: 'mould seen, at one end', howTied: 'a bow' })
    expect(points.map(({ sentence }: { sentence: string }) => sentence)).toContain('Lot 1 is kept apart: mould seen')
    expect((await send({ version: '2', 'bundles.1.condition': 'as expected' })).status).toBe(303)
    expect((await lotPage()).came.bundles[0].says).toContain('as expected')
    await isSound()
  })

  test('weighed damp, it counts by what it weighs dry', async () => {
    const damp = { 'damp.how': 'moisture', 'damp.percent': '25', 'damp.of': 'oven-dry weight' }
    expect((await send({ 'bundles.1.weight': '200 g', ...damp })).status).toBe(303)
    const [bundle] = (await lotPage()).lot.bundles
    expect(bundle.weightTyped).toBe('200 g damp, 25 % moisture of the dry weight')
    // 200 g with 25 % moisture hold 160 g oven-dry; conditioned it is a little more.
    expect(bundle.dryWeightG).toBeGreaterThanOrEqual(160)
    expect(bundle.dryWeightG).toBeLessThan(185)
  })

  test('a bundle that was never there is withdrawn, one that was overlooked is added, and the sum shows both', async () => {
    const code = site.raw.prepare('select code from tag where bundle_id = 2').pluck().get()
    expect((await send({ 'bundles.2.withdrawn': 'yes', line: '2 bundles of 5 ties, 90 g each' })).status).toBe(303)
    const { lot, withdrawn } = await lotPage()
    expect(lot.bundles.map(({ n }: { n: number }) => n)).toEqual([1, 3, 4, 5, 6])
    expect(withdrawn).toMatchObject([{ n: 2, place: 'withdrawn' }])
    expect(lot.bundles[4]).toMatchObject({ tiesIn: 5, tiesOn: 5, dryWeightG: 90, place: 'arrivals shelf' })
    expect(await textOf('/lots/1')).toContain('5 bundles, 19 ties, 630 g dry')
    expect(await textOf('/lots/1')).toContain('Withdrawn, since never there: bundle 2')
    expect(await textOf('/places')).toContain(
      '6 bundles taken in − 1 withdrawn, since never there − 0 handed back − 0 not found and explained = 5 here',
    )
    expect(await textOf('/bundles/2')).toContain('withdrawn, since it was never there')
    const tag = await site.browser.get(`/t/${code}`)
    expect(tag.status).toBe(410)
    expect(plainText(tag.text)).toContain('the bundle was withdrawn: counted again with Marta')
    expect(
      site.raw.prepare('select count(*) from tag where bundle_id in (5, 6) and void_at is null').pluck().get(),
    ).toBe(2)
    expect((await site.browser.json('/commissions/1')).body.totals).toEqual({ bundles: 5, ties: 19, dryWeightG: 630 })
    await isSound()
    // Its number is never used again.
    await inOneStep(site.db, trx => addBundles(trx, site.by, 1, alike(1)))
    expect((await lotPage()).lot.bundles.map(({ n }: { n: number }) => n)).toEqual([1, 3, 4, 5, 6, 7])
  })

  test('the issued receipt stays; a further one is offered, and says what it amends', async () => {
    const before = site.raw.prepare('select content from receipt').pluck().get()
    await send({ 'bundles.1.weight': '510', 'bundles.4.withdrawn': 'yes' })
    expect(await textOf('/commissions/1')).toContain('What was put right is not on the receipt yet')
    expect((await site.browser.post('/commissions/1/receipt', {})).status).toBe(303)
    expect(site.raw.prepare('select content from receipt where n = 1').pluck().get()).toBe(before)
    const { issued } = (await site.browser.json('/commissions/1/receipt')).body
    expect(issued.receipt.amends.join('\n')).toContain('510 g')
    expect(await textOf('/commissions/1')).not.toContain('is not on the receipt yet')
  })

  test('the last bundle of a lot is not withdrawn', async () => {
    const all = Object.fromEntries([1, 2, 3, 4].map(n => [`bundles.${n}.withdrawn`, 'yes']))
    const page = await send(all)
    expect(page.status).toBe(409)
    expect(page.text).toContain('is the last of lot 1')
    expect((await lotPage()).lot.bundles).toHaveLength(4)
  })

  test.each<[string, Record<string, string>, string, string]>([
    ['nothing', {}, 'each.ties', 'Say what was otherwise'],
    ['no reason', { 'each.ties': '4', why: '' }, 'why', 'Fill in: how you know.'],
    ['what stands there already', { 'bundles.1.ties': '3' }, '', 'stands there already'],
    ['no number of ties', { 'bundles.2.ties': 'four-ish' }, 'bundles.2.ties', 'Bundle 2: '],
    [
      'a damp weight without its moisture',
      { 'bundles.2.weight': '200 g damp' },
      'bundles.2.weight',
      'Only dry weight counts',
    ],
    ['no bundles in the line', { line: 'a few more' }, 'line', ''],
    ['words about bundles that are not counted', { lineCondition: 'brittle' }, 'line', 'not how many they are'],
    ['a bundle that is none of it', { 'bundles.9.ties': '3' }, '', 'Lot 1 has no bundle 9.'],
    ['too many', { line: '200 bundles of 3 ties, 150 g each' }, 'line', '200 bundles at most'],
  ])('with %s it is asked again, and keeps what was typed', async (_, fields, field, sentence) => {
    const page = await send(fields)
    expect(page.status).toBe(422)
    if (field) expect(page.text).toContain(`href="#${field}"`)
    expect(page.text).toContain(sentence)
    for (const value of Object.values(fields)) if (value) expect(page.text).toContain(`${value}`)
    expect((await lotPage()).history).toHaveLength(1)
  })

  test('all that is wrong is said at once', async () => {
    const page = await send({ 'bundles.1.ties': 'some', line: 'a few more', why: '' })
    for (const field of ['bundles.1.ties', 'line', 'why']) expect(page.text).toContain(`href="#${field}"`)
  })

  test('from a page that is older than the lot it is refused, with everything typed', async () => {
    await send({ 'each.ties': '4' })
    const page = await send({ 'bundles.1.weight': '510 g' })
    expect(page.status).toBe(409)
    expect(page.text).toContain('value="510 g"')
    expect(page.text).toContain('name="version" value="2"')
    expect((await send({ version: '2', 'bundles.1.weight': '510 g' })).status).toBe(303)
  })

  test('not when it has gone back, nor of a bundle that has', async () => {
    makeReady(site.raw, 1)
    const close = {
      ...rowsTicked([{ lot: 0, bundles: 4 }]),
      do: 'close',
      version: '0',
      toWhom: 'Marta Quill',
      words: '',
    }
    const part = { ...close, 'lots.0.bundles.3.stays': 'yes', staysWords: 'until spring' }
    expect((await site.browser.post('/commissions/1/hand-back', part)).status).toBe(303)
    const gone = await send({ version: '2', 'bundles.1.ties': '4' })
    expect(gone.status).toBe(409)
    expect(gone.text).toContain('Bundle 1 has gone back, and its slip is sealed.')
    expect((await send({ version: '2', 'each.thickness': '1 mm' })).status).toBe(303)
    expect((await lotPage()).lot.bundles.map(({ thicknessMm }: { thicknessMm: number }) => thicknessMm)).toEqual([
      0.8, 0.8, 0.8, 1,
    ])
    expect((await site.browser.get('/lots/9/put-right')).status).toBe(404)
  })
})

describe('once there is a recipe', () => {
  let lotId: number
  let potId: number
  const lay = (ns: number[]) =>
    site.browser.post(`/lots/${lotId}/load`, {
      potId: String(potId),
      ...Object.fromEntries(ns.map(n => [`bundles.${n}`, 'yes'])),
    })
  const keep = async () => {
    const { text } = await site.browser.get(
      `/lots/${lotId}/recipe?depth=medium&dyes.0.substanceId=all-purpose-bottled&dyes.0.share=1`,
    )
    const form = /<form method="post"[\s\S]*?<\/form>/.exec(text)?.[0] ?? ''
    const hidden = [...form.matchAll(/<input type="hidden" name="([^"]+)" value="([^"]*)">/g)]
    return site.browser.post(
      `/lots/${lotId}/recipe`,
      Object.fromEntries(hidden.map(([, name = '', value = '']) => [name, value])),
    )
  }
  beforeEach(async () => {
    site = await testApp()
    potId = await inOneStep(site.db, trx => addPot(trx, site.by, potOf('Pot 1', 500)))
    lotId = await lotReady(site.db, site.by, { bundles: 2 })
  })

  test('another weight asks for the recipe anew before anything goes in a pot', async () => {
    expect((await send({ 'bundles.1.weight': '510' }, lotId)).status).toBe(303)
    const refused = await lay([1, 2])
    expect(refused.status).toBe(409)
    expect(plainText(refused.text)).toMatch(/was made for \d+ g dry; since what was brought was put right, it is \d+ g/)
    expect(await textOf(`/lots/${lotId}`)).toContain('work it out again before more of it goes in a pot')
    expect((await keep()).status).toBe(303)
    expect((await lay([1, 2])).status).toBe(303)
  })

  test('a load that is laid keeps what was weighed out, and its page says what it should have been', async () => {
    await lay([1, 2])
    const before = (await site.browser.json('/loads/1')).body.load
    expect(before.lines.length).toBeGreaterThan(0)
    expect((await send({ 'each.weight': String(before.dryWeightG) }, lotId)).status).toBe(303)
    const { load, putRight } = (await site.browser.json('/loads/1')).body
    expect(load.dryWeightG).toBe(before.dryWeightG)
    expect(load.lines).toEqual(before.lines)
    // Each of the two bundles weighs what was thought to be the weight of both: everything by weight doubles.
    expect(putRight.dryWeightG).toBeCloseTo(2 * before.dryWeightG, 6)
    expect(putRight.lines[0].amount / before.lines[0].amount).toBeCloseTo(2, 1)
    expect(await textOf('/loads/1')).toContain('Put right since: this load holds')
  })

  test('ties are counted anew only before any came off', async () => {
    await lay([1])
    const inLoad = await send({ 'bundles.1.ties': '4' }, lotId)
    expect(inLoad.status).toBe(409)
    expect(inLoad.text).toContain('href="#bundles.1.ties"')
    expect((await send({ 'bundles.2.ties': '4' }, lotId)).status).toBe(303)
    await inOneStep(site.db, trx => beginNextStep(trx, site.by, { loadId: 1, version: 1, why: 'so asked' }))
    const onBoard = await send({ version: '2', 'bundles.1.ties': '4' }, lotId)
    expect(onBoard.text).toContain('each is accounted for on the tie board')
    const worked = await send({ version: '2', 'bundles.1.withdrawn': 'yes' }, lotId)
    expect(worked.text).toContain('Bundle 1 was worked on')
    expect((await lotPage(lotId)).lot.version).toBe(2)
    await isSound()
  })

  test('a bundle that is withdrawn counts nowhere: on tags, at the pot, on the day’s page', async () => {
    lotId = await lotReady(site.db, site.by, { bundles: 4 })
    await send({ 'bundles.2.withdrawn': 'yes' }, lotId)
    const tags = await textOf('/commissions/2/tags')
    for (const which of ['1 of 3 , Ilse', '3 of 3 , Ilse', '4 (3 in all) , Ilse']) expect(tags).toContain(which)
    expect(tags).not.toContain('of 4')
    expect(await textOf('/bundles/6')).toContain('Bundle 4 (3 in all), lot 2')
    expect(await textOf('/bundles/4')).toContain('Bundle 2, lot 2')
    await keep()
    await lay([3])
    for (const page of ['/pots/1/now', '/']) expect(await textOf(page)).toContain('bundle 3 of 3')
    potId = await inOneStep(site.db, trx => addPot(trx, site.by, potOf('Pot 2', 500)))
    await lay([1, 4])
    for (const page of ['/pots/2/now', '/']) {
      const text = await textOf(page)
      expect(text, page).toMatch(/bundles 1, 4 \(3 in all\)/)
      expect(text, page).not.toContain('of 4')
    }
    site.raw.exec("update bundle set place = 'ready shelf', load_id = null where id = 6")
    expect(await textOf('/commissions/2/hand-back')).toContain('Bundle 4 (3 in all)')
  })

  test('past the program, nothing goes in by a recipe for another weight', async () => {
    await send({ 'bundles.1.weight': '510' }, lotId)
    const [{ id }] = (await lotPage(lotId)).lot.bundles
    await expect(inOneStep(site.db, trx => layLoad(trx, site.by, { potId, bundleIds: [id] }))).rejects.toThrow(
      'keep it anew',
    )
  })
})
