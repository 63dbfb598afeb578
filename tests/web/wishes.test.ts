/** A client's wishes stand wherever their fibre is handled, and are never folded away (ATSILIRN protocol 6: observed by all). */
import { parse } from 'node-html-parser'
import { expect, test } from 'vitest'
import { testApp } from '../helper.js'
import { lotReady, threePots } from '../pots-kit.js'

/** What is seen without opening anything. */
function inSight(html: string): string {
  const page = parse(html)
  for (const folded of page.querySelectorAll('details')) folded.remove()
  return page.text
}

test('on every page and paper on which a bundle is moved, worked on, looked at or handed back', async () => {
  const site = await testApp()
  await threePots(site.db, site.by)
  await lotReady(site.db, site.by)
  await site.browser.post('/places/spots', { name: 'top board', place: 'arrivals shelf' })
  const code = String(site.raw.prepare('select code from tag order by id').pluck().get())
  expect((await site.browser.post('/places/spots/1', { codes: code, do: 'put' })).status).toBe(303)
  await site.browser.post('/places/counts', { where: 'arrivals shelf' })
  const shelves = ['/bundles/1', '/places', '/places/spots/1', '/places/counts/1', '/commissions/1/tags']
  const lot = [
    '',
    'load',
    'recipe',
    'ties',
    'photographs',
    'outcome',
    'wet-cloth',
    'undyed',
    'put-right',
    'incidents/new',
  ]
  const commission = ['', '/arrival', '/receipt', '/hand-back']
  const before = [
    ...shelves,
    ...lot.map(one => `/lots/1/${one}`.replace(/\/$/, '')),
    ...commission.map(one => `/commissions/1${one}`),
    '/drop-off?client=1',
  ]
  const look = async (url: string) => {
    const { text, status } = await site.browser.get(url)
    expect(status, url).toBe(200)
    expect(inSight(text), url).toContain('Never hang it by the thin ends.')
  }
  for (const url of before) await look(url)
  expect((await site.browser.post('/lots/1/load', { potId: '1', 'bundles.1': 'yes' })).status).toBe(303)
  for (const url of ['/loads/1', '/loads/1/now', '/pots/1/now', '/recipes/1/pot-sheet']) await look(url)
})
