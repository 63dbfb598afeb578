/** At the pot with two phones and a poor line: both show the same, and each press counts exactly once. */
import type { AddressInfo } from 'node:net'
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { testApp } from '../helper.js'
import { lotReady, threePots } from '../pots-kit.js'
import { LAPTOP, openChromium, PHONE } from './chromium.js'
import { inspectionIn } from './inspection.js'

const SECONDS = 1_000
const POT = '/pots/1/now'

let browser: Browser
let site: Awaited<ReturnType<typeof testApp>>
let address: string
let contexts: BrowserContext[] = []

beforeAll(async () => {
  browser = await openChromium()
})
afterAll(() => browser?.close())
beforeEach(async () => {
  site = await testApp()
  const [pot] = await threePots(site.db, site.by)
  const lot = await lotReady(site.db, site.by)
  const ticks = Object.fromEntries([1, 2, 3].map(n => [`bundles.${n}`, 'yes']))
  await site.browser.post(`/lots/${lot}/load`, { ...ticks, potId: pot })
  await site.app.listen({ host: '127.0.0.1', port: 0 })
  address = `http://127.0.0.1:${(site.app.server.address() as AddressInfo).port}`
  site.clock.at = '2026-03-02T10:00:00.000Z'
})
afterEach(async () => {
  for (const context of contexts) await context.close()
  contexts = []
  await site.app.close()
})

async function phone(more: object = {}): Promise<Page> {
  const context = await browser.newContext({ baseURL: address, viewport: PHONE, ...more })
  context.setDefaultTimeout(10 * SECONDS)
  await context.addCookies([{ name: 'tie', value: site.cookie.replace('tie=', ''), url: address }])
  contexts.push(context)
  const page = await context.newPage()
  await page.goto(POT)
  return page
}

type Line = {
  kind: string
  words: string
  water: string | null
  stepN: number | null
  at: string
  undoneAt: string | null
}
const log = async (): Promise<Line[]> => (await site.browser.json('/loads/1/now')).body.load.log
const told = (lines: Line[]) => lines.map(({ kind, words, water, stepN }) => `${kind} ${water ?? stepN ?? words}`)
const press = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).first().click()
const board = (page: Page) => page.getByRole('region', { name: 'Waiting to be sent' })
const waits = (page: Page, words: string) => board(page).getByText(words).first().waitFor()

describe('two phones', () => {
  test('what is pressed on one is on the other within seconds, without a reload', async () => {
    const [one, other] = [await phone(), await phone()]
    await other.evaluate('globalThis.stays = true')
    await other.getByRole('button', { name: 'Lower into Pot 1: Dye' }).waitFor()
    await press(one, 'Lower into Pot 1: Dye')
    await other.getByRole('heading', { name: /Step 2 of 5/ }).waitFor({ timeout: 5 * SECONDS })
    await other.getByText('9 ties on the tie board').waitFor()
    expect(await other.evaluate('globalThis.stays')).toBe(true)
    await press(other, 'Stirred')
    await one.getByRole('button', { name: 'Undo: noted “Stirred”' }).waitFor({ timeout: 5 * SECONDS })
    expect(told(await log())).toEqual(['step 1', 'step 2', 'noted Stirred'])
  })

  test('nothing is put in while somebody types; the page says that there is something new', async () => {
    const [one, other] = [await phone(), await phone()]
    await other.getByText('Another note, in words').click()
    await other.getByRole('textbox', { name: 'Note', exact: true }).fill('half a sent')
    await press(one, 'Wet through')
    await other.getByText('Something was written down since').waitFor({ timeout: 5 * SECONDS })
    expect(await other.getByRole('textbox', { name: 'Note', exact: true }).inputValue()).toBe('half a sent')
  })

  test('the page of a pot says so within seconds when nobody is signed in any more', async () => {
    const page = await phone()
    await site.browser.post('/sign-out', { everywhere: 'yes' })
    await site.app.changes.tell()
    await page.waitForTimeout(100)
    await press(page, 'Wet through')
    await waits(page, 'Nobody is signed in here')
    expect(told(await log().catch(() => []))).not.toContain('noted Wet through')
  })
})

