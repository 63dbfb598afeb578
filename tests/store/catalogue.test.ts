/** Nothing that was not read whole gets into the catalogue, whichever way it comes. */
import { beforeEach, describe, expect, test } from 'vitest'
import type { Catalogue } from '../../src/domain/catalogue.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { withValue } from '../../src/domain/json-path.js'
import { readEntry } from '../../src/domain/read-entry.js'
import { addEntry, changeEntry, fillCatalogue, findEntry, readCatalogue, withdraw } from '../../src/store/catalogue.js'
import { firstEntries, firstEntry, known } from '../domain/catalogue-kit.js'
import { START, testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const rows = () => site.raw.prepare('select * from catalogue order by id').all()
const changes = () => Number(site.raw.prepare('select count(*) from catalogue_change').pluck().get())

describe('the catalogue', () => {
  test('holds the first one as it is written', async () => {
    const { fibres, substances, rules } = await readCatalogue(site.db)
    const byId = <T extends { id: string }>(list: T[]) => [...list].sort((a, b) => a.id.localeCompare(b.id))
    expect(byId(fibres)).toEqual(byId(firstCatalogue.fibres))
    expect(byId(substances)).toEqual(byId(firstCatalogue.substances))
    expect(byId(rules)).toEqual(byId(firstCatalogue.rules))
    expect(changes()).toBe(firstEntries.length)
  })

  test.each([
    ['a figure that is words', 'owfPercent.medium.value', 'plenty'],
    ['a figure without a source', 'owfPercent.medium.provenance', null],
    ['a figure that is no number', 'owfPercent.medium.value', Number.NaN],
    ['a field that is not one', 'colour', 'red'],
    ['a substance that is not there', 'assistants.0.substanceId', 'moon-dust'],
    ['no hazard', 'hazard', undefined],
  ])('takes no change to an entry with %s', async (_, path, value) => {
    const before = [rows(), changes()]
    const broken = withValue(firstEntry('weld').entry, path, value)
    await expect(changeEntry(site.db, site.by, 'weld', 1, broken, 'a slip')).rejects.toThrow()
    await expect(addEntry(site.db, site.by, 'substance', withValue(broken, 'id', 'own'), 'a slip')).rejects.toThrow()
    const name = withValue(withValue(broken, 'id', 'own'), 'name', 'own')
    await expect(addEntry(site.db, site.by, 'substance', name, 'a slip')).rejects.toThrow()
    expect([rows(), changes()]).toEqual(before)
  })

  test('takes no entry of another kind, and none in the place of another', async () => {
    await expect(changeEntry(site.db, site.by, 'weld', 1, firstEntry('flax').entry, 'a slip')).rejects.toThrow()
    const hemp = firstEntry('hemp').entry
    await expect(changeEntry(site.db, site.by, 'flax', 1, hemp, 'a slip')).rejects.toThrow('cannot become another')
    await expect(addEntry(site.db, site.by, 'fibre', hemp, 'a slip')).rejects.toThrow('already has an entry')
  })

  test('says when nothing was different, and then adds nothing to the changes', async () => {
    const before = changes()
    const same = await changeEntry(site.db, site.by, 'weld', 1, firstEntry('weld').entry, 'the same')
    expect(same).toEqual({ name: 'weld, dried plant', changed: false })
    expect(changes()).toBe(before)
    const other = withValue(firstEntry('weld').entry, 'words', 'Ours.')
    expect((await changeEntry(site.db, site.by, 'weld', 1, other, 'ours')).changed).toBe(true)
    await expect(changeEntry(site.db, site.by, 'weld', 1, other, 'again')).rejects.toThrow('changed elsewhere')
  })

  test('every entry that is stored reads back whole', async () => {
    for (const { entry } of firstEntries) {
      const row = await findEntry(site.db, entry.id)
      expect(row && readEntry(row.kind, row.entry, known).entry, entry.id).toEqual(entry)
    }
  })
})

describe('a newer first catalogue', () => {
  const { entry } = firstEntry('weld')
  const dyer = withValue(withValue(entry, 'id', 'dyers-broom'), 'name', "dyer's broom")
  const newer = (json: unknown): Catalogue => {
    const read = readEntry('substance', json, known)
    return { fibres: [], substances: read.kind === 'substance' ? [read.entry] : [], rules: [] }
  }

  test('adds what is not there yet, and leaves what was corrected', async () => {
    await changeEntry(site.db, site.by, 'weld', 1, withValue(entry, 'words', 'Ours.'), 'ours')
    await fillCatalogue(site.db, newer(dyer), START)
    await fillCatalogue(site.db, newer(entry), START)
    expect((await findEntry(site.db, 'dyers-broom'))?.name).toBe("dyer's broom")
    expect((await findEntry(site.db, 'weld'))?.entry.words).toBe('Ours.')
  })

  test('lets the program start even where its dyer withdrew what a new entry goes with', async () => {
    await withdraw(site.db, site.by, 'weld', 1, true, 'none left')
    await withdraw(site.db, site.by, 'chalk', 1, true, 'none left')
    await fillCatalogue(site.db, newer(dyer), START)
    expect((await findEntry(site.db, 'dyers-broom'))?.withdrawnAt).toBeNull()
  })

  test('that is broken is not taken', async () => {
    const [weld] = newer(dyer).substances
    const broken = { fibres: [], substances: weld ? [{ ...weld, words: '' }] : [], rules: [] }
    await expect(fillCatalogue(site.db, broken, START)).rejects.toThrow('words')
  })
})
