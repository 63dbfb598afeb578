/**
 * The server is killed again and again while forms stream in. What it acknowledged is there, once; nothing is there by
 * half; and a form that got no answer can be sent again. (A killed process shows nothing of a power cut: against that
 * stands synchronous = FULL, which the tests of the database look at.)
 */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import BetterSqlite3, { type Database } from 'better-sqlite3'
import supertest from 'supertest'
import { afterAll, expect, test } from 'vitest'
import { DATABASE_NAME } from '../../src/store/backup.js'
import { Hands } from '../custody/hands.js'
import { brokenRules, isWhole } from '../custody/invariants.js'
import { killWhileStarting, type Server, startServer } from '../custody/server.js'
import { PASSPHRASE } from '../helper.js'

const ROUNDS = Number(process.env.CUSTODY_CRASHES ?? 15)
const folder = mkdtempSync(join(tmpdir(), 'tie-crash-'))
let server: Server
afterAll(async () => {
  await server?.end('SIGKILL')
  rmSync(folder, { recursive: true, force: true })
})

const pause = (milliseconds: number) => new Promise(resolve => setTimeout(resolve, milliseconds))
const upTo = (milliseconds: number): number => Math.floor(Math.random() * milliseconds)

/** Gives the set-up code from the console once, and answers the cookie of whoever is signed in by it. */
async function setUp({ address, printed }: Server): Promise<string> {
  const [code = ''] = /[0-9a-f]{8}(-[0-9a-f]{8}){3}/.exec(printed) ?? []
  const units = { weightUnit: 'metric', volumeUnit: 'metric', slipPaper: 'A5', timeZone: 'UTC' }
  const answer = await supertest(address)
    .post('/set-up')
    .set('sec-fetch-site', 'same-origin')
    .type('form')
    .send({ code, name: 'Wren', workshopName: 'The Weir Shed', ...units, passphrase: PASSPHRASE })
  expect(answer.headers.location, answer.text).toBe('/pots/new')
  const cookies = [answer.headers['set-cookie'] ?? []].flat()
  return cookies.find(line => line.startsWith('tie='))?.split(';')[0] ?? ''
}

/** A client, three pots and a load in the third, on which notes are written. Answers the load's address. */
async function furnish(hands: Hands): Promise<string> {
  const client = { name: 'Ilse Marram', contact: 'the net loft', settles: 'trade', photographs: 'no' }
  await hands.press('/clients/new', client)
  for (const n of [1, 2, 3]) await hands.press('/pots/new', { name: `Pot ${n}`, usable: '500 L', metal: 'steel' })
  return hands.takeToThePot(await hands.bring('the first'), 3)
}

function look<T>(ask: (raw: Database) => T): T {
  const raw = new BetterSqlite3(join(folder, DATABASE_NAME), { readonly: true })
  try {
    return ask(raw)
  } finally {
    raw.close()
  }
}

/**
 * Every answer that was given is kept, with one thing done for it; at most `onTheWay` others were done unanswered.
 * Answers how many those are.
 */
function checkRecords(hands: Hands, onTheWay: number): number {
  return look(raw => {
    expect(isWhole(raw)).toBe(true)
    expect(brokenRules(raw)).toEqual([])
    const kept = new Map(
      raw
        .prepare<[], { key: string; location: string }>('select key, location from press')
        .all()
        .map(({ key, location }) => [key, location]),
    )
    const lost = hands.acknowledged.filter(({ key, leadsTo }) => kept.get(key) !== leadsTo)
    expect(lost).toEqual([])
    const unanswered = kept.size - hands.acknowledged.length
    expect(unanswered).toBeLessThanOrEqual(onTheWay)
    for (const [what, sql, done] of EFFECTS) {
      const presses = [...kept].filter(([key, location]) => done(hands.urlOf(key), location)).length
      expect(raw.prepare(sql).pluck().get(), what).toBe(presses)
    }
    for (const twice of TWICE) expect(raw.prepare(twice).all()).toEqual([])
    return unanswered
  })
}

/** As many of each as presses that asked for it. */
const EFFECTS: [what: string, sql: string, isAskedBy: (url: string, leadsTo: string) => boolean][] = [
  ['commissions', 'select count(*) from commission', url => url === '/drop-off'],
  ['bundles', 'select count(*) / 5.0 from bundle', url => url === '/drop-off'],
  ['recipes', 'select count(*) from recipe where part_of is null', url => url.endsWith('/recipe')],
  ['loads', 'select count(*) from load', url => url.endsWith('/load')],
  [
    'steps',
    "select count(*) - (select count(*) from load) from bath_log where kind = 'step'",
    url => url.endsWith('/steps'),
  ],
  ['undone', "select count(*) from bath_log where kind = 'undone'", url => url.endsWith('/undo')],
  ['notes', "select count(*) from bath_log where kind = 'noted'", url => url.endsWith('/notes')],
  ['hand-backs', 'select count(*) from hand_back', url => url.endsWith('/hand-back')],
]

/** Each purpose and each note was written once. */
const TWICE = [
  'select purpose, count(*) from commission group by purpose having count(*) > 1',
  "select words, count(*) from bath_log where kind = 'noted' group by words having count(*) > 1",
]

test(`${ROUNDS} kills in the middle of work lose nothing, double nothing and leave nothing by half`, async () => {
  server = await startServer(folder)
  let isBack = Promise.resolve(server.address)
  const hands = new Hands(await setUp(server), () => isBack)
  const load = await furnish(hands)
  const streams = [hands.doWholeJobs('Wren', 1), hands.doWholeJobs('Linnet', 2), hands.writeNotes(load)]
  const atWork = Promise.all(streams)
  const trouble = atWork.then(() => Promise.reject(new Error('the hands stopped')))
  trouble.catch(() => undefined)

  let unanswered = 0
  for (let round = 1; round <= ROUNDS; round += 1) {
    await Promise.race([pause(20 + upTo(400)), trouble])
    let comeBack = (_address: string): void => undefined
    isBack = new Promise(resolve => {
      comeBack = resolve
    })
    await server.end('SIGKILL')
    if (round % 4 === 0) await killWhileStarting(folder, upTo(600))
    server = await startServer(folder)
    unanswered += checkRecords(hands, streams.length)
    comeBack(server.address)
  }

  hands.stop()
  await atWork
  checkRecords(hands, 0)
  const counts = [`${hands.acknowledged.length} presses answered over ${ROUNDS} kills`, `${hands.resent} sent again`]
  console.log(`crash: ${counts.join(', ')}, ${unanswered} of them done already`)
  expect(hands.resent).toBeGreaterThan(0)
  expect(look(raw => raw.prepare('select count(*) from hand_back').pluck().get())).toBeGreaterThan(0)
  expect(await server.end('SIGTERM')).toBe(0)
}, 600_000)
