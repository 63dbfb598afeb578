/** Forms with files, as a careless phone, a bad network and a stranger send them. */
import { type AddressInfo, connect, type Socket } from 'node:net'
import { setTimeout as pause } from 'node:timers/promises'
import sharp from 'sharp'
import supertest from 'supertest'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { newKey } from '../helper.js'
import { photographSite } from '../photographs-helper.js'
import { drawn } from '../picture-files.js'

let site: Awaited<ReturnType<typeof photographSite>>
let port: number
beforeEach(async () => {
  site = await photographSite()
  await site.app.listen({ host: '127.0.0.1', port: 0 })
  port = (site.app.server.address() as AddressInfo).port
})
afterEach(() => site.app.close())

const BOUNDARY = 'a-boundary-of-our-own'
const field = (name: string, value: string) =>
  `--${BOUNDARY}\r\nContent-Disposition: form-data; name="${name}"\r\n\r\n${value}\r\n`
const file = (name: string) =>
  `--${BOUNDARY}\r\nContent-Disposition: form-data; name="chosen"; filename="${name}"\r\nContent-Type: image/jpeg\r\n\r\n`

const begun = () =>
  [field('key', newKey()), field('bundleId', '0'), field('moment', 'as it came'), field('words', 'a long one')].join('')

type Answer = { status: number; text: string }

/** Begins a form in chunks, without saying how long it will be: on a bare socket, which goes on whatever it hears. */
function open(headers: Record<string, string> = {}): { sending: Socket; answer: Promise<Answer> } {
  const sending = connect(port, '127.0.0.1')
  sending.on('error', () => undefined)
  const all = {
    host: `127.0.0.1:${port}`,
    cookie: site.cookie,
    accept: 'text/html',
    'sec-fetch-site': 'same-origin',
    'content-type': `multipart/form-data; boundary=${BOUNDARY}`,
    'transfer-encoding': 'chunked',
    ...headers,
  }
  const lines = Object.entries(all).map(([name, value]) => `${name}: ${value}\r\n`)
  sending.write(`POST ${site.page} HTTP/1.1\r\n${lines.join('')}\r\n`)
  let heard = ''
  const answer = new Promise<Answer>((resolve, reject) => {
    sending.setEncoding('utf8').on('data', part => {
      heard += part
      if (!heard.includes('</html>')) return
      resolve({ status: Number(heard.slice(9, 12)), text: heard })
    })
    sending.once('close', () => reject(new Error(`the line was cut before an answer: ${heard}`)))
  })
  answer.catch(() => undefined)
  return { sending, answer }
}

const chunk = (body: string | Buffer): Buffer =>
  Buffer.concat([Buffer.from(`${Buffer.byteLength(body).toString(16)}\r\n`), Buffer.from(body), Buffer.from('\r\n')])

/** Sends a whole body as one chunk, and its end. */
const sendAll = (sending: Socket, body: string): boolean =>
  sending.write(Buffer.concat([body === '' ? Buffer.alloc(0) : chunk(body), Buffer.from('0\r\n\r\n')]))

const MB = 1024 * 1024
const once = (sending: Socket, event: string) => new Promise(resolve => sending.once(event, resolve))

/** Sends so many megabytes, for as long as somebody takes them. Answers how many went out. */
async function pour(sending: Socket, megabytes: number): Promise<number> {
  const part = chunk(Buffer.alloc(MB, 'x'))
  const closed = once(sending, 'close')
  let sent = 0
  while (sent < megabytes && !sending.destroyed) {
    sent += 1
    if (!sending.write(part)) await Promise.race([once(sending, 'drain'), closed])
  }
  return sent
}

describe('a file of 1 GB in chunks', () => {
  test('is cut off at the limit: 413 in words, little memory, nothing left', async () => {
    const { sending, answer } = open()
    sending.write(chunk(begun() + file('film.jpg')))
    const before = process.memoryUsage().rss
    const pouring = pour(sending, 1024)
    const { status, text } = await answer
    expect(status).toBe(413)
    expect(text).toContain('“film.jpg” is larger than 25 MB')
    expect(text).toContain('value="a long one"')
    // The rest is read on and thrown away so far, so that the answer can be read; then the line is cut.
    const sent = await pouring
    expect(sent).toBeLessThan(200)
    expect(process.memoryUsage().rss - before).toBeLessThan(150 * MB)
    expect([site.rows(), site.onDisk()]).toEqual([[], []])
  }, 20_000)

  test('is not even begun where the client has not said yes', async () => {
    site.raw.exec("update client set photographs = 'no'")
    const { sending, answer } = open()
    sending.write(chunk(begun() + file('film.jpg')))
    const pouring = pour(sending, 1024)
    expect((await answer).status).toBe(403)
    expect(await pouring).toBeLessThan(200)
    expect(site.onDisk()).toEqual([])
  }, 20_000)
})

