/** Twelve alike bundles are taken in with few presses, from the day's page of a fresh workshop to the receipt. */
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest'
import { testApp } from '../helper.js'
import { openChromium } from './chromium.js'
import { countingPhone, presses } from './presses.js'

const MOST_PRESSES = 25

let chromium: Browser
let site: Awaited<ReturnType<typeof testApp>>
let address: string
beforeAll(async () => {
  chromium = await openChromium()
})
afterAll(() => chromium?.close())
beforeEach(async () => {
  site = await testApp()
  address = await site.app.listen({ port: 0, host: '127.0.0.1' })
  return async () => {
    await site.app.close()
  }
})

async function type(page: Page, label: string, words: string): Promise<void> {
  const field = page.getByLabel(label, { exact: true })
  await field.tap()
  await field.pressSequentially(words)
}

async function choose(page: Page, label: string, option: string): Promise<void> {
  const field = page.getByLabel(label, { exact: true })
  await field.tap()
  await field.selectOption(option)
}

/** What is asked of twelve bundles when nothing about them is unusual, and then the receipt. */
async function takeIn(page: Page): Promise<void> {
  await type(page, 'Purpose', 'hats')
  await type(page, 'Needed by', '20 Mar')
  await choose(page, 'Fibre', 'red cedar inner bark')
  await type(page, 'Colour in words', 'barn red')
  await choose(page, 'Dye', 'cochineal')
  await type(page, 'Alike bundles, in one line', '12 bundles of 3 ties, 150 g each, 0.8 mm')
  await page.getByRole('button', { name: 'Read it back' }).tap()
  await page.getByRole('button', { name: 'Take in 12 bundles' }).tap()
  await page.getByRole('link', { name: 'Receipt 1' }).tap()
  await page.getByRole('heading', { name: 'Receipt 1 of commission 1' }).waitFor()
}

const taken = () =>
  site.raw.prepare('select count(*) as bundles, sum(ties_in) as ties, sum(dry_weight_g) as grams from bundle').get()

async function openDropOff(): Promise<Page> {
  const page = await countingPhone(chromium, site, address)
  await page.goto(address)
  await page.getByRole('link', { name: 'Drop-off', exact: true }).tap()
  return page
}

test.each([
  ['who is known', true],
  ['who was never here', false],
] as const)('of a client %s, in at most twenty-five presses', async (_who, isKnown) => {
  if (isKnown) {
    const client = { name: 'Ilse Marram', contact: 'the net loft', settles: 'trade', photographs: 'no' }
    expect((await site.browser.post('/clients/new', client)).status).toBe(303)
  }
  const page = await openDropOff()
  await type(page, 'Client', 'Ilse Marram')
  if (!isKnown) {
    await page.getByText('New client', { exact: true }).tap()
    await type(page, 'How to reach them', 'the net loft')
  }
  await takeIn(page)
  const count = await presses(page)
  console.log(`twelve bundles of a client ${_who}: ${count} presses`)
  expect(count).toBeLessThanOrEqual(MOST_PRESSES)
  // Fewer than its pages, fields and lists would be a counter that does not count.
  expect(count).toBeGreaterThanOrEqual(isKnown ? 13 : 15)
  expect(taken()).toEqual({ bundles: 12, ties: 36, grams: 1800 })
})
