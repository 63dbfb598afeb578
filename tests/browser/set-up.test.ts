/** A new workshop goes by the clock on its wall: by the zone of the browser where that is known, else it is asked. */
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { openChromium, PHONE } from './chromium.js'
import { type ServedWorkshop, serveWorkshop } from './served-workshop.js'

let browser: Browser
let workshop: ServedWorkshop
beforeAll(async () => {
  browser = await openChromium()
  workshop = await serveWorkshop('2026-03-02T14:00:00.000Z')
})
afterAll(async () => {
  await browser?.close()
  await workshop?.stop()
})

test.each([
  ['America/Vancouver', true, 'America/Vancouver'],
  ['UTC', true, ''],
  ['America/Vancouver', false, ''],
])('in %s, with script: %s, the field says “%s”', async (timezoneId, javaScriptEnabled, offered) => {
  const context = await browser.newContext({ timezoneId, javaScriptEnabled, viewport: PHONE })
  const page = await context.newPage()
  await page.goto(`${workshop.address}/set-up`)
  expect(await page.getByLabel('Time zone').inputValue()).toBe(offered)
  await context.close()
})
