/** At the pot with two phones and a poor line: both show the same, and each press counts exactly once. */
import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { LAPTOP, openChromium, PHONE } from './chromium.js'
import { inspectionIn } from './inspection.js'
import { board, loadInPot, POT, press, SECONDS, told, waits } from './phones.js'

let browser: Browser
let pot: Awaited<ReturnType<typeof loadInPot>>
beforeAll(async () => {
  browser = await openChromium()
})
afterAll(() => browser?.close())
beforeEach(async () => {
  pot = await loadInPot(browser)
})
afterEach(() => pot.stop())

const phone = (more: object = {}): Promise<Page> => pot.phone(more)
const log = () => pot.log()

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
    await pot.site.browser.post('/sign-out', { everywhere: 'yes' })
    await pot.site.app.changes.tell()
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
    pot.site.clock.at = '2026-03-02T10:20:00.000Z'
    await press(page, 'Wet through')
    await press(page, 'Lower into Pot 1: Dye')
    await waits(page, 'Waiting to be sent (3)')
    expect(await page.getByRole('button', { name: 'Lower into Pot 1: Dye', exact: true }).isVisible()).toBe(false)
    expect(await page.getByText('not sent yet: Lot 1, Pot 1: Lower into Pot 1: Dye').count()).toBe(1)
    const kept = String(await page.evaluate('JSON.stringify(localStorage)'))
    expect(kept).toContain('Still floats')
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
    const { version } = (await pot.site.browser.json('/loads/1/now')).body.load
    expect((await pot.site.browser.post('/loads/1/steps', { version, early: 'yes' })).status).toBe(303)
    await page.context().setOffline(false)
    await waits(page, 'Not done (1)')
    expect(await board(page).innerText()).toContain('Wren wrote down: Dye begun')
    expect(told(await log())).toEqual(['step 1', 'step 2'])
    await page.reload()
    await waits(page, 'Not done (1)')
    await press(page, 'Drop it')
    await board(page).waitFor({ state: 'hidden' })
    expect(told(await log())).toEqual(['step 1', 'step 2', 'noted Still floats'])
  })
})

/** How high the menu is, and how wide its field to find something. */
const MENU = `['.top', '#find-anywhere'].map(part => document.querySelector(part).getBoundingClientRect())
  .map(({ width, height }) => ({ width, height }))`
type Box = { width: number; height: number }

/** Everything that can be touched and is smaller than 48 px either way, on the open page. */
const SMALL = `[...document.querySelectorAll('a, button, summary, input:not([type=hidden]), textarea, select')]
  .filter(part => part.checkVisibility() && !part.closest('.skip'))
  .map(part => ({ box: part.getBoundingClientRect(), words: part.textContent.trim() || part.name }))
  .filter(({ box }) => box.height < 48 || box.width < 48)
  .map(({ box, words }) => words + ' ' + Math.round(box.width) + ' x ' + Math.round(box.height))`

/** Whatever two things can be touched on the page of a pot less than 8 px from each other. */
const CLOSE = `(() => {
  const parts = [...document.querySelectorAll('.at-pot :is(a, button, summary, input:not([type=hidden]), textarea)')]
    .filter(part => part.checkVisibility())
    .map(part => ({ box: part.getBoundingClientRect(), words: part.textContent.trim() || part.name }))
  const apart = (a, b) => Math.max(b.left - a.right, a.left - b.right, b.top - a.bottom, a.top - b.bottom)
  return parts.flatMap((one, n) => parts.slice(n + 1)
    .filter(other => apart(one.box, other.box) < 8)
    .map(other => one.words + ' | ' + other.words + ' ' + Math.round(apart(one.box, other.box))))
})()`

describe('the page of a pot', () => {
  test('can be used by all, with thick fingers, at any width, with and without script', async () => {
    for (const viewport of [PHONE, { width: 320, height: 640 }, LAPTOP]) {
      const bench = await pot.context({ viewport, bypassCSP: true })
      const inspect = await inspectionIn(bench, viewport.width)
      const page = await phone({ viewport })
      expect(await page.evaluate(SMALL)).toEqual([])
      await page.evaluate('for (const part of document.querySelectorAll("main details")) part.open = true')
      expect(await page.evaluate(SMALL)).toEqual([])
      expect(await page.evaluate(CLOSE)).toEqual([])
      for (const url of [POT, '/pots/2/now', '/', '/pots', '/loads/1']) {
        await page.goto(url)
        expect(await inspect(page), url).toEqual([])
      }
    }
  })

  test('its menu, and that of every page, is one line on a laptop, with room to type what is looked for', async () => {
    const page = await phone({ viewport: LAPTOP })
    for (const width of [1280, 1024]) {
      await page.setViewportSize({ width, height: 800 })
      for (const url of [POT, '/']) {
        await page.goto(url)
        const [menu, find] = (await page.evaluate(MENU)) as [Box, Box]
        expect(menu.height, `${url} at ${width}`).toBeLessThan(64)
        expect(find.width, `${url} at ${width}`).toBeGreaterThan(100)
      }
    }
  })

  test('a whole load goes through on it without script', async () => {
    const page = await phone({ javaScriptEnabled: false })
    const withScript = await phone()
    let steps = 0
    while (await page.locator('.at-pot .main.press').count()) {
      steps += 1
      expect(steps).toBeLessThan(12)
      pot.site.clock.at = new Date(Date.parse(pot.site.clock.at) + 14 * 3_600_000).toISOString()
      await withScript.goto(page.url())
      expect([await withScript.evaluate(SMALL), await withScript.evaluate(CLOSE)], page.url()).toEqual([[], []])
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
    const said = async () => (await had.innerText()).replaceAll('\u00a0', ' ')
    const before = await said()
    await page.clock.runFor(10 * 60 * SECONDS)
    expect([before, await said()]).toEqual(['1 h', '1 h 10 min'])
  })
})
