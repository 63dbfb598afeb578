/** The stream that tells open pages that something was written down, over a real connection. */
import { Agent, get, type IncomingMessage } from 'node:http'
import type { AddressInfo } from 'node:net'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { endSession } from '../../src/store/sign-in.js'
import { testApp } from '../helper.js'
import { lotReady, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
let base: string
let closed = false

beforeEach(async () => {
  closed = false
  site = await testApp()
  const [pot] = await threePots(site.db, site.by)
  const lot = await lotReady(site.db, site.by)
  await site.browser.post(`/lots/${lot}/load`, { 'bundles.1': 'yes', potId: pot })
  await site.app.listen({ host: '127.0.0.1', port: 0 })
  base = `http://127.0.0.1:${(site.app.server.address() as AddressInfo).port}`
})
afterEach(async () => {
  if (!closed) await site.app.close()
})

type Stream = { answer: IncomingMessage; heard: () => string; ended: Promise<void> }

/** Keeps its connections for further requests, as a browser does. */
const agent = new Agent({ keepAlive: true })

function listen(cookie = site.cookie): Promise<Stream> {
  return new Promise((resolve, reject) => {
    const headers = { cookie, accept: 'text/event-stream', 'accept-encoding': 'gzip' }
    get(`${base}/now/changes`, { headers, agent }, answer => {
      let text = ''
      answer.setEncoding('utf8')
      answer.on('data', part => {
        text += part
      })
      answer.on('error', () => undefined)
      const ended = new Promise<void>(done => answer.once('close', () => done()))
      resolve({ answer, heard: () => text, ended })
    }).once('error', reject)
  })
}
const until = async (what: () => boolean): Promise<void> => {
  for (let waits = 0; waits < 200 && !what(); waits += 1) await new Promise(resolve => setTimeout(resolve, 20))
  expect(what()).toBe(true)
}
const note = () => site.browser.post('/loads/1/notes', { 'note.words': 'Ilse asked after it' })
const versions = (text: string) => [...text.matchAll(/^data: (.*)$/gm)].map(([, data]) => data)

test('tells at once that something was written down, and nothing of what it was', async () => {
  const { answer, heard } = await listen()
  expect(answer.headers['content-type']).toContain('text/event-stream')
  expect(answer.headers['content-encoding']).toBeUndefined()
  expect(answer.headers['content-security-policy']).toContain("default-src 'none'")
  await until(() => versions(heard()).length === 1)
  const page = await site.browser.get('/pots/1/now')
  expect(page.text).toContain(`data-as-of="${versions(heard())[0]}"`)
  await note()
  await until(() => versions(heard()).length === 2)
  expect(new Set(versions(heard())).size).toBe(2)
  expect(
    heard()
      .replace(/^(retry: \d+|event: changed|data: [0-9a-f]{8}-\d+|)$/gm, '')
      .trim(),
  ).toBe('')
})

test('a press that is refused tells nobody', async () => {
  const { heard } = await listen()
  await until(() => versions(heard()).length === 1)
  expect((await site.browser.post('/loads/1/notes', { 'note.words': '' })).status).toBe(422)
  await note()
  await until(() => versions(heard()).length === 2)
  expect(versions(heard())).toHaveLength(2)
})

test('is for those who are signed in, and ends when they sign out', async () => {
  expect((await listen('')).answer.statusCode).toBe(303)
  const stream = await listen()
  await site.browser.post('/sign-out', {})
  await stream.ended
  expect((await listen()).answer.statusCode).toBe(303)
})

test('a session that was ended elsewhere is noticed with the next change of sign-in', async () => {
  const stream = await listen()
  await endSession(site.db, site.cookie.replace('tie=', ''))
  site.app.changes.look()
  await stream.ended
})

test('an open page alone keeps nobody signed in', async () => {
  const stream = await listen()
  site.clock.at = '2026-03-09T10:00:00.000Z'
  site.app.changes.look()
  await stream.ended
})

test('one browser holds six of them, not more', async () => {
  const streams = await Promise.all(Array.from({ length: 6 }, () => listen()))
  expect(streams.map(({ answer }) => answer.statusCode)).toEqual(Array(6).fill(200))
  expect((await listen()).answer.statusCode).toBe(204)
  streams[0]?.answer.destroy()
  await until(() => site.app.changes.listening === 5)
  expect((await listen()).answer.statusCode).toBe(200)
})

test('do not hold the server up when it stops', async () => {
  const streams = [await listen(), await listen()]
  const begun = Date.now()
  await site.app.close()
  closed = true
  await Promise.all(streams.map(({ ended }) => ended))
  expect(Date.now() - begun).toBeLessThan(2_000)
})
