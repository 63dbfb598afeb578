/** The server dies after it wrote a press down and before it answered: the press counts once, with script and without. */
import { mkdtempSync, rmSync } from 'node:fs'
import { createServer, request } from 'node:http'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import BetterSqlite3 from 'better-sqlite3'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { DATABASE_NAME } from '../../src/store/backup.js'
import { fillCatalogue } from '../../src/store/catalogue.js'
import { openDb } from '../../src/store/db.js'
import { addWorker, beginSession } from '../../src/store/sign-in.js'
import { addWorkshop } from '../../src/store/workshop.js'
import { type Server, startServer } from '../custody/server.js'
import { newKey } from '../helper.js'
import { lotReady, threePots } from '../pots-kit.js'
import { openChromium, PHONE } from './chromium.js'

const folder = mkdtempSync(join(tmpdir(), 'tie-killed-'))
let browser: Browser
let server: Server
let token: string
/** While set, the next form's answer is not passed on, and the server is killed once it has given it. */
let killAfterForm = false
let killed: Promise<unknown> = Promise.resolve()

/** Stands between browser and server, as a wifi does: the address stays while the server comes and goes. */
const line = createServer((asked, answer) => {
  const to = new URL(asked.url ?? '/', server.address)
  const onward = request(to, { method: asked.method, headers: asked.headers, agent: false }, answered => {
    if (asked.method === 'POST' && killAfterForm) {
      killAfterForm = false
      killed = server.end('SIGKILL')
      asked.socket.destroy()
      return
    }
    answer.writeHead(answered.statusCode ?? 500, answered.headers)
    answered.on('error', () => answer.destroy())
    answered.pipe(answer)
  })
  onward.on('error', () => asked.socket.destroy())
  answer.on('close', () => onward.destroy())
  asked.pipe(onward)
})
let address: string

async function furnish(): Promise<void> {
  const at = new Date(Date.now() - 3_600_000).toISOString()
  const { db, close } = openDb(join(folder, DATABASE_NAME))
  await fillCatalogue(db, firstCatalogue, at)
  const units = { weightUnit: 'metric', volumeUnit: 'metric', dryBasis: 'conditioned', slipPaper: 'A5' } as const
  await addWorkshop(db, { name: 'The Weir Shed', timeZone: 'Europe/Lisbon', scaleStepG: 1, slipWords: '', ...units })
  const workerId = await addWorker(db, 'Wren', 'not a hash: sessions are made directly in tests', at)
  token = await beginSession(db, workerId, new Date().toISOString())
  await threePots(db, { workerId, at })
  await lotReady(db, { workerId, at })
  await close()
}

beforeAll(async () => {
  await furnish()
  server = await startServer(folder)
  await new Promise<void>(resolve => line.listen(0, '127.0.0.1', resolve))
  address = `http://127.0.0.1:${(line.address() as AddressInfo).port}`
  const laid = await fetch(`${address}/lots/1/load`, {
    method: 'POST',
    redirect: 'manual',
    headers: { cookie: `tie=${token}`, origin: address },
    body: new URLSearchParams({ key: newKey(), 'bundles.1': 'yes', 'bundles.2': 'yes', potId: '1' }),
  })
  expect(laid.status).toBe(303)
  browser = await openChromium()
})
afterAll(async () => {
  await browser?.close()
  line.closeAllConnections()
  line.close()
  await server?.end('SIGKILL')
  rmSync(folder, { recursive: true, force: true })
})

async function phone(javaScriptEnabled: boolean): Promise<Page> {
  const context = await browser.newContext({ baseURL: address, viewport: PHONE, javaScriptEnabled })
  context.setDefaultTimeout(15_000)
  await context.addCookies([{ name: 'tie', value: token, url: address }])
  const page = await context.newPage()
  await page.goto('/pots/1/now')
  return page
}
const press = (page: Page, name: string) => page.getByRole('button', { name, exact: true }).click()
function notes(): string[] {
  const raw = new BetterSqlite3(join(folder, DATABASE_NAME), { readonly: true })
  const words = raw.prepare<[], string>("select words from bath_log where kind = 'noted' order by id").pluck().all()
  raw.close()
  return words
}

test('with script, the presses wait on the phone and are sent again to the server that comes back', async () => {
  const page = await phone(true)
  killAfterForm = true
  await press(page, 'Still floats')
  const board = page.getByRole('region', { name: 'Waiting to be sent' })
  await board.getByText('Waiting to be sent (1)').waitFor()
  await killed
  expect(notes()).toEqual(['Still floats'])
  await press(page, 'Wet through')
  await board.getByText('Waiting to be sent (2)').waitFor()
  server = await startServer(folder)
  await board.waitFor({ state: 'hidden' })
  await page.getByRole('button', { name: 'Undo: noted “Wet through”' }).waitFor()
  expect(notes()).toEqual(['Still floats', 'Wet through'])
  await page.context().close()
})

test('without script, going back and pressing again sends the same form, which counts once', async () => {
  const page = await phone(false)
  killAfterForm = true
  await press(page, 'Turned over').catch(() => undefined)
  await killed
  expect(notes().at(-1)).toBe('Turned over')
  server = await startServer(folder)
  if (!(await page.getByRole('button', { name: 'Turned over', exact: true }).count())) await page.goBack()
  await press(page, 'Turned over')
  await page.getByText('This was already done. Here it is.').waitFor()
  expect(notes()).toEqual(['Still floats', 'Wet through', 'Turned over'])
  await page.context().close()
})
