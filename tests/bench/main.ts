/** `npm run bench`: everything in one run on one machine, side by side, medians of several rounds. */
import { type ChildProcess, spawn } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { performance } from 'node:perf_hooks'
import { gzipSync } from 'node:zlib'
import autocannon from 'autocannon'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { projectRoot } from '../../src/root.js'
import { fillCatalogue } from '../../src/store/catalogue.js'
import { openDb } from '../../src/store/db.js'
import { addWorker, beginSession } from '../../src/store/sign-in.js'
import { addWorkshop } from '../../src/store/workshop.js'
import { arithmetic } from './arithmetic.js'
import { generate } from './generate.js'
import { samples } from './samples.js'

const ROUNDS = Number(process.env.ROUNDS ?? 5)
const SECONDS = Number(process.env.SECONDS ?? 2)
const CONNECTIONS = 10
const NOW = '2026-03-02T09:00:00.000Z'

const median = (list: number[]): number => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)] ?? Number.NaN
const folder = mkdtempSync(join(tmpdir(), 'tie-bench-'))

type Workshop = { file: string; cookie: string; lot: number }

async function makeWorkshop(lots: number): Promise<Workshop> {
  const file = join(folder, `${lots}.sqlite`)
  const { raw, db, close } = openDb(file)
  await fillCatalogue(db, firstCatalogue, NOW)
  await addWorkshop(db, {
    name: 'Bench',
    weightUnit: 'metric',
    volumeUnit: 'metric',
    timeZone: 'UTC',
    dryBasis: 'conditioned',
    scaleStepG: 1,
    slipPaper: 'A5',
    slipWords: '',
  })
  const workerId = await addWorker(db, 'Bench', 'none', NOW)
  generate(raw, lots, samples(), workerId)
  const cookie = `tie=${await beginSession(db, workerId, NOW)}`
  await close()
  return { file, cookie, lot: lots - 60 }
}

const urlsOf = ({ lot }: Workshop): string[] => ['/', `/lots/${lot}`, '/past-lots?words=walnut+brown']
const NAMES = ['today', 'a lot', 'past lots']

type Ports = { app: number; limit: number; constant: number }

function start(workshop: Workshop): Promise<{ child: ChildProcess; ports: Ports }> {
  const script = join(projectRoot, 'dist/tests/bench/serve.js')
  const child = spawn(
    'taskset',
    ['-c', '0', process.execPath, script, workshop.file, workshop.cookie, ...urlsOf(workshop)],
    {
      stdio: ['ignore', 'pipe', 'inherit'],
    },
  )
  return new Promise((resolve, reject) => {
    child.stdout?.once('data', line => resolve({ child, ports: JSON.parse(String(line)) }))
    child.once('exit', code => reject(new Error(`the bench server stopped with ${code}`)))
  })
}

type Figure = { rps: number; p50: number; p99: number }

async function load(port: number, path: string, cookie: string): Promise<Figure> {
  const result = await autocannon({
    url: `http://127.0.0.1:${port}${path}`,
    connections: CONNECTIONS,
    duration: SECONDS,
    headers: { cookie, accept: 'text/html' },
  })
  if (result.non2xx > 0 || result.errors > 0) throw new Error(`${path}: ${result.non2xx} answers were not 200`)
  return { rps: result.requests.average, p50: result.latency.p50, p99: result.latency.p99 }
}

const middle = (figures: Figure[]): Figure => ({
  rps: median(figures.map(figure => figure.rps)),
  p50: median(figures.map(figure => figure.p50)),
  p99: median(figures.map(figure => figure.p99)),
})

