import { beforeEach, expect, test } from 'vitest'
import { aLot, alike, bring, makeReady, plainText, rowsTicked } from '../hand-back-helper.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
  await bring(site.db, site.by, [aLot(alike(1))])
  makeReady(site.raw, 1)
})

const mark = (held: string, reason: string) => site.browser.post('/commissions/1/release', { held, reason })
const handBack = () =>
  site.browser.post('/commissions/1/hand-back', {
    ...{ do: 'close', version: '0', toWhom: 'Marta Quill' },
    ...rowsTicked([{ lot: 0, bundles: 1 }]),
  })

test('a commission that is marked goes nowhere until the mark is lifted, each with its reason', async () => {
  expect((await mark('yes', 'two say it is theirs')).status).toBe(303)
  expect(plainText((await site.browser.get('/commissions/1')).text)).toContain('Do not release: “two say it is theirs”')
  const refused = await handBack()
  expect(refused.status).toBe(422)
  expect(refused.text).toContain('Do not release: “two say it is theirs” Lift the mark on the commission first.')
  expect(site.raw.prepare('select place from bundle').pluck().get()).toBe('ready shelf')
  expect((await mark('no', 'they agreed on Marta')).status).toBe(303)
  expect((await handBack()).status).toBe(303)
  const page = plainText((await site.browser.get('/commissions/1/release')).text)
  expect(page).toContain('do not release. two say it is theirs')
  expect(page).toContain('may be released. they agreed on Marta')
})

test('a mark is set once and lifted once', async () => {
  expect((await mark('no', 'x')).status).toBe(409)
  await mark('yes', 'x')
  expect((await mark('yes', 'x')).status).toBe(409)
  expect(site.raw.prepare('select count(*) from release_mark').pluck().get()).toBe(1)
})

test.each([
  ['nothing', {}],
  ['no reason', { held: 'yes', reason: ' ' }],
  ['nonsense', { held: 'perhaps', reason: 'x' }],
  ['a very long reason', { held: 'yes', reason: 'x'.repeat(10_000) }],
])('%s: 422, and nothing is marked', async (_, fields) => {
  const page = await site.browser.post('/commissions/1/release', fields)
  expect(page.status).toBe(422)
  expect(page.text).toContain(('reason' in fields && fields.reason.trim()) || 'Fill in: the reason.')
  expect(site.raw.prepare('select count(*) from release_mark').pluck().get()).toBe(0)
})

test('is not there for a commission that is not', async () => {
  expect((await site.browser.get('/commissions/9/release')).status).toBe(404)
  expect((await site.browser.post('/commissions/9/release', { held: 'yes', reason: 'x' })).status).toBe(404)
})
