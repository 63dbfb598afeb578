import { execFileSync, spawn } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { beforeAll, expect, test } from 'vitest'
import { projectRoot } from '../../src/root.js'
import { buildCli, builtInto } from '../built-cli.js'

const { scripts } = JSON.parse(readFileSync(join(projectRoot, 'package.json'), 'utf8'))

/** The command that `npm start` bundles the program with, on a build of this test's own. */
beforeAll(() => {
  buildCli()
  const [, ...args] = String(scripts.bundle).replaceAll(' dist/', ` ${builtInto}/`).split(' ')
  execFileSync(join(projectRoot, 'node_modules', '.bin', 'rolldown'), args, { cwd: projectRoot, stdio: 'pipe' })
}, 60_000)

test('what npm start runs sets a workshop up and stops when it is told to', async () => {
  const data = mkdtempSync(join(tmpdir(), 'tie-'))
  const env = { PATH: process.env.PATH, TIE_DATA: data, PORT: '0' }
  const server = spawn(process.execPath, [join(builtInto, 'start', 'main.js')], { env })
  const ended = new Promise<number | null>(resolve => server.once('exit', resolve))
  let said = ''
  for await (const words of server.stdout) {
    said += String(words)
    if (/ {4}\S+\n/.test(said)) break
  }
  const at = /http:\S+/.exec(said)?.[0] ?? ''
  const code = /^ {4}(\S+)$/m.exec(said)?.[1] ?? ''

  const page = await fetch(at)
  expect(page.status).toBe(200)
  expect(await page.text()).toContain('set-up code')
  // The list of usual passphrases is a library of its own, looked up only now.
  const form = { code, workshop: 'Heron Lane', worker: 'Ada', passphrase: 'password123', timeZone: 'UTC' }
  const answer = await fetch(page.url, {
    method: 'POST',
    body: new URLSearchParams(form),
    headers: { origin: at, 'sec-fetch-site': 'same-origin' },
  })
  expect(answer.status).toBe(422)
  expect(await answer.text()).toMatch(/passphrase/i)

  server.kill('SIGTERM')
  expect(await ended).toBe(0)
  rmSync(data, { recursive: true })
})
