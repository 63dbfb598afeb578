/** Names and purposes of a length that nobody plans for: on a phone, no page scrolls sideways because of them. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { seed } from '../../seed-demo/seed.js'
import { buildApp } from '../../src/app.js'
import { openDb } from '../../src/store/db.js'
import { beginSession } from '../../src/store/sign-in.js'
import { crawl, kindOf } from '../crawl.js'
import { browserOf, config } from '../helper.js'
import { openChromium, PHONE } from './chromium.js'

let browser: Browser
beforeAll(async () => {
  browser = await openChromium()
})
afterAll(() => browser?.close())

const SURNAME = 'Quillwrightenbergerhausenstrandlagunenfeldmarschallingheim'
const PURPOSE = 'Twiningbasketryandchairseatweavingforthewholeautumnclassoftheguildinthelongmeadow'
const MARK = 'QWBHSLFMIQWBHSLFMIQWBHSLFMIQWBHSLFMIQWBH'

const UNFOLD = 'for (const part of document.querySelectorAll("details")) part.open = true'
/** What reaches beyond the phone, the innermost first: a phone zooms out to what is too wide, so that its own width says nothing. */
const TOO_WIDE = `document.documentElement.scrollWidth <= ${PHONE.width} ? [] :
  [...document.querySelectorAll('body *')].filter(part => part.getBoundingClientRect().right > ${PHONE.width} + 1)
    .reverse().slice(0, 3).map(part => part.tagName + '.' + part.className + ' ' + part.textContent.trim().slice(0, 40))`

test('no page of a phone 360 px wide scrolls sideways', async () => {
  const dataFolder = mkdtempSync(join(tmpdir(), 'tie-long-names-'))
  const now = Date.parse('2026-03-02T14:00:00.000Z')
  const { db, raw, close } = openDb(':memory:')
  const workerId = await seed(db, 'none', now, dataFolder)
  raw.prepare('update client set name = ? || id, mark = ?, contact = ?').run(`Ode ${SURNAME}`, MARK, SURNAME.repeat(2))
  raw.prepare('update commission set purpose = ?').run(PURPOSE)
  const app = buildApp({ db, config: { ...config(), dataFolder }, now: () => new Date(now) })
  const address = await app.listen({ host: '127.0.0.1', port: 0 })
  const token = await beginSession(db, workerId, new Date(now).toISOString())
  try {
    const dyer = browserOf(app, `tie=${token}`)
    for (const id of raw.prepare('select distinct commission_id from lot where closed_at is null').pluck().all())
      expect((await dyer.post(`/commissions/${id}/receipt`, {})).status).toBe(303)
    const { pages } = await crawl(app, `tie=${token}`, 2)
    const context = await browser.newContext({ viewport: PHONE })
    await context.addCookies([{ name: 'tie', value: token, url: address }])
    const page = await context.newPage()
    const wide: Record<string, unknown> = {}
    const looked = pages.filter(({ type, status }) => type.startsWith('text/html') && status === 200)
    for (const { url } of looked) {
      await page.goto(address + url)
      await page.evaluate(UNFOLD)
      const parts: string[] = await page.evaluate(TOO_WIDE)
      if (parts.length > 0) wide[url] = parts
    }
    expect(wide).toEqual({})
    await page.goto(`${address}/clients`)
    const find = await page.locator('main').getByRole('button', { name: 'Find' }).boundingBox()
    expect(find?.height, 'a short word is not broken').toBeLessThan(60)
    const named = looked.filter(({ body }) => body.includes(SURNAME)).map(({ url }) => kindOf(url))
    for (const kind of ['/', '/clients/N', '/lots/N', '/pots/N/now', '/plan', '/commissions/N/receipt'])
      expect(named).toContain(kind)
  } finally {
    await app.close()
    await close()
    rmSync(dataFolder, { recursive: true, force: true })
  }
}, 600_000)
