/** Every page of the demo is HTML as the standard has it, and as a reader who hears it needs it. */
import { type ConfigData, HtmlValidate, StaticConfigLoader } from 'html-validate'
import { beforeAll, expect, test } from 'vitest'
import { seed } from '../../seed-demo/seed.js'
import { buildApp } from '../../src/app.js'
import { beginSession } from '../../src/store/sign-in.js'
import { crawl, type FoundPage, kindOf } from '../crawl.js'
import { bareApp, config } from '../helper.js'
import { openMemory } from '../memory.js'

const NOW = Date.parse('2026-03-02T15:00:00.000Z')

/** The recommended rules, without those that are about how the source is written and not about what it says. */
const RULES: ConfigData = {
  extends: ['html-validate:recommended'],
  rules: {
    'doctype-style': 'off',
    'no-implicit-button-type': 'off',
    // A list may be named: the standard allows it.
    'aria-label-misuse': ['error', { allowAnyNamable: true }],
    // An id is the name of its field, which has dots in it; the standard forbids only spaces.
    'valid-id': ['error', { relaxed: true }],
  },
}
const validator = new HtmlValidate(new StaticConfigLoader(RULES))

let pages: FoundPage[]
beforeAll(async () => {
  const opened = openMemory()
  const app = buildApp({ db: opened.db, config: config(), now: () => new Date(NOW) })
  const workerId = await seed(opened.db, 'no passphrase opens this', NOW, config().dataFolder)
  const cookie = `tie=${await beginSession(opened.db, workerId, new Date(NOW).toISOString())}`
  await app.ready()
  pages = (await crawl(app, cookie, 3)).pages.filter(({ type }) => type.startsWith('text/html'))
}, 120_000)

async function wrongIn(body: string): Promise<string[]> {
  const { results } = await validator.validateString(body)
  return results.flatMap(({ messages }) =>
    messages.map(
      ({ ruleId, message, line }) => `${ruleId}: ${message} (${body.split('\n')[line - 1]?.trim().slice(0, 160)})`,
    ),
  )
}

test('the rules find what is wrong', async () => {
  expect(await wrongIn('<!doctype html><p id="a">one</p><p id="a">two</p>')).toContainEqual(
    expect.stringContaining('no-dup-id'),
  )
})

test('every page of the demo is sound', async () => {
  expect(new Set(pages.map(({ url }) => kindOf(url))).size).toBeGreaterThan(25)
  const wrong = new Map<string, string>()
  for (const { url, body } of pages)
    for (const sentence of await wrongIn(body)) wrong.set(`${kindOf(url)} ${sentence.replace(/\d+/g, 'N')}`, url)
  expect([...wrong].map(([sentence, url]) => `${url}: ${sentence}`)).toEqual([])
}, 120_000)

test('so are the pages before sign-in, and those that say no', async () => {
  const { app } = await bareApp()
  for (const url of ['/set-up', '/nowhere'])
    expect(await wrongIn((await app.inject({ url, headers: { accept: 'text/html' } })).body), url).toEqual([])
})
