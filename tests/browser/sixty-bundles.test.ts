/**
 * Sixty unremarkable bundles are handed back in few presses, counted by the browser itself. A scan is none: the scanner types the code of a tag and Enter, one bundle after another,
 * while the hands put each on the table; sixty bundles are sixty scans.
 */
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest'
import { aLot, alike, bring, makeReady } from '../hand-back-helper.js'
import { testApp } from '../helper.js'
import { openChromium } from './chromium.js'
import { countingPhone, presses } from './presses.js'

const MOST_PRESSES = 8

let chromium: Browser
let site: Awaited<ReturnType<typeof testApp>>
let address: string
beforeAll(async () => {
  chromium = await openChromium()
})
afterAll(() => chromium?.close())
beforeEach(async () => {
  site = await testApp()
  await bring(site.db, site.by, [aLot(alike(40)), aLot(alike(20), { colour: 'slate' })])
  makeReady(site.raw, 1)
  makeReady(site.raw, 2)
  address = await site.app.listen({ port: 0, host: '127.0.0.1' })
  return async () => {
    await site.app.close()
  }
})

const phone = (): Promise<Page> => countingPhone(chromium, site, address)
const codes = (): string[] => site.raw.prepare('select code from tag order by bundle_id').pluck().all().map(String)

async function openHandBack(page: Page): Promise<void> {
  await page.goto(address)
  await page.getByRole('region', { name: 'Ready: tell the client' }).getByRole('link', { name: 'chair seats' }).tap()
  await page.getByRole('link', { name: 'Hand back', exact: true }).tap()
  await page.getByLabel('Scan the bundles on the table').tap()
}

async function scan(page: Page, tags: readonly string[]): Promise<void> {
  for (const code of tags) await page.keyboard.type(`${code}\n`)
}

test('from today to the slip in at most eight presses, and every bundle named by its tag', async () => {
  const page = await phone()
  await openHandBack(page)
  await scan(page, codes())
  await page.getByRole('button', { name: 'Hand back 60 bundles' }).tap()
  await page.getByRole('link', { name: /^Return slip/ }).tap()
  expect(await page.locator('h1').innerText()).toBe('Return slip 1')
  expect(await presses(page)).toBeLessThanOrEqual(MOST_PRESSES)
  expect(await presses(page)).toBeGreaterThan(3)
  const gone = site.raw.prepare("select count(*) from bundle where place = 'handed back' and ties_on = 3").pluck().get()
  const named = site.raw.prepare("select count(*) from hand_back_bundle where tag_code <> ''").pluck().get()
  expect([gone, named]).toEqual([60, 60])
})

test('each scan ticks its bundle at once, and a tag of somebody else is said before anything is sent', async () => {
  await bring(site.db, site.by, [aLot(alike(1))], { name: 'Ode Reed' })
  const page = await phone()
  await page.goto(`${address}/commissions/1/hand-back`)
  await page.getByLabel('Scan the bundles on the table').tap()
  const [first = '', second = ''] = codes()
  await scan(page, [first, second.toLowerCase(), first])
  expect(await page.locator('.scanned').innerText()).toBe('2 of 60 scanned.')
  expect(await page.getByLabel('Tied up again as it came: lot 1, bundle 2', { exact: true }).isChecked()).toBe(true)
  expect(await page.getByLabel('Tied up again as it came: lot 1, bundle 3', { exact: true }).isChecked()).toBe(false)
  const strange = codes().at(-1) ?? ''
  await scan(page, [strange])
  expect(await page.locator('.scanned').innerText()).toBe(`2 of 60 scanned. Not a tag of this commission: ${strange}`)
})

test('one that was not scanned is asked for by its number, and nothing goes; what was scanned stays typed', async () => {
  const page = await phone()
  await openHandBack(page)
  await scan(page, codes().slice(0, 59))
  await page.getByRole('button', { name: 'Hand back 60 bundles' }).tap()
  await page.getByRole('alert').waitFor()
  const trouble = page.getByRole('alert').getByRole('link')
  expect(await trouble.allInnerTexts()).toEqual([
    'Lot 2, bundle 20 is not ticked as tied up again: tick it, or say why.',
  ])
  expect((await page.getByLabel('Scan the bundles on the table').inputValue()).split('\n')).toHaveLength(60)
  expect(site.raw.prepare("select count(*) from bundle where place <> 'ready shelf'").pluck().get()).toBe(0)
})

test('signed with a finger on the phone, the name stands on the slip as lines and nothing else', async () => {
  const page = await phone()
  await openHandBack(page)
  await scan(page, codes())
  await page.getByText('Somebody else, by carrier').tap()
  expect(await page.locator('.signing-field').isVisible()).toBe(false)
  await page.getByLabel('on the screen').tap()
  const field = page.locator('.signing-field')
  await field.scrollIntoViewIfNeeded()
  const box = await field.boundingBox()
  if (!box) throw new Error('there is no field to sign in')
  await page.mouse.move(box.x + 20, box.y + 50)
  await page.mouse.down()
  for (let step = 1; step <= 20; step += 1)
    await page.mouse.move(box.x + 20 + step * 10, box.y + 50 + 20 * Math.sin(step))
  await page.mouse.up()
  await page.getByRole('button', { name: 'Hand back 60 bundles' }).tap()
  await page.getByRole('link', { name: /^Return slip/ }).tap()
  const signature = String(site.raw.prepare('select signature from hand_back_person').pluck().get())
  expect(signature).toMatch(/^M\d+ \d+(L\d+ \d+){15,20}$/)
  expect(await page.locator('.signed path').getAttribute('d')).toBe(signature)
  expect(await page.locator('.signed').innerText()).toContain('Received: Marta Quill, signed on the screen')
})

test('the button names the bundles that go: it follows each tick, and what was scanned goes with its lot', async () => {
  const page = await phone()
  await page.goto(`${address}/commissions/1/hand-back`)
  const says = () => page.locator('button[value=close]').innerText()
  expect(await says()).toBe('Hand back 60 bundles')
  await page.getByLabel('Lot 2 goes back now').uncheck()
  expect(await says()).toBe('Hand back 40 bundles')
  for (const [n, words] of [
    [1, 'This bundle stays here for now'],
    [2, 'This bundle is not found'],
  ] as const) {
    const bundle = page.locator('.bundle-back').nth(n - 1)
    await bundle.getByText('Something differs').tap()
    await bundle.getByLabel(words).check()
  }
  expect(await says()).toBe('Hand back 38 bundles')
  await page.getByLabel('Lot 1 goes back now').uncheck()
  expect(await says()).toBe('Hand back what is ticked')
  await page.getByLabel('Scan the bundles on the table').tap()
  await scan(page, codes().slice(59))
  expect(await page.getByLabel('Lot 2 goes back now').isChecked()).toBe(true)
  expect(await says()).toBe('Hand back 20 bundles')
})
