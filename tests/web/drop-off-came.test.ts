import { beforeEach, describe, expect, test } from 'vitest'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

type Fields = Record<string, string>
const everyday: Fields = {
  client: 'Ilse Marram',
  'newClient.contact': 'the net loft',
  'newClient.settles': 'gift',
  'newClient.photographs': 'not asked',
  purpose: 'twining',
  neededBy: 'in 9 days',
  arrangement: '',
  'lots.0.fibreId': 'jute',
  'lots.0.colour': 'straw',
  'lots.0.dyeId': 'weld',
  'lots.0.line': '3 bundles of 3 ties, 120 g each',
}
const send = (fields: Fields, press = 'take-in') =>
  site.browser.post('/drop-off', { ...everyday, ...fields, do: press })
const takeIn = async (fields: Fields = {}): Promise<string> => {
  const answer = await send(fields)
  expect(answer.text).toBe('')
  expect(answer.status).toBe(303)
  return answer.headers.location ?? ''
}
const again: Fields = {
  client: '',
  clientId: '1',
  'newClient.contact': '',
  'newClient.settles': '',
  'newClient.photographs': '',
}
const came = async (address: string) => (await site.browser.json(`${address}/arrival`)).body
const rows = (sql: string) => site.raw.prepare(sql).all()
const countOf = (table: string) => Number(site.raw.prepare(`select count(*) from ${table}`).pluck().get())
const fieldsOf = (page: string): string[] => [...page.matchAll(/href="#([^"]+)"/g)].map(([, field = '']) => field)

describe('the everyday drop-off', () => {
  test('is taken in as expected, agreed as it was read back, with its receipt', async () => {
    const { arrival, lots, agreements, notAgreed, returnables, receipts } = await came(await takeIn())
    expect(lots[0].came).toMatchObject({ faults: 'not asked', words: '' })
    const seen = { found: [], at: site.by.at, who: 'Wren', tiePlace: 'not written down' }
    expect(lots[0].came.bundles).toEqual(Array.from({ length: 3 }, () => expect.objectContaining(seen)))
    expect(lots[0].keptApart).toBeNull()
    expect(agreements).toMatchObject([{ how: 'spoken', agreedOn: '2026-03-02', words: '', lotIds: [1] }])
    expect([notAgreed, returnables]).toEqual([[], []])
    expect(receipts).toMatchObject([{ n: 1, at: site.by.at, who: 'Wren' }])
    expect(arrival).toMatchObject({
      broughtBy: '',
      offcuts: 'back to the client',
      gathered: '',
      gatheredMayBeTold: false,
    })
  })

  test('needs no further press: what is unusual is folded away, and “by word of mouth” is chosen', async () => {
    const form = (await site.browser.get('/drop-off')).text
    expect(form).toMatch(/<details class="more">\s*<summary>Anything unusual\? Brought by/)
    expect(form).toMatch(/<details class="more">\s*<summary>Anything unusual about this fibre or its use/)
    expect((await send({}, 'read-back')).text).toContain('name="came.agreed" value="spoken" checked')
  })

  test.each([
    ['', 'not asked yet, so it has a bath to itself'],
    ['may', 'may share one, when each can be told apart'],
    ['never', 'never'],
  ])('reads back whether it may share a bath (“%s”), and says so with what is agreed', async (sharesBath, words) => {
    const said = `<dt>One bath with others</dt><dd>${words}</dd>`
    const told: Fields = sharesBath ? { 'newClient.sharesBath': sharesBath } : {}
    expect((await send(told, 'read-back')).text).toContain(said)
    expect((await site.browser.get(`${await takeIn(told)}/arrival`)).text).toContain(said)
    expect((await send(again, 'read-back')).text).toContain(said)
  })

  test.each(['client', 'purpose', 'lots.0.line', 'lots.0.colour'])(
    'cannot be saved without %s, and nothing is written',
    async field => {
      expect((await send({ [field]: '' })).status).toBe(422)
      expect(['client', 'commission', 'lot', 'bundle', 'bundle_arrival', 'receipt'].map(countOf)).toEqual(
        Array(6).fill(0),
      )
    },
  )
})

