import { beforeEach, describe, expect, test } from 'vitest'
import { readReturnables } from '../../src/domain/arrival.js'
import { hindering } from '../../src/domain/open-point.js'
import { inOneStep } from '../../src/store/db.js'
import { type Came, type LotCame, takeIn } from '../../src/store/drop-off.js'
import { closeHandBack } from '../../src/store/hand-back.js'
import { keptApart } from '../../src/store/keep-apart.js'
import { openPoints } from '../../src/store/open-points.js'
import { aLot, alike, makeReady, plainText } from '../hand-back-helper.js'
import { testApp } from '../helper.js'
import { ilse, lotReady, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const bring = (came: Came = {}, lotCame: LotCame = {}) =>
  inOneStep(site.db, trx =>
    takeIn(trx, site.by, {
      client: ilse,
      purpose: 'hat class',
      neededBy: '2026-03-20',
      arrangement: 'trade',
      note: '',
      came,
      lots: [aLot(alike(2), { came: lotCame })],
    }),
  )
const post = (url: string, fields: Record<string, string> = {}) => site.browser.post(url, fields)
const came = async (id = 1) => (await site.browser.json(`/commissions/${id}/arrival`)).body
const sentences = async (id = 1) => (await openPoints(site.db, id)).map(({ sentence }) => sentence)
const rows = (sql: string) => site.raw.prepare(sql).all()
const lay = (lotId: number) => post(`/lots/${lotId}/load`, { potId: '1', 'bundles.1': 'yes' })
const askFor = (fields: Record<string, string>) =>
  post('/lots/1/colour-ask', {
    version: '1',
    'ask.colour': 'true black',
    'ask.dyeId': 'all-purpose-bottled',
    'ask.tiesUndyed': 'yes',
    ...fields,
  })

describe('a plan that is changed after it was agreed', () => {
  beforeEach(async () => {
    await threePots(site.db, site.by)
    await lotReady(site.db, site.by)
  })

  test('in its colour is asked for again: no pot takes the lot before, and one press agrees', async () => {
    expect((await askFor({ 'ask.colour': 'blue black' })).status).toBe(303)
    const refused = await lay(1)
    expect(refused.status).toBe(409)
    expect(refused.text).toContain('The plan for lot 1 is not agreed with the client as it stands now.')
    expect(rows('select * from load')).toEqual([])
    expect((await site.browser.get('/lots/1/load')).text).toContain('Agreed as it stands')
    expect(await sentences()).toContain('Lot 1: the plan is not agreed with the client as it stands now')

    const agreed = await post('/commissions/1/agreements', {
      'agreed.how': 'message',
      'agreed.on': '1 Mar',
      backTo: '1',
    })
    expect([agreed.status, agreed.headers.location]).toEqual([303, '/lots/1/load'])
    expect((await lay(1)).status).toBe(303)
    // What was agreed first stays beside what was agreed later.
    expect((await came()).agreements).toMatchObject([
      { how: 'spoken', agreedOn: '2026-03-02', lotIds: [1] },
      { how: 'message', agreedOn: '2026-03-01', lotIds: [1] },
    ])
    expect(rows('select colour from agreed_lot')).toEqual([{ colour: 'true black' }, { colour: 'blue black' }])
    const { history } = (await site.browser.json('/lots/1')).body
    expect(history.map(({ what }: { what: string }) => what)).toContain(
      'plan agreed with the client (message, 2026-03-01)',
    )
  })

  test('and agreed on the same page can go on at once', async () => {
    expect((await askFor({ 'ask.colour': 'soot', 'ask.agreed': 'spoken' })).status).toBe(303)
    expect((await came()).notAgreed).toEqual([])
    expect((await lay(1)).status).toBe(303)
  })

  test('back to what was agreed needs no new word', async () => {
    await askFor({ 'ask.colour': 'soot' })
    await askFor({ version: '2' })
    expect((await came()).notAgreed).toEqual([])
    const again = await post('/commissions/1/agreements', { 'agreed.how': 'spoken' })
    expect(again.status).toBe(409)
    expect(again.text).toContain('The plan is agreed already, as it stands now.')
  })

  test('is agreed on a day that has been', async () => {
    await askFor({ 'ask.colour': 'soot' })
    const fields = { 'agreed.how': 'spoken', 'agreed.on': 'in 3 days', 'agreed.words': 'they rang' }
    const page = await post('/commissions/1/agreements', fields)
    expect(page.status).toBe(422)
    expect(page.text).toContain('href="#agreed.on"')
    for (const typed of ['value="in 3 days"', 'value="they rang"']) expect(page.text).toContain(typed)
    expect((await post('/commissions/1/agreements', { 'agreed.how': 'by oath' })).status).toBe(422)
  })

  test('does not hinder that the lot goes back as it is', async () => {
    await askFor({ 'ask.colour': 'soot' })
    expect((await openPoints(site.db, 1)).filter(({ hinders }) => hinders)).toEqual([])
  })
})

test('at the hand-back, how each bundle came stands beside its check, with what came along', async () => {
  const tying = { tiePlace: 'near one end', tieKind: 'a knot', thickEnd: 'thin end first' } as const
  await bring({ returnables: [{ kind: 'wrapper', words: 'the blue cloth' }] }, { found: ['dirty'], tying })
  makeReady(site.raw, 1)
  const page = plainText((await site.browser.get('/commissions/1/hand-back')).text)
  expect(page).toContain('Came along: the blue cloth (wrapper).')
  // The words of the bundle itself count before those of its lot.
  expect(page.match(/How it came: dirty; tied near one end, a knot; thick end first, three knots/g)).toHaveLength(2)
  const { body } = await site.browser.json('/commissions/1/hand-back')
  expect(body.cameAlong).toMatchObject([{ kind: 'wrapper', words: 'the blue cloth' }])
})

describe('what came along', () => {
  const two = { returnables: readReturnables('the wrapper, blue cloth\na sample') }

  test('hinders the hand-back until each is answered, gone back or with words why not', async () => {
    const id = await bring(two)
    const points = (await openPoints(site.db, id)).filter(({ hinders }) => hinders)
    expect(points.map(({ sentence, to }) => [sentence, to])).toEqual([
      ['Came along, to go back: the wrapper, blue cloth', '/commissions/1/arrival#returnable-1'],
      ['Came along, to go back: a sample', '/commissions/1/arrival#returnable-2'],
    ])
    const handBack = { commissionId: id, lotIds: [1], toWhom: 'Ilse', words: '', checks: new Map() }
    await expect(inOneStep(site.db, trx => closeHandBack(trx, site.by, handBack as never))).rejects.toThrow()

    expect((await post('/commissions/1/returnables/1', { do: 'gone back' })).status).toBe(303)
    const silent = await post('/commissions/1/returnables/2', { do: 'does not go back', why: '  ' })
    expect(silent.status).toBe(422)
    expect(silent.text).toContain('href="#why-2"')
    expect(
      (await post('/commissions/1/returnables/2', { do: 'does not go back', why: 'she left it for us' })).status,
    ).toBe(303)
    expect((await came()).returnables).toMatchObject([
      { answer: 'gone back', why: '' },
      { answer: 'does not go back', why: 'she left it for us', answeredAt: site.by.at },
    ])
    expect((await openPoints(site.db, id)).filter(({ hinders }) => hinders)).toEqual([])
    const twice = await post('/commissions/1/returnables/1', { do: 'does not go back', why: 'lost' })
    expect(twice.status).toBe(409)
    expect(twice.text).toContain('Answered already: the wrapper, blue cloth, gone back.')
  })

  test('waits for the rest where only a part goes back', async () => {
    const points = await openPoints(site.db, await bring(two))
    const going = (bundleIds: number[]) => hindering(points, { lotIds: [1], bundleIds })
    expect(going([1])).toEqual([])
    expect(going([1, 2])).toHaveLength(2)
  })

  test('is added when it turns up later, and asks what it is', async () => {
    await bring()
    expect((await post('/commissions/1/returnables', { cameAlong: 'her pattern' })).status).toBe(303)
    expect((await came()).returnables).toMatchObject([{ kind: 'pattern', words: 'her pattern', answer: 'open' }])
    expect((await post('/commissions/1/returnables', { cameAlong: ' \n' })).status).toBe(422)
    expect((await post('/commissions/1/returnables', { cameAlong: 'x\n'.repeat(31) })).status).toBe(422)
    expect((await post('/commissions/1/returnables/9', { do: 'gone back' })).status).toBe(404)
  })

  test('asks for no press where nothing did', async () => {
    const id = await bring()
    expect((await openPoints(site.db, id)).filter(({ hinders }) => hinders)).toEqual([])
  })
})

describe('a wish that cannot be met', () => {
  test('stops the work and the hand-back until what the client decides is written down', async () => {
    await threePots(site.db, site.by)
    await lotReady(site.db, site.by)
    expect(
      (await post('/commissions/1/unmet-wishes', { unmet: 'dry it by the lake: the road is closed' })).status,
    ).toBe(303)
    const refused = await lay(1)
    expect(refused.status).toBe(409)
    expect(refused.text).toContain('cannot be met')
    expect(rows('select * from load')).toEqual([])
    expect(
      (await openPoints(site.db, 1)).some(({ hinders, sentence }) => hinders && sentence.includes('by the lake')),
    ).toBe(true)
    expect((await site.browser.get('/lots/1/load')).text).not.toContain('Put it in this pot')

    expect((await post('/commissions/1/unmet-wishes/1', { decision: '', decidedBy: 'Ilse' })).status).toBe(422)
    const decided = { decision: 'behind the shed, in the shade', decidedBy: 'Ilse, by telephone' }
    expect((await post('/commissions/1/unmet-wishes/1', decided)).status).toBe(303)
    expect((await came()).unmetWishes).toMatchObject([{ ...decided, decidedAt: site.by.at }])
    expect((await lay(1)).status).toBe(303)
    expect((await post('/commissions/1/unmet-wishes/1', decided)).status).toBe(409)
    expect(JSON.stringify(rows('select * from history'))).not.toMatch(/lake|telephone/)
  })
})

describe('a lot that is kept apart', () => {
  test('is told to whoever asks, until it is released with a note', async () => {
    await bring({}, { keepApart: 'smells of paraffin' })
    await bring()
    expect(await keptApart(site.db, [1, 2])).toMatchObject([{ lotId: 1, why: 'smells of paraffin', who: 'Wren' }])
    expect(await sentences()).toContain('Lot 1 is kept apart: smells of paraffin')
    const silent = await post('/lots/1/apart', { do: 'release', why: '' })
    expect(silent.status).toBe(422)
    expect(silent.text).toContain('href="#apart-why-1"')
    expect((await post('/lots/1/apart', { do: 'release', why: 'aired for a week' })).status).toBe(303)
    expect(await keptApart(site.db, [1, 2])).toEqual([])
    const { history } = (await site.browser.json('/lots/1')).body
    expect(history.at(-1)).toMatchObject({ what: 'not kept apart any more', words: 'aired for a week' })
    expect((await post('/lots/1/apart', { do: 'release', why: 'again' })).status).toBe(409)
  })

  test('can be marked later, for a reason, and once at a time', async () => {
    await bring()
    expect((await post('/lots/1/apart', { do: 'keep', why: '' })).status).toBe(422)
    expect((await post('/lots/1/apart', { do: 'keep', why: 'a moth flew out' })).status).toBe(303)
    expect((await post('/lots/1/apart', { do: 'keep', why: 'two moths' })).status).toBe(409)
    expect((await came()).lots[0].keptApart).toMatchObject({ why: 'a moth flew out' })
    expect((await site.browser.get('/commissions/1/arrival')).text).toContain('a moth flew out')
  })
})

describe('what is said later', () => {
  test('of faults: told, or that there are none', async () => {
    await bring()
    expect((await post('/lots/1/faults', { do: 'none' })).status).toBe(303)
    expect((await came()).lots[0].came).toMatchObject({ faults: 'client says no faults', words: '' })
    expect((await post('/lots/1/faults', { do: 'told', why: '' })).status).toBe(422)
    expect((await post('/lots/1/faults', { do: 'told', why: 'limed once' })).status).toBe(303)
    expect((await came()).lots[0].came).toMatchObject({ faults: 'told', words: 'limed once' })
    const { history } = (await site.browser.json('/lots/1')).body
    expect(history.at(-1)).toMatchObject({ was: { faults: 'client says no faults' }, became: { faults: 'limed once' } })
  })

  const said = {
    'came.broughtBy': 'Ode',
    'came.authority': 'her sister',
    'came.offcuts': 'composted',
    'came.gathered': 'at the weir',
  }

  test('of who brought it, with the right to; the terms of that day stay', async () => {
    await post('/settings/drop-off', {
      receiptWords: 'A year at most.',
      weeksWithoutDay: '6',
      tiePlace: 'not written down',
      tieKind: 'not written down',
      thickEnd: 'not written down',
      version: '1',
    })
    await bring()
    await post('/settings/drop-off', {
      receiptWords: 'A month at most.',
      weeksWithoutDay: '6',
      tiePlace: 'not written down',
      tieKind: 'not written down',
      thickEnd: 'not written down',
      version: '2',
    })
    expect((await post('/commissions/1/arrival', { ...said, version: '1' })).status).toBe(303)
    const { arrival } = await came()
    expect(arrival).toMatchObject({
      broughtBy: 'Ode',
      offcuts: 'composted',
      gathered: 'at the weir',
      terms: 'A year at most.',
    })
    expect((await site.browser.get('/commissions/1/receipt')).text).toContain('A year at most.')
    const stale = await post('/commissions/1/arrival', { ...said, 'came.broughtBy': 'Ilka', version: '1' })
    expect(stale.status).toBe(409)
    expect(stale.text).toContain('value="Ilka"')
    expect(JSON.stringify(rows('select * from history'))).not.toMatch(/Ode|weir/)
  })

  test('without the right is refused, with everything typed', async () => {
    await bring()
    const page = await post('/commissions/1/arrival', { ...said, 'came.authority': '', version: '1' })
    expect(page.status).toBe(422)
    expect(page.text).toContain('href="#came.authority"')
    expect(page.text).toContain('value="Ode"')
  })
})

test.each([
  ['/commissions/1/arrival', ['came.broughtBy', 'came.authority', 'came.gathered']],
  ['/commissions/1/agreements', ['agreed.words', 'agreed.on']],
  ['/commissions/1/returnables', ['cameAlong']],
  ['/commissions/1/returnables/1', ['why']],
  ['/commissions/1/unmet-wishes', ['unmet']],
  ['/commissions/1/unmet-wishes/1', ['decision', 'decidedBy']],
  ['/lots/1/apart', ['why']],
  ['/lots/1/faults', ['why']],
  ['/settings/drop-off', ['receiptWords', 'weeksWithoutDay']],
])('%s sent empty, with nonsense or with ten thousand characters writes nothing', async (url, fields) => {
  await bring({ returnables: readReturnables('a note'), agreed: null })
  await post('/commissions/1/unmet-wishes', { unmet: 'no knives' })
  const before = ['history', 'agreement', 'returnable', 'keep_apart', 'workshop_change'].map(table =>
    rows(`select * from ${table}`),
  )
  expect((await post(url)).status).toBe(422)
  for (const field of fields) {
    const page = await post(url, { [field]: 'x'.repeat(10_000), version: 'a', 'agreed.how': '?', 'came.offcuts': '?' })
    expect(page.status).toBe(422)
    expect(page.text).toContain('x'.repeat(10_000))
  }
  expect(
    ['history', 'agreement', 'returnable', 'keep_apart', 'workshop_change'].map(table =>
      rows(`select * from ${table}`),
    ),
  ).toEqual(before)
})

test('what is not there is not found', async () => {
  for (const url of ['/commissions/7/arrival', '/commissions/7/receipt', '/commissions/x/arrival'])
    expect((await site.browser.get(url)).status, url).toBe(404)
  for (const url of ['/commissions/7/agreements', '/commissions/7/unmet-wishes', '/lots/7/apart', '/lots/7/faults'])
    expect((await post(url, { do: 'none' })).status, url).toBe(404)
})
