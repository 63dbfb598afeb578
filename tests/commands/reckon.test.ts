import { existsSync } from 'node:fs'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Readable } from 'node:stream'
import { afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { reckonCommand } from '../../src/commands/reckon.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { withValue } from '../../src/domain/json-path.js'
import { changeEntry, fillCatalogue, findEntry } from '../../src/store/catalogue.js'
import { openDb, openToRead } from '../../src/store/db.js'
import { addWorker } from '../../src/store/sign-in.js'
import { buildCli, runCli } from '../built-cli.js'
import { START } from '../helper.js'

beforeAll(buildCli, 120_000)

const weld = {
  fibreId: 'flax',
  dryWeightG: 1000,
  route: 'plant',
  dyes: [{ substanceId: 'weld' }],
  mordants: [{ substanceId: 'potassium-alum' }],
}
const reckon = (job: unknown) => runCli(['reckon'], typeof job === 'string' ? job : JSON.stringify(job))

/** The same command without a process for each job. */
async function reckonHere(job: unknown, args: string[] = [], env: NodeJS.ProcessEnv = {}) {
  let [output, complaint] = ['', '']
  const status = await reckonCommand.run(args, {
    input: Readable.from([typeof job === 'string' ? job : JSON.stringify(job)]),
    print: text => {
      output += text
    },
    complain: text => {
      complaint += text
    },
    env,
  })
  return { status, output, complaint }
}

type Line = { substanceId: string; amount: number; unit: string; alsoShown: string[] }
const linesOf = (output: string): Line[] => JSON.parse(output).lines

describe('tie-for-tie reckon', () => {
  test('reads a job and prints its recipe', () => {
    const { status, output, complaint } = reckon(weld)
    expect({ status, complaint }).toEqual({ status: 0, complaint: '' })
    // Mairet 1916, ch. X: alum, a quarter of the weight of cotton or linen; soda crystals, a quarter of the alum.
    const amounts = Object.fromEntries(linesOf(output).map(({ substanceId, amount }) => [substanceId, amount]))
    expect(amounts['potassium-alum']).toBeCloseTo(250, 9)
    expect(amounts['soda-crystals']).toBeCloseTo(62.5, 9)
  })

  test('gives a pound of red cedar one whole bottle', () => {
    // Common practice, no source: half a bottle to the pound of ordinary fibre, the double for red cedar.
    const { output } = reckon({
      fibreId: 'red-cedar-inner-bark',
      dryWeightG: 453.59237,
      route: 'label',
      dyes: [{ substanceId: 'all-purpose-bottled' }],
    })
    expect(linesOf(output)[0]?.alsoShown).toEqual(['1 bottle'])
  })

  test('prints a job that can be read again, to the same recipe', () => {
    const { output } = reckon(weld)
    expect(reckon(JSON.parse(output).job).output).toBe(output)
  })

  test.each([
    ['fibreId', { ...weld, fibreId: undefined }],
    ['fibreId', { ...weld, fibreId: 'moon dust' }],
    ['dryWeightG', { ...weld, dryWeightG: '2 lb' }],
    ['dryWeightG', { ...weld, dryWeightG: -5 }],
    ['dryWeightG', { ...weld, dryWeightG: 1e9 }],
    ['dryWeightg', { ...weld, dryWeightg: 5 }],
    ['route', { ...weld, route: 'magic' }],
    ['dyes', { ...weld, dyes: [] }],
    ['dyes', { ...weld, dyes: { substanceId: 'weld' } }],
    ['dyes.0.substanceId', { ...weld, dyes: [{ substanceId: 'mauve' }] }],
    ['dyes.0.share', { ...weld, dyes: [{ substanceId: 'weld', share: 0 }] }],
    ['mordants.0.substanceId', { ...weld, mordants: [{ substanceId: 'chalk' }] }],
    ['depth', { ...weld, depth: null }],
    ['liquorRatioLPerKg', { ...weld, liquorRatioLPerKg: 0 }],
  ])('names the field %s when it is wrong, with exit status 2', async (field, job) => {
    const { status, output, complaint } = await reckonHere(job)
    expect({ status, output }).toEqual({ status: 2, output: '' })
    expect(complaint.startsWith(`${field}: `), complaint).toBe(true)
    expect(complaint.trim().split('\n')).toHaveLength(1)
  })

  test.each([
    ['nothing', '', 'empty'],
    ['no JSON', 'weld on flax, please', 'not JSON'],
    ['half of it', '{"fibreId":', 'not JSON'],
    ['a list', '[]', 'named fields'],
    ['too much', `"${'x'.repeat(1024 * 1024)}"`, 'too long'],
  ])('refuses %s with exit status 2', async (_, input, words) => {
    const { status, complaint } = await reckonHere(input)
    expect(status).toBe(2)
    expect(complaint).toContain(words)
  })

  test('ends with status 2 and one line that names the field, as a process', () => {
    const { status, output, complaint } = reckon({ ...weld, dryWeightG: -5 })
    expect({ status, output }).toEqual({ status: 2, output: '' })
    expect(complaint).toMatch(/^dryWeightG: .+\n$/)
    expect(reckon('{"fibreId":').status).toBe(2)
  })

  test('takes no file name', () => {
    const { status, complaint } = runCli(['reckon', 'job.json'])
    expect(status).toBe(2)
    expect(complaint).toContain('standard input')
  })
})

describe('tie-for-tie reckon --workshop', () => {
  let folder: string
  let file: string
  beforeEach(async () => {
    folder = await mkdtemp(join(tmpdir(), 'tie-reckon-'))
    file = join(folder, 'tie-for-tie.sqlite')
    const { db, close } = openDb(file)
    await fillCatalogue(db, firstCatalogue, START)
    const workerId = await addWorker(db, 'Wren', 'not a hash', START)
    const row = await findEntry(db, 'potassium-alum')
    const figure = { value: 12, provenance: { kind: 'own experience', source: 'trial of May' } }
    const alum = withValue(row?.entry, 'mordantDose.amount', figure)
    await changeEntry(db, { workerId, at: START }, 'potassium-alum', 1, alum, 'enough')
    await close()
  })
  afterEach(() => rm(folder, { recursive: true, force: true }))

  const byWorkshop = (env: NodeJS.ProcessEnv = { TIE_DATA: folder }) => reckonHere(weld, ['--workshop'], env)
  const alumIn = (output: string) => linesOf(output).find(({ substanceId }) => substanceId === 'potassium-alum')?.amount

  test("reckons by the workshop's corrected figures, and without it by the first ones", async () => {
    const { status, output, complaint } = await byWorkshop()
    expect({ status, complaint }).toEqual({ status: 0, complaint: '' })
    expect(alumIn(output)).toBeCloseTo(120, 9)
    expect(output).toContain('trial of May')
    const first = await reckonHere(weld, [], { TIE_DATA: folder })
    expect(alumIn(first.output)).toBeCloseTo(250, 9)
  })

  test('as a process, beside a program that has the records open, and writes nothing', async () => {
    const served = openDb(file)
    const before = await readFile(file)
    const { status, output } = runCli(['reckon', '--workshop'], JSON.stringify(weld), {
      ...process.env,
      TIE_DATA: folder,
    })
    expect(status).toBe(0)
    expect(alumIn(output)).toBeCloseTo(120, 9)
    await served.close()
    expect((await readFile(file)).equals(before)).toBe(true)
  })

  test('can write nothing, even if it tried', async () => {
    const { db, close } = openToRead(file)
    await expect(db.deleteFrom('catalogue_change').execute()).rejects.toThrow('readonly')
    await expect(
      db.insertInto('press').values({ key: 'k', at: START, body_hash: '', location: '' }).execute(),
    ).rejects.toThrow('readonly')
    await close()
  })

  test('says so where there are no records, or records of another version', async () => {
    const none = await byWorkshop({ TIE_DATA: join(folder, 'nowhere') })
    expect(none).toMatchObject({ status: 1, output: '' })
    expect(none.complaint).toContain('There are no records')
    expect(existsSync(join(folder, 'nowhere'))).toBe(false)
    const { raw, close } = openDb(file)
    raw.pragma('user_version = 3')
    await close()
    const old = await byWorkshop()
    expect(old).toMatchObject({ status: 1, output: '' })
    expect(old.complaint).toContain('of another version (schema 3;')
    await writeFile(join(folder, 'tie-for-tie.sqlite'), '')
    expect((await byWorkshop()).complaint).toContain('not a database of Tie for Tie')
  })
})

describe('tie-for-tie', () => {
  test('without a command, or with one that it does not know, says what it can do', () => {
    for (const args of [[], ['colour']]) {
      const { status, output, complaint } = runCli(args)
      expect({ status, output }).toEqual({ status: 2, output: '' })
      expect(complaint).toContain('tie-for-tie reckon < job.json')
    }
    expect(runCli(['colour']).complaint).toContain('"colour"')
  })

  test('asked for help says the same and is done', () => {
    const { status, output } = runCli(['--help'])
    expect(status).toBe(0)
    expect(output).toContain('tie-for-tie backup')
  })
})