describe('the condition at arrival', () => {
  const seen = { 'lots.0.found.mouldSeen': 'yes', 'lots.0.found.brittle': 'yes' }

  test('is told of a whole lot by ticks and of one bundle in its row', async () => {
    const row = {
      'lots.0.bundles.0.ties': '1',
      'lots.0.bundles.0.weight': '90 g',
      'lots.0.bundles.0.condition': 'damp, at one end',
    }
    const { lots } = await came(await takeIn({ ...seen, ...row }))
    const found = lots[0].came.bundles.map((bundle: { found: string[] }) => bundle.found)
    expect(found).toEqual([['damp', 'brittle', 'mould seen'], ...Array(3).fill(['brittle', 'mould seen'])])
    expect(lots[0].came.bundles[0].words).toBe('damp, at one end')
  })

  test('with mould or insects keeps the lot apart without anybody asking, and says so before', async () => {
    expect((await send(seen, 'read-back')).text).toContain('Kept apart from other lots: mould seen')
    const { lots } = await came(await takeIn(seen))
    expect(lots[0].keptApart).toMatchObject({ lotId: 1, why: 'mould seen', who: 'Wren' })
    const { history } = (await site.browser.json('/lots/1')).body
    expect(history[0].became).toMatchObject({ found: ['brittle', 'mould seen'], keptApart: 'mould seen' })
  })

  test.each([
    [{}, 'not asked', ''],
    [{ 'lots.0.faults': 'client says no faults' }, 'client says no faults', ''],
    [{ 'lots.0.faultsWords': 'limed last year' }, 'told', 'limed last year'],
  ])('tells three answers about faults apart: %j', async (fields, faults, words) => {
    const { lots } = await came(await takeIn(fields as unknown as Fields))
    expect(lots[0].came).toMatchObject({ faults, words })
  })
})

describe('how bundles are tied', () => {
  const usual = {
    receiptWords: '',
    weeksWithoutDay: '6',
    tiePlace: 'in the middle',
    tieKind: 'a knot',
    thickEnd: 'thick end first',
    version: 1,
  }
  const tyingOf = async (address: string) =>
    (await came(address)).lots[0].came.bundles.map((one: Fields) => [one.tiePlace, one.tieKind, one.thickEnd])

  test('starts from the workshop, and then from how this client’s last bundles were tied', async () => {
    expect((await site.browser.post('/settings/drop-off', usual)).status).toBe(303)
    expect((await site.browser.get('/drop-off')).text).toContain('as usual: in the middle')
    const first = ['in the middle', 'a bow', 'thick end first']
    expect(await tyingOf(await takeIn({ 'lots.0.tieKind': 'a bow' }))).toEqual(Array(3).fill(first))
    expect((await site.browser.get('/drop-off?client=1')).text).toContain('as usual: a bow')
    expect(await tyingOf(await takeIn(again))).toEqual(Array(3).fill(first))
  })

  test('is said of one bundle in its row, beside the free words', async () => {
    const row = {
      'lots.0.bundles.0.ties': '1',
      'lots.0.bundles.0.weight': '90 g',
      'lots.0.bundles.0.howTied': 'near one end, her red cord',
    }
    const tying = await tyingOf(await takeIn({ ...row, 'lots.0.tiePlace': 'all along' }))
    expect(tying.map(([place = '']: string[]) => place)).toEqual(['near one end', ...Array(3).fill('all along')])
    expect((await site.browser.get('/lots/1')).text).toContain('near one end, her red cord')
  })
})

describe('who brings it', () => {
  test('when not the client, needs the right to do so', async () => {
    const page = await send({ 'came.broughtBy': 'Ode Reed' })
    expect(page.status).toBe(422)
    expect(fieldsOf(page.text)).toContain('came.authority')
    expect(page.text).toContain('Say by what right Ode Reed brings it')
    expect(page.text).toContain('value="Ode Reed"')
    expect(countOf('commission')).toBe(0)
    const { arrival } = await came(await takeIn({ 'came.broughtBy': 'Ode Reed', 'came.authority': 'her sister' }))
    expect(arrival).toMatchObject({ broughtBy: 'Ode Reed', authority: 'her sister' })
    expect(JSON.stringify(rows('select * from history'))).not.toContain('Ode Reed')
  })
})