async function measure(small: Workshop, large: Workshop): Promise<void> {
  const [few, many] = [await start(small), await start(large)]
  const rounds: Record<string, Figure[]> = {}
  const note = async (name: string, port: number, path: string, cookie: string) => {
    const list = rounds[name] ?? []
    rounds[name] = list
    list.push(await load(port, path, cookie))
  }
  for (let round = 0; round < ROUNDS; round += 1) {
    for (const [n, url] of urlsOf(large).entries()) {
      await note(`${n} app`, many.ports.app, url, large.cookie)
      await note(`${n} limit`, many.ports.limit, `/${n}`, '')
      await note(`${n} constant`, many.ports.constant, `/${n}`, '')
      await note(`${n} few`, few.ports.app, urlsOf(small)[n] ?? '/', small.cookie)
    }
  }
  console.log(`\n${ROUNDS} rounds of ${SECONDS} s, ${CONNECTIONS} connections, one core for the server; medians\n`)
  console.log(
    'page        at            requests/s   p50 ms   p99 ms   of constant   of the raw limit   cost beside 200 lots',
  )
  for (const [n, name] of NAMES.entries()) {
    const of = (kind: string) => middle(rounds[`${n} ${kind}`] ?? [])
    const [app, limit, constant, at200] = [of('app'), of('limit'), of('constant'), of('few')]
    const line = (at: string, { rps, p50, p99 }: Figure, rest: string) =>
      console.log(
        `${name.padEnd(12)}${at.padEnd(14)}${rps.toFixed(0).padStart(10)}${p50.toFixed(1).padStart(9)}${p99.toFixed(1).padStart(9)}${rest}`,
      )
    const share = (part: number, whole: number) => (part / whole).toFixed(3)
    line(
      '20,000 lots',
      app,
      `${share(app.rps, constant.rps).padStart(14)}${share(app.rps, limit.rps).padStart(19)}${share(at200.rps, app.rps).padStart(23)}`,
    )
    line('raw limit', limit, '')
    line('constant', constant, '')
    line('200 lots', at200, '')
  }
  console.log(
    `\nresident memory of the loaded server (app, limit and constant in one process): ${memoryOf(many.child.pid)} MB`,
  )
  await sizes(many.ports.app, large)
  for (const { child } of [few, many]) {
    child.removeAllListeners('exit')
    child.kill()
  }
}

/** `taskset` replaces itself with node, so that the child's number is the server's. */
const memoryOf = (pid: number | undefined): string => {
  const kb = /VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1] ?? 'NaN'
  return (Number(kb) / 1024).toFixed(0)
}

async function sizes(port: number, workshop: Workshop): Promise<void> {
  for (const [n, url] of urlsOf(workshop).entries()) {
    const get = async (path: string) =>
      Buffer.from(
        await (
          await fetch(`http://127.0.0.1:${port}${path}`, { headers: { cookie: workshop.cookie, accept: 'text/html' } })
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

async function coldStart(): Promise<void> {
  const times: number[] = []
  const memory: number[] = []
  for (let round = 0; round < ROUNDS; round += 1) {
    const data = mkdtempSync(join(folder, 'cold-'))
    const port = 4790 + round
    const began = performance.now()
    const child = spawn(process.execPath, [join(projectRoot, 'dist/src/main.js')], {
      env: { PATH: process.env.PATH ?? '', TIE_DATA: data, PORT: String(port) },
      stdio: 'ignore',
    })
    let open = false
    while (!open && performance.now() - began < 20_000) {
      open = await fetch(`http://127.0.0.1:${port}/set-up`).then(
        answer => answer.status === 200,
        () => false,
      )
      if (!open) await new Promise(resolve => setTimeout(resolve, 5))
    }
    if (round > 0) times.push(performance.now() - began)
    memory.push(Number(memoryOf(child.pid)))
    child.kill()
    await new Promise(resolve => child.once('exit', resolve))
  }
  console.log(
    `cold start to the first 200: ${median(times).toFixed(0)} ms (new data folder, migrations and catalogue included), ${median(memory)} MB resident`,
  )
}

try {
  await arithmetic()
  await coldStart()
  console.log('writing the workshops …')
  await measure(await makeWorkshop(200), await makeWorkshop(20_000))
} finally {
  rmSync(folder, { recursive: true, force: true })
}