describe('a line that is cut', () => {
  test('presses are kept, shown, sent once in their order, and keep their times', async () => {
    const page = await phone()
    await page.context().setOffline(true)
    await press(page, 'Still floats')
    await waits(page, 'Waiting to be sent (1)')
    site.clock.at = '2026-03-02T10:20:00.000Z'
    await press(page, 'Wet through')
    await press(page, 'Lower into Pot 1: Dye')
    await waits(page, 'Waiting to be sent (3)')
    expect(await page.getByRole('button', { name: 'Lower into Pot 1: Dye', exact: true }).isVisible()).toBe(false)
    expect(await page.getByText('not sent yet: Lot 1, Pot 1: Lower into Pot 1: Dye').count()).toBe(1)
    const kept = String(await page.evaluate('localStorage.getItem("tie-waiting")'))
    expect(kept).not.toMatch(/Ilse|Marram|Wren/)
    expect(await log()).toHaveLength(1)
    await page.context().setOffline(false)
    await page.getByRole('heading', { name: /Step 2 of 5/ }).waitFor()
    await board(page).waitFor({ state: 'hidden' })
    const lines = await log()
    expect(told(lines)).toEqual(['step 1', 'noted Still floats', 'noted Wet through', 'step 2'])
    // Pressed at ten by the server's clock, as the phone knew it; it came twenty minutes later.
    for (const { at } of lines.slice(1)) expect(at < '2026-03-02T10:05:00.000Z').toBe(true)
  })

  test('an undo waits behind what it undoes', async () => {
    const page = await phone()
    await page.context().setOffline(true)
    await press(page, 'Still floats')
    await waits(page, 'Waiting to be sent (1)')
    await press(page, /Undo: Lot 1, Pot 1: noted “Still floats”/)
    await waits(page, 'Waiting to be sent (2)')
    await page.context().setOffline(false)
    await board(page).waitFor({ state: 'hidden' })
    const lines = await log()
    expect(told(lines)).toEqual(['step 1', 'noted Still floats'])
    expect(lines.map(({ undoneAt }) => undoneAt !== null)).toEqual([false, true])
  })

  test('when another phone was sooner, the press stays and says so until it is dropped', async () => {
    const page = await phone()
    await page.context().setOffline(true)
    await press(page, 'Lower into Pot 1: Dye')
    await waits(page, 'Waiting to be sent (1)')
    await press(page, 'Still floats')
    await waits(page, 'Waiting to be sent (2)')
    const { version } = (await site.browser.json('/loads/1/now')).body.load
    expect((await site.browser.post('/loads/1/steps', { version, early: 'yes' })).status).toBe(303)
    await page.context().setOffline(false)
    await waits(page, 'Not done (1)')
    expect(await board(page).innerText()).toContain('Wren wrote down: Dye begun')
    expect(told(await log())).toEqual(['step 1', 'step 2'])
    await page.reload()
    await waits(page, 'Not done (1)')
    await press(page, 'Drop this press')
    await board(page).waitFor({ state: 'hidden' })
    expect(told(await log())).toEqual(['step 1', 'step 2', 'noted Still floats'])
  })
})

/** Everything that can be touched and is smaller than 48 px either way, on the open page. */
const SMALL = `[...document.querySelectorAll('a, button, summary, input:not([type=hidden]), textarea, select')]
  .filter(part => part.checkVisibility() && !part.closest('.skip'))
  .map(part => ({ box: part.getBoundingClientRect(), words: part.textContent.trim() || part.name }))
  .filter(({ box }) => box.height < 48 || box.width < 48)
  .map(({ box, words }) => words + ' ' + Math.round(box.width) + ' x ' + Math.round(box.height))`

describe('the page of a pot', () => {
  test('can be used by all, with thick fingers, at any width, with and without script', async () => {
    for (const viewport of [PHONE, { width: 320, height: 640 }, LAPTOP]) {
      const bench = await browser.newContext({ viewport, bypassCSP: true })
      contexts.push(bench)
      await bench.addCookies([{ name: 'tie', value: site.cookie.replace('tie=', ''), url: address }])
      const inspect = await inspectionIn(bench, viewport.width)
      const page = await phone({ viewport })
      expect(await page.evaluate(SMALL)).toEqual([])
      await page.evaluate('for (const part of document.querySelectorAll("main details")) part.open = true')
      expect(await page.evaluate(SMALL)).toEqual([])
      for (const url of [POT, '/pots/2/now', '/', '/pots', '/loads/1']) {
        await page.goto(url)
        expect(await inspect(page), url).toEqual([])
      }
    }
  })

  test('a whole load goes through on it without script', async () => {
    const page = await phone({ javaScriptEnabled: false })
    let steps = 0
    while (await page.locator('.at-pot .main.press').count()) {
      steps += 1
      expect(steps).toBeLessThan(12)
      site.clock.at = new Date(Date.parse(site.clock.at) + 14 * 3_600_000).toISOString()
      if (await page.getByRole('button', { name: /^Clear/ }).count()) await press(page, /^Clear/)
      await page.locator('.at-pot .main.press').click()
    }
    await page.getByText('Done: its bundles were laid on the ready shelf').waitFor()
    expect(told(await log()).filter(line => line.startsWith('step'))).toEqual([1, 2, 3, 4, 5, 6].map(n => `step ${n}`))
  })

  test('its clock goes on with the server’s', async () => {
    const page = await phone()
    await page.clock.install()
    await page.reload()
    const had = page.locator('[data-had]')
    const before = await had.innerText()
    await page.clock.runFor(10 * 60 * SECONDS)
    expect([before, await had.innerText()]).toEqual(['1 h', '1 h 10 min'])
  })
})
