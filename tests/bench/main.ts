/** `npm run bench`: everything in one run on one machine, side by side, medians of several rounds. */
import type { ChildProcess } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { performance } from 'node:perf_hooks'
import { gzipSync } from 'node:zlib'
import autocannon from 'autocannon'
import { arithmetic } from './arithmetic.js'
import { median } from './cpu.js'
import { plans } from './plan.js'
import { readBacks } from './read-back.js'
import { apart, leaveTheServerItsCore, memoryMb, type Server, serve, spawnNode, stop } from './servers.js'
import { type Generated, makeWorkshop } from './workshop.js'

const ROUNDS = Number(process.env.ROUNDS ?? 5)
const SECONDS = Number(process.env.SECONDS ?? 2)
const CONNECTIONS = 10

const NAMES = ['today', 'a lot', 'past lots']
const urlsOf = ({ lot }: Generated): string[] => ['/', `/lots/${lot}`, '/past-lots?words=walnut+brown']

/** Where a page is measured: the app among many lots, its limits there, and the app among few. */
type Place = { name: string; server: Server; workshop: Generated }
type Figure = { rps: number; p50: number; p99: number }

async function load({ server, workshop }: Place, page: number): Promise<Figure> {
  const result = await autocannon({
    url: `http://127.0.0.1:${server.port}${urlsOf(workshop)[page]}`,
    connections: CONNECTIONS,
    duration: SECONDS,
    headers: { cookie: workshop.cookie, accept: 'text/html' },
  })
  if (result.non2xx + result.errors > 0) throw new Error(`${NAMES[page]}: not every answer was 200`)
  return { rps: result.requests.average, p50: result.latency.p50, p99: result.latency.p99 }
}

async function measure(few: Generated, many: Generated): Promise<void> {
  const at = async (name: string, kind: 'app' | 'limit' | 'constant', workshop: Generated): Promise<Place> => ({
    name,
    server: await serve(kind, workshop.file, workshop.cookie, urlsOf(workshop)),
    workshop,
  })
  const app = await at('20,000 lots', 'app', many)
  const rivals = [await at('raw limit', 'limit', many), await at('constant', 'constant', many)]
  const small = await at('200 lots', 'app', few)
  const places = [app, ...rivals, small]
  console.log(`\n${ROUNDS} rounds of ${SECONDS} s, ${CONNECTIONS} connections, ${cores}; medians\n`)
  console.log(
    'page        at            requests/s   p50 ms   p99 ms   the app among 20,000 lots serves, for one there',
  )
  for (const [page, name] of NAMES.entries()) {
    const rounds = await inTurns(places, page)
    const own = middle(rounds.get(app) ?? [])
    for (const place of places) {
      const { rps, p50, p99 } = middle(rounds.get(place) ?? [])
      const figures = [rps.toFixed(0).padStart(12), p50.toFixed(0).padStart(9), p99.toFixed(0).padStart(9)].join('')
      console.log(`${name.padEnd(12)}${place.name.padEnd(12)}${figures}${(own.rps / rps).toFixed(3).padStart(12)}`)
    }
  }
  console.log(`\nresident memory of the loaded app: ${memoryMb(app.server)} MB`)
  await sizes(app)
  for (const { server } of places) await stop(server)
}

const cores = apart ? 'the server on a core of its own' : 'the server and those who ask it on the same cores'

/** Every place is asked once in each round, so that a slow moment of the machine meets them all. */
async function inTurns(places: readonly Place[], page: number): Promise<Map<Place, Figure[]>> {
  const rounds = new Map(places.map(place => [place, [] as Figure[]]))
  for (const place of places) await load(place, page)
  for (let round = 0; round < ROUNDS; round += 1)
    for (const place of places) rounds.get(place)?.push(await load(place, page))
  return rounds
}

const middle = (figures: Figure[]): Figure => ({
  rps: median(figures.map(({ rps }) => rps)),
  p50: median(figures.map(({ p50 }) => p50)),
  p99: median(figures.map(({ p99 }) => p99)),
})

async function sizes({ server, workshop }: Place): Promise<void> {
  for (const [n, url] of urlsOf(workshop).entries()) {
    const get = async (path: string) =>
      Buffer.from(
        await (
          await fetch(`http://127.0.0.1:${server.port}${path}`, {
            headers: { cookie: workshop.cookie, accept: 'text/html' },
          })
        ).arrayBuffer(),
      )
    const html = await get(url)
    const assets = [...html.toString().matchAll(/(?:href|src)="(\/static\/[^"]+)"/g)].map(match => match[1] ?? '')
    let first = gzipSync(html).length
    for (const path of new Set(assets)) first += gzipSync(await get(path)).length
    console.log(
      `first view of ${NAMES[n]}: ${(first / 1024).toFixed(1)} KB compressed (page ${(gzipSync(html).length / 1024).toFixed(1)} KB, as sent ${(html.length / 1024).toFixed(1)} KB)`,
    )
  }
}

async function coldStart(folder: string): Promise<void> {
  const times: number[] = []
  const memory: number[] = []
  for (let round = 0; round < ROUNDS; round += 1) {
    const data = mkdtempSync(join(folder, 'cold-'))
    const began = performance.now()
    const child = spawnNode('start/main.js', [], { PATH: process.env.PATH, TIE_DATA: data, PORT: '0' })
    const answer = await fetch(`${await addressOf(child)}/set-up`)
    if (answer.status !== 200) throw new Error(`the first page answered ${answer.status}`)
    if (round > 0) times.push(performance.now() - began)
    memory.push(memoryMb({ child }))
    await stop({ child })
  }
  console.log(
    `cold start to the first 200: ${median(times).toFixed(0)} ms (new data folder, migrations and catalogue included), ${median(memory)} MB resident`,
  )
}

/** What the server says of itself once it listens. */
const addressOf = (child: ChildProcess): Promise<string> =>
  new Promise((resolve, reject) => {
    child.stdout?.once('data', said => resolve(/http:\S+/.exec(String(said))?.[0] ?? ''))
    child.once('exit', code => reject(new Error(`the server stopped with ${code}`)))
  })

// `npm run bench -- plans`: only the planner, with its tables, and what a day to promise takes.
const onlyPlans = process.argv[2] === 'plans'
const folder = mkdtempSync(join(tmpdir(), 'tie-bench-'))
try {
  if (onlyPlans) await plansAndPromises()
  else await everything()
} finally {
  rmSync(folder, { recursive: true, force: true })
}

async function plansAndPromises(): Promise<void> {
  await plans()
  await readBacks()
}

async function everything(): Promise<void> {
  await arithmetic()
  await plansAndPromises()
  leaveTheServerItsCore()
  await coldStart(folder)
  console.log('writing the workshops …')
  await measure(await makeWorkshop(folder, 200), await makeWorkshop(folder, 20_000))
}
