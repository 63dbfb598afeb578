/** A workshop with a load in Pot 1, and phones signed in to it, whose line can be cut. */
import type { AddressInfo } from 'node:net'
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { testApp } from '../helper.js'
import { lotReady, threePots } from '../pots-kit.js'
import { PHONE } from './chromium.js'

export const SECONDS = 1_000
export const POT = '/pots/1/now'

type Line = {
  kind: string
  words: string
  water: string | null
  typed: string
  stepN: number | null
  at: string
  undoneAt: string | null
}
export const told = (lines: Line[]): string[] =>
  lines.map(({ kind, words, water, stepN, typed }) => `${kind} ${typed || (water ?? stepN ?? words)}`)

export const press = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).first().click()
export const board = (page: Page) => page.getByRole('region', { name: 'Waiting to be sent' })
export const waits = (page: Page, words: string) => board(page).getByText(words).first().waitFor()

export async function loadInPot(browser: Browser) {
  const site = await testApp()
  const [pot] = await threePots(site.db, site.by)
  const lot = await lotReady(site.db, site.by)
  const ticks = Object.fromEntries([1, 2, 3].map(n => [`bundles.${n}`, 'yes']))
  await site.browser.post(`/lots/${lot}/load`, { ...ticks, potId: pot })
  await site.app.listen({ host: '127.0.0.1', port: 0 })
  const address = `http://127.0.0.1:${(site.app.server.address() as AddressInfo).port}`
  site.clock.at = '2026-03-02T10:00:00.000Z'
  const context = async (more: object = {}): Promise<BrowserContext> => {
    const made = await browser.newContext({ baseURL: address, viewport: PHONE, ...more })
    made.setDefaultTimeout(10 * SECONDS)
    await made.addCookies([{ name: 'tie', value: site.cookie.replace('tie=', ''), url: address }])
    return made
  }
  return {
    site,
    context,
    phone: async (more: object = {}, url = POT): Promise<Page> => {
      const page = await (await context(more)).newPage()
      await page.goto(url)
      return page
    },
    log: async (): Promise<Line[]> => (await site.browser.json('/loads/1/now')).body.load.log,
    /** The phones stay until the browser goes: now and then it does not answer for minutes when one is to be closed. */
    stop: () => site.app.close(),
  }
}
