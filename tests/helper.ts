/** One running workshop for a test: a database in memory, a clock that stands still, and a browser that is signed in. */
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import supertest from 'supertest'
import { buildApp } from '../src/app.js'
import { firstCatalogue } from '../src/domain/first-catalogue/index.js'
import { fillCatalogue } from '../src/store/catalogue.js'
import { addWorker, beginSession } from '../src/store/sign-in.js'
import { addWorkshop } from '../src/store/workshop.js'
import type { Config } from '../src/web/kit/config.js'
import { openMemory } from './memory.js'

export const PASSPHRASE = 'nettle rush willow lime'
export const START = '2026-03-02T09:00:00.000Z'

export const config = (transport: Config['transport'] = 'loopback'): Config => ({
  dataFolder: join(tmpdir(), `tie-for-tie-tests-${process.pid}`),
  host: '127.0.0.1',
  port: 0,
  transport,
  photographsMostBytes: 1_000_000_000,
})

export type Clock = { at: string }

/** The bare site before set-up. */
export async function bareApp(
  transport: Config['transport'] = 'loopback',
  setUpCode = 'a1b2c3d4-00000000-00000000-00000000',
) {
  const opened = openMemory()
  const clock: Clock = { at: START }
  await fillCatalogue(opened.db, firstCatalogue, START)
  const app = buildApp({ db: opened.db, config: config(transport), now: () => new Date(clock.at), setUpCode })
  await app.ready()
  return { ...opened, app, clock }
}

/** The site of a workshop that is set up, with its dyer signed in. */
export async function testApp(transport: Config['transport'] = 'loopback') {
  const bare = await bareApp(transport)
  const { db } = bare
  await addWorkshop(db, {
    name: 'The Weir Shed',
    weightUnit: 'metric',
    volumeUnit: 'metric',
    timeZone: 'Europe/Lisbon',
    dryBasis: 'conditioned',
    scaleStepG: 1,
    slipPaper: 'A5',
    slipWords: '',
  })
  const workerId = await addWorker(db, 'Wren', 'not a hash: sessions are made directly in tests', START)
  const cookie = `${transport === 'proxy' ? '__Host-tie' : 'tie'}=${await beginSession(db, workerId, START)}`
  return { ...bare, workerId, by: { workerId, at: START }, browser: browserOf(bare.app, cookie), cookie }
}

export type Browser = ReturnType<typeof browserOf>

let keys = 0
export function newKey(): string {
  keys += 1
  return `test-key-${String(keys).padStart(12, '0')}`
}

/** A page is read as a person reads it: a space that does not break is a space. */
const read = (request: supertest.Test): supertest.Test =>
  request.on('response', (answer: { text?: string }) => {
    if (answer.text) answer.text = answer.text.replaceAll('\u00a0', ' ')
  })

/** Sends what a browser sends: same-origin forms with a fresh one-time key, and the session's cookie. */
export function browserOf(app: Awaited<ReturnType<typeof bareApp>>['app'], cookie = '') {
  const agent = supertest(app.server)
  return {
    get: (url: string) => read(agent.get(url)).set('cookie', cookie).set('accept', 'text/html'),
    json: (url: string) => agent.get(url).set('cookie', cookie).set('accept', 'application/json'),
    /** A form; one that brings files (bytes, by the name of their input) goes in parts. */
    post: (url: string, fields: Record<string, string | number | Buffer>) => {
      const request = read(agent.post(url))
        .set('cookie', cookie)
        .set('accept', 'text/html')
        .set('sec-fetch-site', 'same-origin')
      const form = Object.entries({ key: newKey(), ...fields })
      if (!form.some(([, value]) => Buffer.isBuffer(value))) return request.type('form').send(Object.fromEntries(form))
      for (const [name, value] of form)
        Buffer.isBuffer(value) ? request.attach(name, value, `${name}.jpg`) : request.field(name, String(value))
      return request
    },
  }
}
