/**
 * The server is killed again and again while photographs stream in. A photograph that was acknowledged is there, once,
 * whole; no row points to a missing or half file; and after a start nothing half-done lies about.
 */
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import sharp from 'sharp'
import supertest from 'supertest'
import { afterAll, expect, test } from 'vitest'
import { DATABASE_NAME } from '../../src/store/backup.js'
import { openToRead } from '../../src/store/db.js'
import { checkPhotographs } from '../../src/store/photograph-care.js'
import { photographFolder } from '../../src/store/photograph-folder.js'
import { type Server, startServer } from '../custody/server.js'
import { PASSPHRASE } from '../helper.js'
import { ownFolder } from '../photographs-helper.js'

const ROUNDS = Number(process.env.CUSTODY_CRASHES ?? 8)
const dataFolder = ownFolder()
let server: Server
afterAll(() => server?.end('SIGKILL'))

const form = (url: string, cookie = '') =>
  supertest(server.address).post(url).set({ cookie, accept: 'text/html', 'sec-fetch-site': 'same-origin' })

/** A workshop with a client who says yes and one lot of theirs; answers the cookie of whoever is signed in. */
async function furnish(): Promise<string> {
  const [code = ''] = /[0-9a-f]{8}(-[0-9a-f]{8}){3}/.exec(server.printed) ?? []
  const units = { weightUnit: 'metric', volumeUnit: 'metric', slipPaper: 'A5', timeZone: 'UTC' }
  const setUp = { code, name: 'Wren', workshopName: 'The Weir Shed', ...units, passphrase: PASSPHRASE }
  const cookies = [(await form('/set-up').type('form').send(setUp)).headers['set-cookie'] ?? []].flat()
  const cookie = cookies.find(line => line.startsWith('tie='))?.split(';')[0] ?? ''
  const client = { name: 'Ilse Marram', contact: 'the net loft', settles: 'trade', photographs: 'yes' }
  await form('/clients/new', cookie)
    .type('form')
    .send({ key: 'a-client-of-this-test', ...client })
  const lot = {
    'lots.0.fibreId': 'red-cedar-inner-bark',
    'lots.0.colour': 'black',
    'lots.0.dyeId': 'all-purpose-bottled',
    'lots.0.line': '2 bundles of 3 ties, 150 g',
  }
  const brought = { clientId: 1, purpose: 'hats', neededBy: 'in 9 days', ...lot, do: 'take-in' }
  const answer = await form('/drop-off', cookie)
    .type('form')
    .send({ key: 'a-drop-off-of-this-test', ...brought })
  expect(answer.headers.location, answer.text).toBe('/commissions/1')
  return cookie
}

/** Every photograph is another one. */
const photograph = (n: number): Promise<Buffer> =>
  sharp({
    create: {
      width: 600 + n,
      height: 400,
      channels: 3,
      background: '#aa7744',
      noise: { type: 'gaussian', mean: 120, sigma: 30 },
    },
  })
    .jpeg()
    .toBuffer()

/** Hands that send one photograph after another and do not give up. */
class Photographer {
  /** Words of the photographs that were acknowledged. */
  readonly acknowledged: string[] = []
  resent = 0
  isOver = false
  private readonly cookie: string
  private readonly name: string

  constructor(cookie: string, name: string) {
    this.cookie = cookie
    this.name = name
  }

  async work(serverIsBack: () => Promise<unknown>): Promise<void> {
    for (let n = 1; !this.isOver; n += 1) {
      const words = `${this.name} ${n}`
      const bytes = await photograph(n)
      for (let tries = 1; ; tries += 1) {
        await serverIsBack()
        const status = await this.send(words, bytes)
        if (status === 303) break
        if (status !== 0 || tries > 100) throw new Error(`${words}: ${status} after ${tries} tries`)
        this.resent += 1
      }
      this.acknowledged.push(words)
    }
  }

  /** The status of the answer, or 0 when there was none. */
  private async send(words: string, bytes: Buffer): Promise<number> {
    try {
      const { status } = await form('/lots/1/photographs', this.cookie)
        .field('key', `photograph-${words.replace(/ /g, '-')}`.padEnd(20, '-'))
        .field({ bundleId: '0', moment: 'as it came', words })
        .attach('chosen', bytes, 'IMG.jpg')
      return status
    } catch {
      return 0
    }
  }
}

async function checkAll(hands: readonly Photographer[]): Promise<void> {
  const { db, close } = openToRead(join(dataFolder, DATABASE_NAME))
  try {
    expect(await checkPhotographs(db, photographFolder(dataFolder))).toEqual({ missing: [], changed: [], orphans: [] })
    expect(existsSync(join(photographFolder(dataFolder), 'incoming'))).toBe(false)
    const kept = (await db.selectFrom('photograph').select('words').execute()).map(({ words }) => words)
    expect(new Set(kept).size).toBe(kept.length)
    const lost = hands.flatMap(({ acknowledged }) => acknowledged).filter(words => !kept.includes(words))
    expect(lost).toEqual([])
  } finally {
    await close()
  }
}

test(`${ROUNDS} kills while photographs come in lose none, double none and leave none by half`, async () => {
  server = await startServer(dataFolder)
  const cookie = await furnish()
  let isBack: Promise<unknown> = Promise.resolve()
  const hands = ['Wren', 'Linnet'].map(name => new Photographer(cookie, name))
  const atWork = Promise.all(hands.map(each => each.work(() => isBack)))
  atWork.catch(() => undefined)
  for (let round = 1; round <= ROUNDS; round += 1) {
    await Promise.race([pause(30 + Math.random() * 500), atWork])
    let comeBack = (): void => undefined
    isBack = new Promise<void>(resolve => {
      comeBack = resolve
    })
    await server.end('SIGKILL')
    server = await startServer(dataFolder)
    await checkAll(hands)
    comeBack()
  }
  for (const each of hands) each.isOver = true
  await atWork
  expect(await server.end('SIGTERM')).toBe(0)
  const sent = hands.reduce((sum, { acknowledged }) => sum + acknowledged.length, 0)
  const resent = hands.reduce((sum, each) => sum + each.resent, 0)
  console.log(`photographs: ${sent} acknowledged over ${ROUNDS} kills, ${resent} sent again`)
  expect(resent).toBeGreaterThan(0)
}, 300_000)
