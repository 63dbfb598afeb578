import { beforeEach, expect, test } from 'vitest'
import { takeInLot } from '../a-lot.js'
import { newKey, testApp } from '../helper.js'
import { lotReady, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
  await takeInLot(site)
})

const holiday = { fromDay: '20 Dec', toDay: '6 Jan', each: 'year', words: 'the house is shut' }

test('a wish about days stands on the client, the lot and the commission until it is ended', async () => {
  const { browser, raw } = site
  const sent = await browser.post('/clients/1/days', holiday)
  expect([sent.status, sent.headers.location]).toEqual([303, '/clients/1/days'])
  const kept = raw.prepare('select from_day, to_day, yearly, said from timed_wish').get()
  const said = 'Nothing from 20 Dec to 6 Jan each year: the house is shut'
  expect(kept).toEqual({ from_day: '2026-12-20', to_day: '2027-01-06', yearly: 1, said })
  for (const url of ['/clients/1', '/clients/1/days', '/lots/1', '/commissions/1'])
    expect((await browser.get(url)).text, url).toContain(said)
  // At the next drop-off it stands before both; a receipt says it once it is issued with it.
  expect((await browser.get('/drop-off?client=1')).text).toContain(said)
  expect((await browser.get('/commissions/1/receipt')).text).toContain(said)
  expect((await browser.post('/commissions/1/receipt', {})).status).toBe(303)
  expect((await browser.json('/commissions/1/receipt?n=2')).body.issued.receipt.facts).toContainEqual({
    label: 'Days to leave it alone',
    words: said,
  })
  expect((await browser.post('/clients/1/days/1/end', {})).status).toBe(303)
  expect((await browser.post('/clients/1/days/1/end', {})).status).toBe(409)
  expect((await browser.get('/lots/1')).text).not.toContain(said)
})

test('wherever wishes are told or read, the way to the days is there', async () => {
  for (const url of ['/clients/1', '/commissions/1', '/commissions/1/arrival', '/drop-off?client=1'])
    expect((await site.browser.get(url)).text, url).toContain('href="/clients/1/days"')
  expect((await site.browser.get('/drop-off')).text).toContain('under “Days to leave it alone”')
})

test('while it holds, the pages of the lot at work say so, and a press is asked about once', async () => {
  const { browser, clock, db, by } = site
  const [potId] = await threePots(db, by)
  const lotId = await lotReady(db, by)
  expect((await browser.post('/clients/2/days', { 'weekdays.mon': 'yes', each: 'year' })).status).toBe(303)
  const said = `Lot ${lotId} is to be left alone until tomorrow 00:00: Nothing on Mondays.`
  expect((await browser.get(`/lots/${lotId}/load`)).text).toContain(said)
  const ticks = Object.fromEntries([1, 2, 3, 4].map(n => [`bundles.${n}`, 'yes']))
  expect((await browser.post(`/lots/${lotId}/load`, { ...ticks, potId })).status).toBe(303)
  clock.at = '2026-03-02T14:00:00.000Z'
  expect((await browser.get('/pots/1/now')).text).toContain(`<strong>${said}</strong>`)
  const press = { version: 1, back: 'pot' }
  const asked = await browser.post('/loads/1/steps', press)
  expect(asked.status).toBe(422)
  expect(asked.text).toContain(`${said} Wait, or say below that it goes on all the same.`)
  expect((await browser.json('/loads/1/now')).body.load.stepN).toBe(1)
  expect((await browser.post('/loads/1/steps', { ...press, early: 'yes' })).status).toBe(303)
  clock.at = '2026-03-03T00:00:00.000Z'
  expect((await browser.get('/pots/1/now')).text).not.toContain('to be left alone')
})

test('weekdays and hours are taken as they are typed', async () => {
  const sent = await site.browser.post('/clients/1/days', {
    'weekdays.sun': 'yes',
    'weekdays.sat': 'yes',
    each: 'year',
    fromClock: '18',
    toClock: '8:30',
  })
  expect(sent.status).toBe(303)
  expect(site.raw.prepare('select weekdays, yearly, from_clock, to_clock from timed_wish').get()).toEqual({
    weekdays: '06',
    yearly: 0,
    from_clock: '18:00',
    to_clock: '08:30',
  })
})

test.each([
  ['empty', {}, 'Choose one: each year, or this once.'],
  ['of nothing', { each: 'once' }, 'Say which weekdays'],
  ['of nonsense', { ...holiday, toDay: 'some day' }, 'cannot be read as a day'],
  ['without an end', { ...holiday, toDay: '' }, 'needs its first and its last day'],
  ['with an odd hour', { ...holiday, fromClock: '25:00' }, 'like 18:00'],
  ['too long', { ...holiday, words: 'x'.repeat(10_000) }, '300 characters at most'],
])('a form that is %s comes back', async (_, fields, sentence) => {
  const sent = await site.browser.post('/clients/1/days', { ...fields, key: newKey() })
  expect(sent.status).toBe(422)
  expect(sent.text).toContain(sentence)
  if ('words' in fields) expect(sent.text).toContain(fields.words)
  expect(site.raw.prepare('select count(*) from timed_wish').pluck().get()).toBe(0)
})
