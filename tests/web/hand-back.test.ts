import { beforeEach, describe, expect, test } from 'vitest'
import { aLot, alike, bring, dyeLotOne, makeReady, plainText, rowsTicked } from '../hand-back-helper.js'
import { newKey, testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
/** Commission 1: lot 1 with two bundles of three ties and lot 2 with one, all on the ready shelf. */
beforeEach(async () => {
  site = await testApp()
  await bring(site.db, site.by, [aLot(alike(2)), aLot(alike(1), { colour: 'slate' })])
  makeReady(site.raw, 1)
  makeReady(site.raw, 2)
})

const URL = '/commissions/1/hand-back'
const all = [
  { lot: 0, bundles: 2 },
  { lot: 1, bundles: 1 },
]
const FIRST = 'lots.0.bundles.0'
type Fields = Record<string, string>

const form = (fields: Fields = {}, lots = all): Fields => {
  const whole = { do: 'close', version: '0', toWhom: 'Marta Quill', words: '', ...rowsTicked(lots), ...fields }
  return Object.fromEntries(Object.entries(whole).filter(([, value]) => value !== 'not sent'))
}
const send = (fields: Fields = {}, lots = all) => site.browser.post(URL, form(fields, lots))
const places = () => site.raw.prepare('select place from bundle order by id').pluck().all()
const READY = ['ready shelf', 'ready shelf', 'ready shelf']
describe('the checklist', () => {
  test('shows each bundle as it came, ready lots ticked, and names no number that ticks would make wrong', async () => {
    const page = await site.browser.get(URL)
    expect(page.status).toBe(200)
    expect(plainText(page.text)).toContain(
      'Bundle 1 of 2 3 ties, 150 g, 0.8 mm How it came: as expected; thick end first, three knots Tied up again',
    )
    expect(page.text).toContain('>Hand back what is ticked<')
    expect(page.text).toMatch(/name="lots.0.goes" value="yes" checked/)
    expect(page.text).not.toMatch(/tiedAgain" value="yes" checked/)
    expect(page.text).toContain('keep it out of the sun')
  })

  test('answers JSON with the lots, their bundles and what was checked', async () => {
    await send({ do: 'save', [`${FIRST}.weight`]: '148' }, [{ lot: 0, bundles: 1 }])
    const { body } = await site.browser.json(URL)
    expect(body).toMatchObject({ version: 1, lots: [{ id: 1, standing: 'ready' }, { id: 2 }] })
    expect(body.lots[0].bundles[0].check).toMatchObject({ tiedAgain: true, tiesBack: 3, weightG: 148 })
    expect(body.lots[0].bundles[1].check).toBeNull()
  })

  test('keeps what stays in sight, and does not offer it', async () => {
    await bring(site.db, site.by, [aLot(alike(1)), aLot(alike(2))])
    makeReady(site.raw, 3)
    const page = plainText((await site.browser.get('/commissions/2/hand-back')).text)
    expect(page).toContain('Lot 4 is not ready: 2 bundles on the arrivals shelf')
    expect(page).toContain('Lot 3 goes back now')
  })

  test('with many bundles leads from its top to its end, with few it does not', async () => {
    expect((await site.browser.get(URL)).text).not.toContain('href="#to-whom"')
    await bring(site.db, site.by, [aLot(alike(6))])
    makeReady(site.raw, 3)
    const { text } = await site.browser.get('/commissions/2/hand-back')
    expect(text).toMatch(/href="#to-whom"[\s\S]*Lot 3 goes back now[\s\S]*id="to-whom"[\s\S]*value="close"/)
  })

  test('says when nothing is ready', async () => {
    await bring(site.db, site.by, [aLot(alike(2))])
    const page = plainText((await site.browser.get('/commissions/2/hand-back')).text)
    expect(page).toContain('Nothing of this commission is ready to go back yet.')
  })

  test('names what is still in a load: alone it is not offered, beside ready bundles it stays', async () => {
    await dyeLotOne(site.db, site.raw, site.by)
    site.raw.exec("update bundle set place = 'drying line', load_id = 1 where id in (1, 2)")
    const whole = await site.browser.get(URL)
    expect(plainText(whole.text)).toMatch(/Lot 1 stays here \(.*barn red\): 2 on the drying line/)
    expect(whole.text).not.toContain('lots.0.goes')
    site.raw.exec("update bundle set place = 'ready shelf', load_id = null where id = 1")
    const page = await site.browser.get(URL)
    expect(plainText(page.text)).toContain('Lot 1 goes back now, as far as it is ready')
    expect(plainText(page.text)).toContain('On record: drying line. It cannot go back yet, and stays here.')
    expect(page.text).not.toMatch(/name="lots.0.goes" value="yes" checked/)
    expect(page.text).not.toContain('lots.0.bundles.1.')
    const sent = await send()
    expect(sent.status).toBe(422)
    expect(sent.text).toContain('Lot 1, bundle 2 is not on the ready shelf (drying line); it cannot go back yet.')
  })

  test('is not there for a commission that is not', async () => {
    expect((await site.browser.get('/commissions/9/hand-back')).status).toBe(404)
    expect((await site.browser.post('/commissions/9/hand-back', form())).status).toBe(404)
  })

  test('saved for later comes back as it was left, and nothing has moved', async () => {
    const saved = await send({ do: 'save', [`${FIRST}.explanation`]: 'one tie is brittle', toWhom: '' })
    expect([saved.status, saved.headers.location]).toEqual([303, URL])
    const page = await site.browser.get(URL)
    expect(page.text).toMatch(/lots.0.bundles.0.tiedAgain" value="yes" checked/)
    expect(page.text).toContain('Lot 1, bundle 1</strong>. <q class="words">one tie is brittle</q>')
    expect(places()).toEqual(READY)
  })
})

describe('handing back', () => {
  test('everything as it came closes in one press, and leads to the confirmation', async () => {
    const answer = await send()
    expect([answer.status, answer.headers.location]).toEqual([303, '/hand-backs/1'])
    expect(places()).toEqual(['handed back', 'handed back', 'handed back'])
    const page = await site.browser.get('/hand-backs/1')
    expect(plainText(page.text)).toContain('3 bundles with 9 ties, lots 1, 2, went to Marta Quill')
    expect(page.text).toContain('href="/hand-backs/1/slip"')
  })

  test('one lot leaves the other here, and the checklist says both', async () => {
    const answer = await send({}, [{ lot: 1, bundles: 1 }])
    expect(answer.status).toBe(303)
    expect(places()).toEqual(['ready shelf', 'ready shelf', 'handed back'])
    const page = plainText((await site.browser.get(URL)).text)
    expect(page).toContain('Gone back: 1 bundle of lot 2')
    expect(page).toContain('Lot 1 goes back now')
    expect(page).not.toContain('Lot 2 goes back now')
  })

  test('a bundle that nobody ticked is named, and what was typed stays', async () => {
    const page = await send({ 'lots.0.bundles.1.tiedAgain': 'not sent', [`${FIRST}.weight`]: '149,5 g' })
    expect(page.status).toBe(422)
    expect(page.text).toContain('<title>Error: Hand-back')
    expect(page.text).toContain('href="#lots.0.bundles.1.tiedAgain">Lot 1, bundle 2 is not ticked as tied up again')
    expect(page.text).toContain('value="149,5 g"')
    expect(page.text).toMatch(/lots.0.bundles.0.tiedAgain" value="yes" checked/)
    expect(places()).toEqual(READY)
  })

  test('a missing tie is refused, explained, closed, and stands on the slip word for word', async () => {
    const short = { [`${FIRST}.tiesBack`]: '2' }
    const refused = await send(short)
    expect(refused.status).toBe(422)
    expect(refused.text).toContain(
      'href="#lots.0.bundles.0.explanation">Lot 1, bundle 1 came with 3 ties; 1 is missing',
    )
    const words = 'It snapped in the rinse & went down the drain, "sorry".'
    expect((await send({ ...short, [`${FIRST}.explanation`]: words })).status).toBe(303)
    const slip = await site.browser.get('/hand-backs/1/slip')
    expect(slip.text).toContain('It snapped in the rinse &amp; went down the drain, &quot;sorry&quot;.')
    expect(plainText(slip.text)).toContain('Lot 1, bundle 1 : 1 of 3 ties missing')
    expect(plainText(slip.text)).toContain('All 3 3 9 8 (1 missing) 450 g not weighed')
    expect(slip.text).toContain('1 missing, ties undyed</title>')
  })

  test('a tie replaced adds up without words, and the slip says so', async () => {
    expect((await send({ [`${FIRST}.tiesBack`]: '2', [`${FIRST}.tiesReplaced`]: '1' })).status).toBe(303)
    const slip = plainText((await site.browser.get('/hand-backs/1/slip')).text)
    expect(slip).toContain('All 3 3 9 9 (1 replaced) 450 g not weighed')
    expect(slip).toContain('1 tie replaced from the strip’s own end')
  })

  test('a bundle that is not found needs words, and then the rest goes', async () => {
    const lost = { [`${FIRST}.missing`]: 'yes', [`${FIRST}.tiedAgain`]: 'not sent' }
    const refused = await send(lost)
    expect(refused.status).toBe(422)
    expect(refused.text).toContain('Lot 1, bundle 1 is not found. Say what is known of it')
    expect((await send({ ...lost, [`${FIRST}.explanation`]: 'last seen on the line' })).status).toBe(303)
    expect(places()).toEqual(['not found', 'handed back', 'handed back'])
    const slip = plainText((await site.browser.get('/hand-backs/1/slip')).text)
    expect(slip).toContain('All 3 2 9 6 (3 missing)')
    expect(slip).toContain('last seen on the line')
  })

  test('both ticks on one bundle are asked about', async () => {
    const page = await send({ [`${FIRST}.missing`]: 'yes', [`${FIRST}.explanation`]: 'x' })
    expect(page.status).toBe(422)
    expect(page.text).toContain('ticked as tied up again and as not found')
  })

  test.each([
    ['100 g', 'is light: 67 % of its dry weight'],
    ['200 g', 'is heavy: 133 % of its dry weight comes back. Is it dry?'],
    ['about right', 'Lot 1, bundle 1: “about right” cannot be read'],
    ['0', 'Lot 1, bundle 1: Is “0” right for the weight back?'],
  ])('a weight of %s asks a question', async (weight, sentence) => {
    const page = await send({ [`${FIRST}.weight`]: weight })
    expect(page.status).toBe(422)
    expect(page.text).toContain(sentence)
    expect(page.text).toContain(`value="${weight}"`)
    expect(places()).toEqual(READY)
  })

  test('a number of ties that was rubbed out is asked for', async () => {
    const page = await send({ [`${FIRST}.tiesBack`]: '' })
    expect(page.status).toBe(422)
    expect(page.text).toContain('Lot 1, bundle 1: write how many ties are back, 0 if none.')
  })

  test('a torn bundle is refused without words', async () => {
    expect((await send({ [`${FIRST}.condition`]: 'torn' })).text).toContain('goes back “torn”. Say what happened')
    expect((await send({ [`${FIRST}.condition`]: 'torn', [`${FIRST}.explanation`]: 'on the hook' })).status).toBe(303)
  })

  test('nobody to receive it, or no lot ticked, is refused', async () => {
    expect((await send({ toWhom: ' ' })).text).toContain('Fill in: who receives them.')
    const none = await send({ 'lots.0.goes': 'not sent', 'lots.1.goes': 'not sent' })
    expect(none.status).toBe(422)
    expect(none.text).toContain('Tick at least one lot that goes back.')
  })

  test('a lot with a bundle that was never dyed goes back when that one is explained as not found', async () => {
    site.raw.exec("update bundle set place = 'arrivals shelf' where id = 1")
    expect((await send()).text).toContain('Lot 1, bundle 1 is not on the ready shelf (arrivals shelf)')
    const lost = {
      [`${FIRST}.missing`]: 'yes',
      [`${FIRST}.tiedAgain`]: 'not sent',
      [`${FIRST}.explanation`]: 'never seen again',
    }
    expect((await send(lost)).status).toBe(303)
  })
})

describe('two presses and two devices', () => {
  test('one form pressed three times is one hand-back', async () => {
    const key = newKey()
    const answers = await Promise.all([1, 2, 3].map(() => site.browser.post(URL, { ...form(), key })))
    expect(answers.map(({ status, headers }) => [status, headers.location])).toEqual(
      [1, 2, 3].map(() => [303, '/hand-backs/1']),
    )
    expect(site.raw.prepare('select count(*) from hand_back').pluck().get()).toBe(1)
  })

  test('a second device that hands back the same lot is told so, and shown the slip', async () => {
    await send()
    const second = await send({ [`${FIRST}.tiesBack`]: '2' })
    expect(second.status).toBe(409)
    expect(second.text).toContain('Lot 1 was handed back while this page was open')
    expect(second.text).toContain('href="/hand-backs/1"')
  })

  test('a checklist saved elsewhere is not saved over unseen, and both are shown', async () => {
    await send({ do: 'save', [`${FIRST}.tiesBack`]: '1', [`${FIRST}.explanation`]: 'two fell off' })
    const second = await send({ do: 'save', [`${FIRST}.explanation`]: 'all is well' })
    expect(second.status).toBe(409)
    expect(second.text).toContain('saved from another device')
    expect(second.text).toContain('tied up again, 1 tie back, 0 replaced, not weighed, as it came; “two fell off”')
    expect(second.text).toContain('all is well')
    const [, now = ''] = /name="version" value="(\d+)"/.exec(second.text) ?? []
    expect((await send({ do: 'save', version: now, [`${FIRST}.explanation`]: 'all is well' })).status).toBe(303)
    const { body } = await site.browser.json(URL)
    expect(body.lots[0].bundles[0].check).toMatchObject({ tiesBack: 3, explanation: 'all is well' })
  })

  test('a lot that has gone back does not change', async () => {
    await send()
    expect(() => site.raw.exec("update bundle set place = 'drying line' where id = 1")).toThrow('does not change')
    const { body } = await site.browser.json(URL)
    expect(body.lots.map(({ standing }: { standing: string }) => standing)).toEqual(['gone', 'gone'])
    expect(plainText((await site.browser.get(URL)).text)).toContain('Everything of this commission has gone back.')
  })
})

describe('forms that no page made', () => {
  test.each([
    ['nothing', {}],
    ['nonsense', { do: 'dance', version: 'x', lots: 'abc', toWhom: '\u0000' }],
    [
      'rows that are none',
      { do: 'close', version: '0', 'lots.0': 'abc', 'lots.1.bundles': 'abc', 'lots.1.goes': 'yes' },
    ],
  ])('%s: 422, and nothing is written', async (_, fields) => {
    const page = await site.browser.post(URL, fields as Fields)
    expect(page.status).toBe(422)
    expect(places()).toEqual(READY)
  })

  test.each([
    'toWhom',
    'words',
    `${FIRST}.weight`,
    `${FIRST}.tiesBack`,
    `${FIRST}.tiesReplaced`,
    `${FIRST}.explanation`,
  ])('10,000 characters in %s come back as they were typed', async field => {
    const long = 'x'.repeat(10_000)
    const page = await send({ [field]: long })
    expect(page.status).toBe(422)
    expect(page.text).toContain(long)
    expect(places()).toEqual(READY)
  })

  test('markup stays text', async () => {
    await send({ toWhom: '<b>x</b>', authority: '<i>so</i>', [`${FIRST}.explanation`]: '<img src=x>' })
    const slip = await site.browser.get('/hand-backs/1/slip')
    expect(slip.text).toContain('&lt;img src=x&gt;')
    expect(slip.text).not.toMatch(/<img|<b>|<i>/)
  })
})
