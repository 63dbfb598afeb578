import { beforeEach, describe, expect, test } from 'vitest'
import { inOneStep } from '../../src/store/db.js'
import { noteOutcome } from '../../src/store/outcomes.js'
import { takeInLot } from '../a-lot.js'
import { aLot, alike, bring, makeReady, rowsTicked } from '../hand-back-helper.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const find = (asked: Record<string, string>) => `/past-lots?${new URLSearchParams(asked)}`
const numbersIn = async (url: string): Promise<number[]> =>
  (await site.browser.json(url)).body.lots.map(({ id }: { id: number }) => id)

describe('past lots', () => {
  test('before the first lot say so', async () => {
    const page = await site.browser.get('/past-lots')
    expect(page.status).toBe(200)
    expect(page.text).toContain('No lot yet')
    expect(page.text).not.toMatch(/undefined|NaN|null/)
  })

  test('hold lots that went back with their day, and after them open ones, marked', async () => {
    const commission = await bring(site.db, site.by, [aLot(alike(2))], { name: 'Marta Quill' })
    await takeInLot(site)
    makeReady(site.raw, 1)
    const checklist = rowsTicked([{ lot: 0, bundles: 2 }])
    const closed = await site.browser.post(`/commissions/${commission}/hand-back`, {
      ...checklist,
      toWhom: 'Marta Quill',
      words: '',
      do: 'close',
      version: '0',
    })
    expect(closed.status).toBe(303)
    const { lots } = (await site.browser.json('/past-lots')).body
    expect(lots.map(({ id }: { id: number }) => id)).toEqual([1, 2])
    expect([...lots].reverse()).toMatchObject([
      { id: 2, closedAt: null, bundles: 3, ties: 9, dryWeightG: 1000, outcome: null, takenInAt: site.by.at },
      { id: 1, closedAt: site.by.at, bundles: 2, ties: 6, dryWeightG: 300, clientName: 'Marta Quill' },
    ])
    const { text } = await site.browser.get('/past-lots')
    expect(text).toContain('<strong>in hand</strong>, needed by Wed 1 Apr 2026')
    expect(text).toMatch(/back <time datetime="2026-03-02T09:00:00.000Z">Mon 2 Mar 2026<\/time>/)
  })

  test('show what was asked beside what came out', async () => {
    const lotId = await takeInLot(site)
    const outcome = { swatch: '#778855', nearness: 'nearly as asked', words: 'greener than asked' } as const
    await inOneStep(site.db, trx => noteOutcome(trx, site.by, { lotId, ...outcome }))
    const { text } = await site.browser.get(find({ words: 'greener' }))
    for (const words of [
      'straw yellow',
      '#d8c060',
      '#778855',
      'nearly as asked',
      '“greener than asked”',
      'Ilka Fenn',
      '1 kg',
    ])
      expect(text).toContain(words)
  })

  test('are found by each field, and the page keeps what was asked', async () => {
    await takeInLot(site)
    await takeInLot(site, {
      colour: 'sea blue',
      fibreId: 'lime-inner-bark',
      dyeId: 'indigo-fructose-vat',
      route: 'indigo',
    })
    expect(await numbersIn(find({ client: 'ilka' }))).toEqual([2, 1])
    expect(await numbersIn(find({ colour: 'sea' }))).toEqual([2])
    expect(await numbersIn(find({ fibre: 'flax' }))).toEqual([1])
    expect(await numbersIn(find({ dye: 'indigo', words: 'chair' }))).toEqual([2])
    const { text } = await site.browser.get(find({ words: '"sea', dye: 'indigo' }))
    expect(text).toContain('value="&quot;sea"')
    expect(text).toContain('<details class="narrowing" open>')
  })

  test('lead to older ones with the same question, until there are none', async () => {
    for (let n = 0; n < 45; n += 1) await takeInLot(site, { colour: n % 3 === 0 ? 'rare & red' : 'plain' })
    const seen: number[] = []
    let url = find({ colour: 'rare & red', words: 'chair' })
    for (let pages = 0; url !== '' && pages < 10; pages += 1) {
      seen.push(...(await numbersIn(url)))
      const { text } = await site.browser.get(url)
      url = (/href="([^"]+)" rel="next"/.exec(text)?.[1] ?? '').replaceAll('&amp;', '&')
    }
    expect(seen).toEqual(Array.from({ length: 15 }, (_, n) => 43 - 3 * n))
    const all = await numbersIn('/past-lots')
    expect(all).toEqual(Array.from({ length: 20 }, (_, n) => 45 - n))
    expect((await site.browser.json('/past-lots')).body.older).toBe('/past-lots?before=26')
  })

  test.each([
    '"',
    '*',
    '-red',
    'red OR',
    'NEAR(a b',
    'a AND',
    '{}',
    ':',
    '%',
    "'; drop",
    '\\',
    'é'.repeat(1500),
    '(',
    'x'.repeat(10_000),
  ])('answer to any text: %.20s', async typed => {
    await takeInLot(site)
    for (const field of ['words', 'client', 'colour', 'fibre', 'dye', 'before']) {
      const page = await site.browser.get(find({ [field]: typed }))
      expect(page.status).toBe(200)
    }
    expect(await numbersIn('/past-lots')).toEqual([1])
  })

  test('say when more words were typed than are looked for', async () => {
    const page = await site.browser.get(find({ words: 'red '.repeat(13) }))
    expect(page.text).toContain('Only the first twelve words')
    expect((await site.browser.get(find({ words: 'red '.repeat(12) }))).text).not.toContain('Only the first twelve')
  })

  test('are found under the name that a client bears now', async () => {
    await takeInLot(site)
    const { client } = (await site.browser.json('/clients/1')).body
    await site.browser.post('/clients/1/edit', { ...client, wishesAnswer: '', name: 'Ilka Reed' })
    expect(await numbersIn(find({ client: 'reed' }))).toEqual([1])
    expect(await numbersIn(find({ client: 'fenn' }))).toEqual([])
  })
})
