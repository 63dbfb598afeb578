import { mkdtempSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { beforeAll, expect, test } from 'vitest'
import { DATABASE_NAME } from '../../src/store/backup.js'
import { buildCli, runCli } from '../built-cli.js'
import { wholeWorkshop } from '../custody/whole-workshop.js'

const data = mkdtempSync(join(tmpdir(), 'tie-export-'))
const out = mkdtempSync(join(tmpdir(), 'tie-exported-'))
const run = (...args: string[]) => runCli(['export', ...args], '', { ...process.env, TIE_DATA: data })

/** What the records themselves say of client 3. */
let truth: { lots: number; bundles: number }
beforeAll(async () => {
  buildCli()
  const raw = await wholeWorkshop()
  const own = 'from lot join commission on commission.id = commission_id where client_id = 3'
  const count = (sql: string) => Number(raw.prepare(sql).pluck().get())
  truth = {
    lots: count(`select count(*) ${own}`),
    bundles: count(`select count(*) from bundle where lot_id in (select lot.id ${own})`),
  }
  writeFileSync(join(data, DATABASE_NAME), raw.serialize())
}, 120_000)

test('puts a page, JSON and CSV of one client into a new folder that only this account reads', () => {
  const folder = join(out, 'ode')
  const { status, output, complaint } = run('3', folder)
  expect({ status, complaint }).toEqual({ status: 0, complaint: '' })
  expect(output).toContain(`${truth.lots} lots, ${truth.bundles} bundles and 0 photographs of Ode Reed.`)
  expect(truth.bundles).toBeGreaterThan(2)
  expect(readdirSync(folder).sort()).toEqual(['bundles.csv', 'everything.json', 'photographs', 'read-me.html'])
  expect(statSync(folder).mode & 0o077).toBe(0)
  const everything = JSON.parse(readFileSync(join(folder, 'everything.json'), 'utf8'))
  expect(everything.client).toHaveLength(1)
  expect(everything.bundle).toHaveLength(truth.bundles)
  expect(readFileSync(join(folder, 'bundles.csv'), 'utf8').split('\r\n')).toHaveLength(truth.bundles + 2)
  const page = readFileSync(join(folder, 'read-me.html'), 'utf8')
  expect(page).toContain('Ode Reed')
  expect(page).not.toContain('Marta')
  expect(page).not.toMatch(/undefined|<script|https?:\/\//)
})

test('writes over nothing, and says what is wrong', () => {
  expect(run('3', out)).toMatchObject({
    status: 1,
    complaint: `${out} is there already. Give the name of a new folder.\n`,
  })
  expect(run('99', join(out, 'nobody'))).toMatchObject({ status: 1, complaint: 'There is no client 99.\n' })
  expect(run('Ode', join(out, 'x')).status).toBe(2)
  expect(run('3').status).toBe(2)
  expect(readdirSync(out)).toEqual(['ode'])
})
