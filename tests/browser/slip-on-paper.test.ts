/** A usual slip is one sheet of A5: two sheets come apart, and the one with the signatures is lost. */
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { aLot, alike, bring, dyeLotOne, makeReady, rowsTicked } from '../hand-back-helper.js'
import { testApp } from '../helper.js'
import { openChromium } from './chromium.js'
import { printed } from './printed.js'

let site: Awaited<ReturnType<typeof testApp>>
let chromium: Browser
beforeAll(async () => {
  site = await testApp()
  chromium = await openChromium()
})
afterAll(async () => {
  await chromium?.close()
  await site?.app.close()
})

const wishes =
  'Gathered on a day kept quiet: please do not leave it lying on the ground, and keep it out of the sun and the wind.'
const explanation =
  'One tie went down the drain in the third rinse. The client was told at the table and ties it with her own.'

test('five bundles with a discrepancy and wishes fit one sheet of A5', async () => {
  const { db, raw, by, browser, app, cookie } = site
  await db.updateTable('workshop').set({ slip_words: 'The Weir Shed. Rinse apart the first time.' }).execute()
  await bring(db, by, [aLot(alike(5))], { wishes })
  await dyeLotOne(db, raw, by)
  makeReady(raw, 1)
  const closed = await browser.post('/commissions/1/hand-back', {
    ...rowsTicked([{ lot: 0, bundles: 5 }]),
    ...{ 'lots.0.bundles.3.tiesBack': '2', 'lots.0.bundles.3.explanation': explanation },
    ...{ 'lots.0.bundles.1.weight': '146 g', do: 'close', version: '0', toWhom: 'Marta Quill', words: 'Come again.' },
  })
  expect(closed.status).toBe(303)

  const address = await app.listen({ port: 0, host: '127.0.0.1' })
  const context = await chromium.newContext()
  const [name = '', value = ''] = cookie.split('=')
  await context.addCookies([{ name, value, url: address }])
  const page = await context.newPage()
  await page.goto(`${address}/hand-backs/1/slip?paper=a5`)
  const paper = await printed(page)
  // ISO 216: A5 is 148 mm × 210 mm; 72 points to the inch.
  expect([Math.round(paper.widthPt / 2.8346), Math.round(paper.heightPt / 2.8346)]).toEqual([148, 210])
  for (const words of [explanation, wishes, 'Come again.', 'Rinse apart the first time.', 'Received: Marta Quill'])
    expect(paper.text).toContain(words)
  expect(paper.pages).toBe(1)
})
