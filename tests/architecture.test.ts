import { readdirSync, readFileSync } from 'node:fs'
import { join, relative } from 'node:path'
import { expect, test } from 'vitest'
import { projectRoot } from '../src/root.js'

const src = join(projectRoot, 'src')
const files = (folder: string): string[] =>
  readdirSync(folder, { withFileTypes: true }).flatMap(entry =>
    entry.isDirectory()
      ? files(join(folder, entry.name))
      : entry.name.endsWith('.ts')
        ? [join(folder, entry.name)]
        : [],
  )
const all = files(src).map(file => ({ name: relative(src, file), text: readFileSync(file, 'utf8') }))
const importsOf = (text: string): string[] =>
  [...text.matchAll(/from '([^']+)'|import '([^']+)'/g)].map(m => m[1] ?? m[2] ?? '')

const onFloor = (floor: string) => all.filter(({ name }) => name.startsWith(`${floor}/`))

test('the ground floor is pure: it imports only itself, and asks no clock, chance or disk', () => {
  const domain = onFloor('domain')
  expect(domain.length).toBeGreaterThan(20)
  for (const { name, text } of domain) {
    for (const from of importsOf(text)) expect(from, name).toMatch(/^\.\.?\//)
    for (const from of importsOf(text)) expect(from, name).not.toMatch(/(store|web|commands)\//)
    expect(text, name).not.toMatch(/Date\.now\(|new Date\(\)|Math\.random\(|process\.|console\./)
  }
})

test('the store knows no page', () => {
  for (const { name, text } of onFloor('store')) {
    for (const from of importsOf(text)) expect(from, name).not.toMatch(/\.\.\/(web|commands)\/|fastify|eta|zod/)
  }
})

test('the web holds no SQL and opens no database', () => {
  for (const { name, text } of onFloor('web')) {
    for (const from of importsOf(text)) expect(from, name).not.toMatch(/better-sqlite3/)
    if (name !== join('web', 'health.ts'))
      expect(text, name).not.toMatch(/\.(selectFrom|insertInto|updateTable|deleteFrom)\(/)
  }
})

test('no file is longer than a reader wants, but for tables of data', () => {
  for (const { name, text } of all.filter(({ name }) => !name.includes('first-catalogue'))) {
    expect(text.split('\n').length, name).toBeLessThanOrEqual(300)
  }
})

test('every screen is in the site map', () => {
  const siteMap = all.find(({ name }) => name === 'app.ts')?.text ?? ''
  const screens = onFloor('web').filter(
    ({ name, text }) => !name.startsWith('web/kit') && /app\.(get|post)\(|formPage\(|onPost\(/.test(text),
  )
  expect(screens.length).toBeGreaterThan(3)
  for (const { name } of screens) expect(siteMap, name).toContain(`./${name.replace(/\.ts$/, '.js')}`)
})
