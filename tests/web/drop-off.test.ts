import { beforeEach, describe, expect, test } from 'vitest'
import { newKey, testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

type Fields = Record<string, string>

const lot = (n: number, fields: Fields): Fields =>
  Object.fromEntries(Object.entries(fields).map(([name, value]) => [`lots.${n}.${name}`, value]))

const row = (n: number, b: number, [ties = '', weight = '', thickness = '']: string[]): Fields =>
  lot(n, { [`bundles.${b}.ties`]: ties, [`bundles.${b}.weight`]: weight, [`bundles.${b}.thickness`]: thickness })

const newMarta: Fields = {
  client: 'Marta Quill',
  'newClient.contact': 'letter box 4',
  'newClient.settles': 'trade',
  'newClient.wishes': 'keep it out of the sun',
  'newClient.photographs': 'no',
}
const asked: Fields = { purpose: 'guild class', neededBy: 'in 9 days', arrangement: '' }
const red = lot(0, {
  fibreId: 'yellow-cedar-inner-bark',
  colour: 'a deep madder red',
  dyeId: 'madder-root',
  line: '12 bundles of 3 ties, 150 g each, 0.8 mm',
})
const yellow: Fields = {
  ...lot(1, { fibreId: 'yellow-cedar-inner-bark', colour: 'weld yellow', dyeId: 'weld', tiesUndyed: 'yes' }),
  ...row(1, 0, ['2', '1 lb 3 oz']),
  ...row(1, 1, ['4 ties', '1½ lb', '1/32 in']),
  ...row(1, 2, ['1', '540g', '0,8']),
}
const whole: Fields = { ...newMarta, ...asked, ...red, ...yellow }

const send = (fields: Fields, press = 'read-back') => site.browser.post('/drop-off', { ...fields, do: press })
/** What a script gets of the same press. */
const sendForJson = (fields: Fields, press = 'read-back') => send(fields, press).set('accept', 'application/json')

const takeIn = async (fields: Fields = whole): Promise<string> => {
  const answer = await send(fields, 'take-in')
  expect(answer.text).toBe('')
  expect(answer.status).toBe(303)
  return answer.headers.location ?? ''
}

const hiddenIn = (page: string): Fields =>
  Object.fromEntries(
    [...page.matchAll(/<input type="hidden" name="([^"]+)" value="([^"]*)">/g)].map(([, name = '', value = '']) => [
      name,
      value.replaceAll('&quot;', '"').replaceAll('&#39;', "'").replaceAll('&lt;', '<').replaceAll('&amp;', '&'),
    ]),
  )

const countOf = (table: string) => Number(site.raw.prepare(`select count(*) from ${table}`).pluck().get())
const nothingWritten = () => ['client', 'commission', 'lot', 'bundle', 'press'].map(countOf).every(count => count === 0)

describe('the everyday drop-off', () => {
  test('is fields, a line, read back, taken in', async () => {
    const check = await send(whole)
    expect(check.status).toBe(200)
    expect(check.text).toContain('Take in 15 bundles')
    expect(nothingWritten()).toBe(true)
    const taken = await site.browser.post('/drop-off', { ...hiddenIn(check.text), do: 'take-in' })
    expect(taken.status).toBe(303)
    const { body } = await site.browser.json(taken.headers.location ?? '')
    expect(body.totals).toMatchObject({ bundles: 15, ties: 12 * 3 + 2 + 4 + 1 })
    // 1 lb = 453.59237 g and 16 oz = 1 lb exactly (NIST Handbook 44, Appendix C).
    const pound = 453.59237
    expect(body.totals.dryWeightG).toBeCloseTo(12 * 150 + pound * (1 + 3 / 16) + pound * 1.5 + 540, 6)
    expect(body.commission).toMatchObject({ clientName: 'Marta Quill', neededBy: '2026-03-11', arrangement: 'trade' })
    expect(body.lots.map((one: { route: string; tiesUndyed: boolean }) => [one.route, one.tiesUndyed])).toEqual([
      ['plant', false],
      ['plant', true],
    ])
    // 1/32 in = 25.4/32 mm exactly; "0,8" under a label in mm is 0.8 mm.
    const thickness = body.lots[1].bundles.map((bundle: { thicknessMm: number | null }) => bundle.thicknessMm)
    expect(thickness).toEqual([null, 25.4 / 32, 0.8])
    expect(body.lots[1].bundles[0]).toMatchObject({ weightTyped: '1 lb 3 oz', place: 'arrivals shelf' })
  })

  test('reads back the sums of each lot and of all, as typed JSON too', async () => {
    const { body } = await sendForJson(whole)
    expect(body.readBack.totals).toMatchObject({ bundles: 15, ties: 43 })
    expect(body.readBack.lots[0].totals).toEqual({ bundles: 12, ties: 36, dryWeightG: 1800 })
    expect(body.readBack.lots[0].runs).toHaveLength(1)
    expect(body.readBack.lots[1].totals).toMatchObject({ bundles: 3, ties: 7 })
    expect(body.readBack).toMatchObject({ isNewClient: true, neededBy: '2026-03-11', daysLeft: 9 })
  })

  test('shows a weight as it was written beside the weight that is kept', async () => {
    const { text } = await send(whole)
    expect(text).toContain('539 g')
    expect(text).toContain('Written: 1 lb 3 oz.')
  })

  test('shows the handling wishes before anything is taken in', async () => {
    expect((await send(whole)).text).toContain('keep it out of the sun')
  })

  test('read back on one day and taken in on the next keeps the day that was read back', async () => {
    const check = await send({ ...whole, neededBy: 'Fri' })
    site.clock.at = '2026-03-03T09:00:00.000Z'
    const taken = await site.browser.post('/drop-off', { ...hiddenIn(check.text), do: 'take-in' })
    // 2 March 2026 is a Monday: the Friday after it is 6 March.
    expect((await site.browser.json(taken.headers.location ?? '')).body.commission.neededBy).toBe('2026-03-06')
  })

  test('goes back to the form with everything in it', async () => {
    const check = await send(whole)
    const form = await site.browser.post('/drop-off', { ...hiddenIn(check.text), do: 'change' })
    expect(form.status).toBe(200)
    for (const typed of ['Marta Quill', 'letter box 4', 'guild class', 'a deep madder red', '1½ lb', '1/32 in']) {
      expect(form.text).toContain(`value="${typed}"`)
    }
    expect(form.text).toContain('id="lots.0.bundles.11.ties"')
  })
})

describe('a drop-off that was sent twice', () => {
  test('is one commission, also when both are on their way at once', async () => {
    const key = newKey()
    const answers = await Promise.all([1, 2, 3].map(() => send({ ...whole, key }, 'take-in')))
    expect(answers.map(({ status }) => status)).toEqual([303, 303, 303])
    expect(new Set(answers.map(({ headers }) => headers.location)).size).toBe(1)
    expect([countOf('commission'), countOf('bundle'), countOf('client')]).toEqual([1, 15, 1])
  })

  test('with other words is not taken in again, and says where the first is', async () => {
    const key = newKey()
    await send({ ...whole, key }, 'take-in')
    const again = await send(
      { ...whole, client: 'Marta Quill', clientId: '1', key, note: 'a later thought' },
      'take-in',
    )
    expect(again.status).toBe(409)
    expect(again.text).toContain('already sent once')
    expect(again.text).toContain('href="/commissions/1"')
    expect(again.text).toContain('a later thought')
    expect(countOf('commission')).toBe(1)
  })
})

describe('the rows', () => {
  test('are laid out from the line, with everything else kept', async () => {
    const page = await send({ ...whole, 'lots.0.lineHowTied': 'reef knot' }, 'rows:0')
    expect(page.status).toBe(200)
    expect(page.text.match(/name="lots\.0\.bundles\.\d+\.weight" type="text" value="150 g"/g)).toHaveLength(12)
    expect(page.text.match(/value="reef knot"/g)).toHaveLength(12)
    expect(page.text).toContain('name="lots.0.line" type="text" value=""')
    expect(page.text).toContain('value="1 lb 3 oz"')
    expect(nothingWritten()).toBe(true)
  })

  test('of a line that cannot be read are asked for, and the line stays', async () => {
    const page = await send({ ...whole, 'lots.0.line': '12 bundles, 1.8 kg in total' }, 'rows:0')
    expect(page.status).toBe(422)
    expect(page.text).toContain('href="#lots.0.line"')
    expect(page.text).toContain('12 bundles, 1.8 kg in total')
  })

  test('are added and left out one by one, and close up', async () => {
    const added = await send(whole, 'add-bundle:1')
    expect(added.text).toContain('id="lots.1.bundles.3.ties"')
    const fewer = await send(whole, 'drop-bundle:1.0')
    expect(fewer.text).toContain('name="lots.1.bundles.0.weight" type="text" value="1½ lb"')
    expect(fewer.text).not.toContain('name="lots.1.bundles.2')
  })

  test('of a lot go with it, and another lot begins empty', async () => {
    const one = await send(whole, 'drop-lot:0')
    expect(one.text).toContain('name="lots.0.colour" type="text" value="weld yellow"')
    expect(one.text).not.toContain('lots.1.')
    expect((await send(whole, 'add-lot')).text).toContain('name="lots.2.colour" type="text" value=""')
  })

  test('and lots in which nothing stands count for nothing', async () => {
    const fields = { ...whole, ...row(1, 3, []), ...lot(2, { fibreId: '', colour: '', swatch: '#dedede', dyeId: '' }) }
    const { body } = await sendForJson(fields)
    expect(body.readBack.lots.map((one: { totals: { bundles: number } }) => one.totals.bundles)).toEqual([12, 3])
  })

  test('are at most 200 in a lot', async () => {
    const page = await send({ ...whole, 'lots.1.line': '198 bundles of 3 ties, 150 g' })
    expect(page.status).toBe(422)
    expect(page.text).toContain('A lot holds 200 bundles at most')
  })
})

describe('a wrong entry', () => {
  test('comes back with all that was typed, each error linked to its field, and nothing saved', async () => {
    const fields = {
      ...whole,
      purpose: '',
      neededBy: '31 Feb',
      ...row(1, 1, ['many', '2', '0.8 mm']),
      note: 'by the door',
    }
    const page = await send({ ...fields, 'lots.1.bundles.2.weight': '1,234' }, 'take-in')
    expect(page.status).toBe(422)
    expect(page.text).toContain('<title>Error: Drop-off')
    for (const field of ['purpose', 'neededBy', 'lots.1.bundles.1.ties', 'lots.1.bundles.2.weight']) {
      expect(page.text).toContain(`href="#${field}"`)
      expect(page.text).toContain(`id="${field}"`)
    }
    expect(page.text).toContain('Lot 2, bundle 2: ')
    expect(page.text).toContain('Does “1,234” mean 1234 or 1.234?')
    for (const typed of [
      '31 Feb',
      'many',
      'by the door',
      'a deep madder red',
      '12 bundles of 3 ties',
      'letter box 4',
    ]) {
      expect(page.text).toContain(typed)
    }
    expect(nothingWritten()).toBe(true)
  })

  test('sent empty, or as nonsense, says what is missing', async () => {
    for (const press of ['', 'read-back', 'take-in', 'x'.repeat(10_000)]) {
      const page = await send({}, press)
      expect(page.status, press).toBe(422)
      for (const field of ['client', 'purpose', 'lots.0.fibreId', 'lots.0.colour', 'lots.0.line']) {
        expect(page.text).toContain(`href="#${field}"`)
      }
    }
    const nonsense = Object.fromEntries(Object.keys(whole).map(name => [name, '☂ ?']))
    const page = await send(nonsense, 'take-in')
    expect(page.status).toBe(422)
    expect(page.text).toContain('☂ ?')
    expect(nothingWritten()).toBe(true)
  })

  test('of 10,000 characters in any one field comes back whole', async () => {
    const long = 'λ'.repeat(10_000)
    const free = ['note', 'lots.0.lineHowTied', 'lots.0.lineCondition', 'lots.1.bundles.0.condition']
    const ticked = ['newClient.settles', 'newClient.photographs', 'arrangement', 'lots.1.tiesUndyed']
    const fields = [...Object.keys(whole), ...free].filter(name => !ticked.includes(name))
    for (const name of fields) {
      const page = await send({ ...whole, [name]: long }, 'take-in')
      expect(page.status, name).toBe(422)
      expect(page.text.includes(long), name).toBe(true)
    }
    expect(nothingWritten()).toBe(true)
  })

  test('a bare weight is grams where the label says so, and asked back where it does not', async () => {
    const fields = { ...whole, ...row(1, 0, ['2', '540']) }
    expect((await sendForJson(fields)).body.readBack.lots[1].bundles[0].dryWeightG).toBe(540)
    site.raw.exec("update workshop set weight_unit = 'pounds'")
    const page = await send(fields)
    expect(page.status).toBe(422)
    expect(page.text).toContain('href="#lots.1.bundles.0.weight"')
  })

  test('a day that has gone by, or that is years off, is a slip', async () => {
    for (const neededBy of ['1 Mar 2026', '2062-03-05']) {
      expect((await send({ ...whole, neededBy })).text).toContain('href="#neededBy"')
    }
  })

  test('a way of tying without a line of bundles is not dropped unseen', async () => {
    const page = await send({ ...whole, 'lots.1.lineHowTied': 'reef knot' })
    expect(page.status).toBe(422)
    expect(page.text).toContain('href="#lots.1.line"')
  })

  test('markup stays text', async () => {
    const page = await send({ ...whole, 'lots.0.colour': '"><img src=x>{{7*7}}' })
    expect(page.text).not.toContain('<img')
  })
})

describe('the client', () => {
  const writeDown = (fields: Fields = {}) =>
    site.browser.post('/clients/new', {
      name: 'Marta Quill',
      contact: 'letter box 4',
      settles: 'gift',
      photographs: 'no',
      ...fields,
    })
  const named = (client: string, more: Fields = {}): Fields => ({ ...asked, ...red, client, ...more })

  test('whose name is known once is that client, in any case and spacing', async () => {
    await writeDown()
    const { body } = await site.browser.json(await takeIn(named('  marta   QUILL ')))
    expect(body.commission).toMatchObject({ clientId: 1, clientName: 'Marta Quill', arrangement: 'gift' })
    expect(countOf('client')).toBe(1)
  })

  test('of whose name there are two is asked back with what tells them apart', async () => {
    await writeDown({ mark: 'MQ' })
    await writeDown({ mark: 'M2', contact: 'the mill' })
    const page = await send(named('Marta Quill'))
    expect(page.status).toBe(422)
    expect(page.text).toContain('href="#clientId"')
    expect(page.text).toContain('Marta Quill · MQ · letter box 4')
    expect(page.text).toContain('Marta Quill · M2 · the mill')
    const { body } = await site.browser.json(await takeIn(named('Marta Quill', { clientId: '2' })))
    expect(body.commission).toMatchObject({ clientId: 2, contact: 'the mill' })
  })

  test('unknown and without a contact is a slip: nobody is written down', async () => {
    await writeDown()
    const page = await send(named('Marta'), 'take-in')
    expect(page.status).toBe(422)
    expect(page.text).toContain('href="#client"')
    expect(page.text).toContain('Marta Quill · letter box 4')
    expect(countOf('client')).toBe(1)
    const { body } = await site.browser.json(await takeIn(named('Marta', { clientId: '1' })))
    expect(body.commission.clientId).toBe(1)
  })

  test('new but of a known name is asked back, and may be somebody else', async () => {
    await writeDown()
    const fields = named('Marta Quill', { ...newMarta, 'newClient.contact': 'the lock house' })
    expect((await send(fields)).text).toContain('href="#clientId"')
    await takeIn({ ...fields, clientId: 'new' })
    expect(countOf('client')).toBe(2)
  })

  test('chosen for another name no longer counts', async () => {
    await writeDown()
    const page = await send(named('Jo Reed', { clientId: '1' }))
    expect(page.status).toBe(422)
    expect(page.text).toContain('href="#client"')
  })

  test('of a page opened for one stays, with the wishes in sight', async () => {
    await writeDown({ wishes: 'never in plastic' })
    const page = await site.browser.get('/drop-off?client=1')
    expect(page.text).toContain('name="clientId" value="1"')
    expect(page.text).toContain('never in plastic')
    expect(page.text).not.toContain('name="client"')
    const { body } = await site.browser.json(await takeIn({ ...asked, ...red, clientId: '1' }))
    expect(body.commission.clientId).toBe(1)
    expect((await site.browser.get('/drop-off?client=99')).status).toBe(404)
    expect((await site.browser.get('/drop-off?client=x')).status).toBe(404)
  })
})

describe('what the trade says', () => {
  const blueOnRed = lot(0, {
    fibreId: 'red-cedar-inner-bark',
    colour: 'blue',
    dyeId: 'indigo-fructose-vat',
    line: '1 bundle of 3 ties, 150 g',
  })

  test('is shown as soon as fibre and dye are known', async () => {
    const page = await send(lot(0, { fibreId: 'red-cedar-inner-bark', dyeId: 'indigo-fructose-vat' }), 'look:0')
    expect(page.status).toBe(200)
    expect(page.text).toContain('Red cedar hardly takes indigo')
    const fine = await send(lot(0, { fibreId: 'yellow-cedar-inner-bark', dyeId: 'madder-root' }), 'look:0')
    expect(fine.text).not.toContain('does not take')
  })

  test('against it needs a reason before it is taken in, and keeps it with the lot', async () => {
    const fields = { ...newMarta, ...asked, ...blueOnRed }
    const check = await send(fields)
    expect(check.status).toBe(200)
    expect(check.text).toContain('id="lots.0.against"')
    const refused = await send(fields, 'take-in')
    expect(refused.status).toBe(422)
    expect(refused.text).toContain('<title>Error: Read it back')
    expect(refused.text).toContain('href="#lots.0.against"')
    expect(nothingWritten()).toBe(true)
    const { body } = await site.browser.json(await takeIn({ ...fields, 'lots.0.against': 'a trial, she knows' }))
    expect(body.lots[0].against).toBe('a trial, she knows')
  })

  test('a reason given for another dye does not stay', async () => {
    const { body } = await site.browser.json(await takeIn({ ...whole, 'lots.0.against': 'a trial' }))
    expect(body.lots[0].against).toBe('')
  })
})

describe('the swatch', () => {
  const swatchOf = async (fields: Fields) =>
    (await sendForJson({ ...whole, ...lot(0, fields) })).body.readBack.lots[0].swatch

  test('is none while the colour field is as it was', async () => {
    expect((await site.browser.get('/drop-off')).text).toContain('name="lots.0.swatch" value="#dedede"')
    expect(await swatchOf({ swatch: '#dedede' })).toBe(null)
    expect(await swatchOf({ swatch: '' })).toBe(null)
  })
  test('is what was pointed at, unless it is taken back', async () => {
    expect(await swatchOf({ swatch: '#A5482F' })).toBe('#a5482f')
    expect(await swatchOf({ swatch: '#a5482f', noSwatch: 'yes' })).toBe(null)
  })
  test('that is no colour is asked back', async () => {
    expect((await send({ ...whole, ...lot(0, { swatch: 'red' }) })).status).toBe(422)
  })
})

describe('a repeat', () => {
  test('begins with what the lot was, says so in words, and has an empty line', async () => {
    await takeIn({ ...whole, 'lots.0.swatch': '#a5482f' })
    const page = await site.browser.get('/drop-off?repeat=1')
    expect(page.status).toBe(200)
    expect(page.text.replace(/<[^>]+>/g, '')).toContain(
      'The recipe will be rebuilt from what was really used for lot 1.',
    )
    expect(page.text).toContain('For <strong>Marta Quill</strong>')
    expect(page.text).toContain('name="purpose" type="text" value="guild class"')
    expect(page.text).toContain('value="a deep madder red"')
    expect(page.text).toContain('value="#a5482f"')
    expect(page.text).toContain('<option value="madder-root" selected>')
    expect(page.text).toContain('name="lots.0.line" type="text" value=""')
    expect((await site.browser.get('/drop-off?repeat=99')).status).toBe(404)
  })

  test('is taken in as one, and no longer is when the dye is another', async () => {
    await takeIn()
    const again = { ...asked, ...red, clientId: '1', 'lots.0.repeatsLotId': '1' }
    const { body } = await site.browser.json(await takeIn(again))
    expect(body.lots[0].repeatsLotId).toBe(1)
    const other = { ...again, 'lots.0.dyeId': 'weld' }
    expect((await send(other)).text).toContain('Not a repeat of lot 1 any more')
    expect((await site.browser.json(await takeIn(other))).body.lots[0].repeatsLotId).toBe(null)
  })

  test('of a lot that is not there is refused', async () => {
    expect((await send({ ...whole, 'lots.0.repeatsLotId': '99' }, 'take-in')).status).toBe(422)
    expect((await send({ ...whole, 'lots.0.repeatsLotId': 'x' }, 'take-in')).status).toBe(422)
  })
})

test('the empty form comes as JSON with what can be chosen', async () => {
  const { body } = await site.browser.json('/drop-off')
  expect(body.fibres).toContainEqual({ id: 'raffia', name: expect.any(String) })
  const plants = body.dyes.find((route: { route: string }) => route.route === 'plant')
  expect(plants.dyes.map(({ id }: { id: string }) => id)).toContain('cochineal')
})

test('a form with many rows leads from its top to its end, a short one does not', async () => {
  expect((await site.browser.get('/drop-off')).text).not.toContain('href="#end"')
  const rows = Object.assign({}, ...Array.from({ length: 6 }, (_, b) => row(0, b, ['3', '150 g'])))
  const { text, status } = await send({ ...asked, ...rows })
  expect(status).toBe(422)
  expect(text).toMatch(/href="#end"[\s\S]*lots\.0\.bundles\.5\.ties[\s\S]*id="end"[\s\S]*Read it back/)
})