describe('what is asked of a client once', () => {
  const record = async () => (await site.browser.json('/clients/1')).body.client

  test.each([
    [{ 'newClient.wishesAnswer': 'nothing special' }, 'nothing special', ''],
    [{ 'newClient.wishesAnswer': 'rather not say' }, 'rather not say', ''],
    [{ 'newClient.wishes': 'Not under  a roof of tin.' }, 'told', 'Not under  a roof of tin.'],
    [{}, 'not asked', ''],
  ])('tells each answer about wishes from the others, word for word: %j', async (fields, wishesAnswer, wishes) => {
    const address = await takeIn(fields as unknown as Fields)
    expect(await record()).toMatchObject({
      wishesAnswer,
      wishes,
      wishesAt: wishesAnswer === 'not asked' ? '' : site.by.at,
    })
    const { points } = (await site.browser.json(address)).body
    const asked = points.filter(({ sentence }: { sentence: string }) => sentence.startsWith('Not asked yet'))
    expect(asked).toHaveLength(wishesAnswer === 'not asked' ? 1 : 0)
  })

  test('is repeated at the next drop-off and agreed with it, or said otherwise then', async () => {
    await takeIn({ 'newClient.wishes': 'keep it out of the sun' })
    expect((await send(again, 'read-back')).text).toContain('keep it out of the sun')
    site.clock.at = '2026-03-05T09:00:00.000Z'
    await takeIn({
      ...again,
      neededBy: 'in 9 days',
      'came.wishes': 'in the shade, and not by night',
      'came.wishesSaidBy': 'her aunt',
      'came.photographs': 'yes, not to show',
    })
    expect(await record()).toMatchObject({
      wishes: 'in the shade, and not by night',
      wishesSaidBy: 'her aunt',
      wishesAt: site.clock.at,
      photographs: 'yes, not to show',
    })
    const { changes } = (await site.browser.json('/clients/1')).body
    expect(changes.at(-1).was).toMatchObject({ wishes: 'keep it out of the sun', photographs: 'not asked' })
  })

  test('says where offcuts go, unless something else is said of one commission', async () => {
    await takeIn()
    await site.db.updateTable('client').set({ offcuts: 'composted' }).execute()
    expect((await came(await takeIn(again))).arrival.offcuts).toBe('composted')
    const kept = { ...again, 'came.offcuts': 'kept by the dyer for samples' }
    expect((await came(await takeIn(kept))).arrival.offcuts).toBe('kept by the dyer for samples')
  })
})

describe('where it was gathered', () => {
  test('is the client’s own and private by default, on no receipt, slip or history', async () => {
    const secret = 'behind the third weir'
    const address = await takeIn({ 'came.gathered': secret })
    expect((await came(address)).arrival).toMatchObject({ gathered: secret, gatheredMayBeTold: false })
    for (const url of [address, `${address}/receipt`, '/lots/1', '/', '/commissions', '/drop-off?repeat=1'])
      expect((await site.browser.get(url)).text, url).not.toContain(secret)
    expect(JSON.stringify([rows('select * from history'), rows('select * from receipt')])).not.toContain(secret)
  })
})

describe('what came along', () => {
  test('is listed one by one, and read back', async () => {
    const fields = { 'came.returnables': 'the wrapper, blue cloth\nlast year’s sample' }
    expect((await send(fields, 'read-back')).text).toContain('the wrapper, blue cloth; last year’s sample')
    const { returnables } = await came(await takeIn(fields))
    expect(returnables).toMatchObject([
      { kind: 'wrapper', words: 'the wrapper, blue cloth', answer: 'open' },
      { kind: 'sample', words: 'last year’s sample', answer: 'open' },
    ])
  })
})

test('a plan that is not agreed yet is taken in, and open', async () => {
  const address = await takeIn({ 'came.agreed': 'not yet' })
  const { agreements, notAgreed } = await came(address)
  expect([agreements, notAgreed]).toEqual([[], [1]])
  const { points } = (await site.browser.json(address)).body
  expect(points).toContainEqual(
    expect.objectContaining({ lotId: 1, hinders: false, to: `${address}/arrival#agreement` }),
  )
})

test.each([
  'came.broughtBy',
  'came.authority',
  'came.wishes',
  'came.wishesSaidBy',
  'came.gathered',
  'came.returnables',
  'came.agreedWords',
  'lots.0.faultsWords',
  'lots.0.keepApart',
])('ten thousand characters in %s come back with what was typed', async field => {
  const page = await send({ [field]: 'x'.repeat(10_000) })
  expect(page.status).toBe(422)
  expect(fieldsOf(page.text)).toContain(field)
  expect(page.text).toContain('x'.repeat(10_000))
  expect(countOf('commission')).toBe(0)
})

test.each([
  ['came.offcuts', 'sold'],
  ['came.agreed', 'somehow'],
  ['came.photographs', 'perhaps'],
  ['lots.0.faults', 'all'],
  ['lots.0.tiePlace', 'everywhere'],
])('nonsense in %s is refused', async (field, value) => {
  expect((await send({ [field]: value })).status).toBe(422)
  expect(countOf('commission')).toBe(0)
})