test('forty megabytes more are read to their end, so that the answer is seen on any line', async () => {
  const bytes = Buffer.alloc(20 * MB, 'x')
  site.raw.exec("update client set photographs = 'no'")
  // This client asks for the line to be closed after the answer, as an old proxy does.
  const answer = await site.send([1, 2].map(n => ({ name: `${n}.jpg`, bytes })))
  expect(answer.status).toBe(403)
  expect(site.onDisk()).toEqual([])
})

test('a sender who goes away in the middle leaves nothing', async () => {
  const { sending } = open()
  sending.write(chunk(begun() + file('half.jpg')))
  await pour(sending, 4)
  for (let tries = 0; site.onDisk().length === 0 && tries < 100; tries += 1) await pause(20)
  expect(site.onDisk().length).toBeGreaterThan(0)
  sending.destroy()
  for (let tries = 0; site.onDisk().length > 0 && tries < 200; tries += 1) await pause(20)
  expect([site.rows(), site.onDisk()]).toEqual([[], []])
  expect((await site.send([{ name: 'whole.jpg', bytes: await drawn().jpeg().toBuffer() }])).status).toBe(303)
})

test.each([
  ['no end', () => `${begun()}${file('x.jpg')}abc`],
  ['no parts', () => 'nothing of the kind'],
  ['no body', () => ''],
  ['a field named as what every object has', () => `${begun()}${field('__proto__', 'x')}--${BOUNDARY}--\r\n`],
])('a form with %s is refused in words', async (_what, body) => {
  const { sending, answer } = open()
  sendAll(sending, body())
  const { status, text } = await answer
  expect([422, 413], text.slice(0, 300)).toContain(status)
  expect(text).toContain('There is a problem')
  expect([site.rows(), site.onDisk()]).toEqual([[], []])
})

test('a form without its boundary is refused in words', async () => {
  const { sending, answer } = open({ 'content-type': 'multipart/form-data' })
  sendAll(sending, 'x')
  expect((await answer).status).toBe(422)
})

test('a thousand fields are too many, and a field of a megabyte too long', async () => {
  const { sending, answer } = open()
  sendAll(
    sending,
    `${begun()}${Array.from({ length: 1000 }, (_, n) => field(`f${n}`, 'x')).join('')}--${BOUNDARY}--\r\n`,
  )
  expect((await answer).status).toBe(413)
  const long = open()
  sendAll(long.sending, `${begun()}${field('words', 'y'.repeat(MB))}--${BOUNDARY}--\r\n`)
  expect((await long.answer).status).toBe(422)
  expect(site.onDisk()).toEqual([])
})

test('files are taken nowhere else', async () => {
  for (const url of ['/clients/new', '/sign-in', '/settings']) {
    const answer = await site.send([{ name: 'x.jpg', bytes: Buffer.from('x') }], { name: 'Ode' }, url)
    expect(answer.status, url).toBe(415)
  }
  expect((await site.send([], {}, '/no-such-page')).status).toBe(404)
  expect(site.onDisk()).toEqual([])
})

test('whoever is not signed in sends nothing onto the disk, and is asked to choose again', async () => {
  const answer = await supertest(site.app.server)
    .post(site.page)
    .set({ 'sec-fetch-site': 'same-origin', accept: 'text/html' })
    .field('key', newKey())
    .attach('chosen', await drawn().jpeg().toBuffer(), 'x.jpg')
  expect(answer.status).toBe(401)
  expect(answer.text).toContain('choose the files again')
  expect(answer.text).toContain(`value="${site.page}"`)
  expect(site.onDisk()).toEqual([])
})

test('another site sends nothing at all', async () => {
  const answer = await supertest(site.app.server)
    .post(site.page)
    .set({ cookie: site.cookie, 'sec-fetch-site': 'cross-site', accept: 'text/html' })
    .field('key', newKey())
    .attach('chosen', await drawn().jpeg().toBuffer(), 'x.jpg')
  expect(answer.status).toBe(403)
  expect([site.rows(), site.onDisk()]).toEqual([[], []])
})

test('many pictures at once fill no memory: twelve of 24 million pixels', async () => {
  const grey = { width: 6000, height: 4000, channels: 3, background: '#808080' } as const
  const bytes = await sharp({ create: grey }).png().toBuffer()
  const before = process.memoryUsage().rss
  const files = Array.from({ length: 12 }, (_, n) => ({ name: `${n}.jpg`, bytes }))
  expect((await site.send(files)).status).toBe(303)
  expect(site.rows()).toHaveLength(1)
  expect(process.memoryUsage().rss - before).toBeLessThan(300 * MB)
}, 60_000)
