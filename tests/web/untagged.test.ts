import { parse } from 'node-html-parser'
import { afterAll, beforeEach, describe, expect, test } from 'vitest'
import { differences, recordsOf } from '../custody/records.js'
import { aLot, alike, bring } from '../hand-back-helper.js'
import { type Browser, testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
let browser: Browser
beforeEach(async () => {
  await site?.app.close()
  site = await testApp()
  browser = site.browser
  await bring(site.db, site.by, [aLot(alike(2)), aLot(alike(1, { tiesIn: 7, dryWeightG: 300, weightTyped: '300 g' }))])
})
afterAll(() => site.app.close())

const records = () => recordsOf(site.raw)
const codeOf = (bundleId: number) =>
  String(site.raw.prepare('select code from tag where bundle_id = ? and void_at is null').pluck().get(bundleId))
const offered = (html: string) =>
  parse(html)
    .querySelectorAll('input[name="bundleId"]')
    .map(input => Number(input.getAttribute('value')))

describe('a bundle without a tag', () => {
  test('is offered when two facts agree, with the facts', async () => {
    const { status, text } = await browser.get('/untagged?weight=310&ties=7&fibreId=&place=')
    expect(status).toBe(200)
    expect(offered(text)).toEqual([3])
    expect(text).toContain('Agrees in: weight about 300 g, 7 ties.')
    expect(offered((await browser.get('/untagged?ties=3&place=arrivals+shelf')).text)).toEqual([1, 2])
    expect(offered((await browser.get('/untagged?day=2+Mar+2026&fibreId=red-cedar-inner-bark')).text)).toHaveLength(3)
  })

  test.each([
    ['nothing told', '', []],
    ['one fact', '?ties=7', ['Tell at least two things']],
    ['no agreement', '?ties=7&weight=20+g', ['No bundle here agrees in two of these']],
  ])('%s: none is offered', async (_what, query, words) => {
    const { status, text } = await browser.get(`/untagged${query}`)
    expect(status).toBe(200)
    expect(offered(text)).toEqual([])
    for (const sentence of words) expect(text).toContain(sentence)
  })

  test.each(['weight=heavy&ties=3', `weight=${'9'.repeat(10_000)}&ties=3`, 'ties=many&weight=1', 'day=yore&ties=3'])(
    'nonsense (%.30s) is said at its field, and offers nothing',
    async query => {
      const { status, text } = await browser.get(`/untagged?${query}`)
      expect(status).toBe(422)
      expect(text).toContain('There is a problem')
      expect(offered(text)).toEqual([])
    },
  )

  test('gets another tag when somebody says that this is it; the facts stand in the history', async () => {
    const was = codeOf(3)
    const facts = { weight: '310 g', ties: 7, day: '', fibreId: '', place: '' }
    const answer = await browser.post('/untagged', { ...facts, bundleId: 3, code: was })
    expect([answer.status, answer.headers.location]).toEqual([303, '/bundles/3'])
    expect(codeOf(3)).not.toBe(was)
    const { text } = await browser.get('/lots/2')
    expect(text).toContain('no tag on it; known again by: weight about 300 g, 7 ties')
    expect((await browser.get(`/t/${was}`)).status).toBe(410)
  })

  test.each([
    ['one fact', { ties: 7, weight: '' }, 422],
    ['facts of another bundle', { ties: 3, weight: '150 g' }, 422],
    ['no facts', {}, 422],
    ['no such bundle', { ties: 7, weight: '300 g', bundleId: 99 }, 404],
    ['a code that it has no longer', { ties: 7, weight: '300 g', code: 'of bundle 1' }, 409],
    ['nonsense', { ties: 'x', weight: 'y', bundleId: 'z', code: '?' }, 422],
    ['ten thousand characters', { ties: '7'.repeat(10_000), weight: '300 g', code: 'K'.repeat(10_000) }, 422],
  ])('with %s it is refused, and nothing is written', async (_what, fields, status) => {
    const before = records()
    const sent = { bundleId: 3, code: codeOf(3), ...fields }
    if (sent.code === 'of bundle 1') sent.code = codeOf(1)
    expect((await browser.post('/untagged', sent)).status).toBe(status)
    expect(differences(before, records())).toEqual([])
  })

  test('one that went back is not offered any more', async () => {
    site.raw.exec(
      "update lot set closed_at = null; drop trigger bundle_leaves; drop trigger bundle_leaves_with_its_ties; update bundle set place = 'handed back' where id = 3",
    )
    expect(offered((await browser.get('/untagged?weight=300&ties=7')).text)).toEqual([])
  })
})
