/** `npm run screens`: a picture of every kind of page of the demo workshop, on a phone, a laptop and paper, to be looked at. */
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { seed } from '../../seed-demo/seed.js'
import { buildApp } from '../../src/app.js'
import { projectRoot } from '../../src/root.js'
import { openDb } from '../../src/store/db.js'
import { beginSession } from '../../src/store/sign-in.js'
import { readConfig } from '../../src/web/kit/config.js'
import { crawl, kindOf } from '../crawl.js'
import { LAPTOP, openChromium, PHONE } from './chromium.js'

const out = join(projectRoot, 'reports', 'screens')
mkdirSync(out, { recursive: true })

const now = new Date()
const dataFolder = mkdtempSync(join(tmpdir(), 'tie-for-tie-screens-'))
process.once('exit', () => rmSync(dataFolder, { recursive: true, force: true }))
const { db } = openDb(':memory:')
const workerId = await seed(db, 'none', now.getTime(), dataFolder)
const app = buildApp({ db, config: readConfig({ TIE_DATA: dataFolder }), now: () => now })
await app.listen({ host: '127.0.0.1', port: 0 })
const base = `http://127.0.0.1:${(app.server.address() as AddressInfo).port}`
const token = await beginSession(db, workerId, now.toISOString())

const only = process.argv[2]
const { pages } = await crawl(app, `tie=${token}`, 1)
const urls = pages
  .filter(({ type, url }) => type.startsWith('text/html') && (!only || url.includes(only)))
  .map(({ url }) => url)

const browser = await openChromium()
for (const [name, viewport] of [
  ['phone', PHONE],
  ['laptop', LAPTOP],
] as const) {
  const context = await browser.newContext({ viewport })
  await context.addCookies([{ name: 'tie', value: token, url: base }])
  const page = await context.newPage()
  for (const url of urls) {
    await page.goto(base + url)
    const wide = await page.evaluate('document.documentElement.scrollWidth > innerWidth')
    if (wide) console.log(`scrolls sideways on the ${name}: ${url}`)
    await page.screenshot({
      path: join(out, `${kindOf(url).replace(/\W+/g, '_') || 'today'}-${name}.png`),
      fullPage: true,
    })
    if (name === 'laptop' && /slip|sheet|loads\/\d+$|commissions\/\d+$/.test(url)) {
      await page.pdf({ path: join(out, `${kindOf(url).replace(/\W+/g, '_')}.pdf`), preferCSSPageSize: true })
    }
  }
  await context.close()
}
await browser.close()
await app.close()
console.log(`${urls.length} pages are in ${out}`)
process.exit(0)
