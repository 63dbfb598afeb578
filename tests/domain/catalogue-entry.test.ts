import { describe, expect, test } from 'vitest'
import type { Entry } from '../../src/domain/catalogue.js'
import { changedFields } from '../../src/domain/catalogue-change.js'
import { copyOf, figureAt, figuresOf, mentionsOf, slugOf } from '../../src/domain/catalogue-entry.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { withValue } from '../../src/domain/json-path.js'
import { entryOf, readEntry } from '../../src/domain/read-entry.js'
import { saySource } from '../../src/domain/say-source.js'
import { firstEntries, firstEntry, fullEntries, known, names } from './catalogue-kit.js'

const trial = { kind: 'own experience', source: 'trial of May' } as const
const withChange = ({ kind, entry }: Entry, path: string, value: unknown): Entry =>
  entryOf(kind, withValue(entry, path, value))

describe('a figure of an entry', () => {
  test('that is not known is tried on a strip, where that would tell', () => {
    expect(figureAt(firstEntry('flax'), 'hottestC')?.whenNull).toBe('not known: try a strip')
    expect(figureAt(firstEntry('weld'), 'molarMassGPerMol')?.whenNull).toBe('not known')
    expect(figureAt(firstEntry('weld'), 'relativeStrength')?.whenNull).toContain('this very form')
    expect(figureAt(firstEntry('all-purpose-bottled'), 'label.containerHolds')?.whenNull).toContain('see the tin')
  })

  test('is none for a rule, and none by a name that is not its own', () => {
    expect(figuresOf(firstEntry('red-cedar-indigo'))).toEqual([])
    expect(figureAt(firstEntry('flax'), 'colour')).toBeUndefined()
    expect(figureAt(firstEntry('flax'), 'takeUp')).toBeUndefined()
  })
})

test('what names an entry is found: those that ask for it, and the rules', () => {
  const soda = mentionsOf('soda-crystals', firstCatalogue)
  expect(soda.askedForBy).toContainEqual({ id: 'potassium-alum', name: 'potassium alum' })
  expect(mentionsOf('hydrated-lime', firstCatalogue).askedForBy.map(({ id }) => id)).toContain('indigo-fructose-vat')
  expect(mentionsOf('chalk', firstCatalogue).askedForBy.map(({ id }) => id)).toContain('weld')
  const rulesOn = (id: string) => mentionsOf(id, firstCatalogue).rules.map(one => one.id)
  expect(rulesOn('red-cedar-inner-bark')).toContain('red-cedar-indigo')
  expect(rulesOn('onion-skin')).toContain('bark-onion-skin')
  expect(rulesOn('ferrous-sulfate')).toContain('iron-mordant-weakens')
  expect(mentionsOf('nothing-such', firstCatalogue)).toEqual({ askedForBy: [], rules: [] })
})

describe('a copy', () => {
  test.each([...firstEntries, ...fullEntries].map(one => [one.entry.id, one] as const))(
    'of %s is whole',
    (_, entry) => {
      for (const takeOver of [true, false]) {
        const copy = copyOf(entry, 'hop-bine', takeOver)
        expect(readEntry(copy.kind, copy.entry, known)).toEqual(copy)
        for (const { path, figure } of figuresOf(entry)) {
          const source = `taken over from ${entry.entry.name}: ${figure?.provenance.source}`
          expect(figureAt(copy, path)?.figure, path).toEqual(
            figure && takeOver ? { ...figure, provenance: { ...figure.provenance, source } } : null,
          )
        }
      }
    },
  )

  test('of a substance leaves its label to the supplier', () => {
    const lime = firstEntry('hydrated-lime')
    const copy = copyOf(lime, 'own-lime', true)
    if (copy.kind !== 'substance' || lime.kind !== 'substance') throw new Error('a copy of a substance is a substance')
    expect(copy.entry.hazard.standing).toBe("supplier's sheet decides")
    expect(copy.entry.hazard.provenance.source).toMatch(/^taken over from hydrated lime: /)
    expect(copy.entry.hazard.signalWord).toBe(lime.entry.hazard.signalWord)
  })

  test('of a copy of a copy still has a source that can be stored', () => {
    const often = Array.from({ length: 12 }).reduce<Entry>(entry => copyOf(entry, 'again', true), firstEntry('weld'))
    expect(() => readEntry(often.kind, often.entry, known)).not.toThrow()
  })
})

test.each([
  ['Spruce root, split', 'spruce-root-split'],
  ['  Zoë’s Nettle (2026) ', 'zoe-s-nettle-2026'],
  ['ホップ', ''],
  ['-', ''],
  ['x'.repeat(200), 'x'.repeat(60)],
  [`${'x'.repeat(59)} y`, 'x'.repeat(59)],
])('the address of %s is "%s"', (name, slug) => {
  expect(slugOf(name)).toBe(slug)
})

describe('what changed', () => {
  const flax = firstEntry('flax')
  const weld = firstEntry('weld')

  test('is told figure by figure, with sources', () => {
    const became = withChange(withChange(flax, 'hottestC', { value: 95, provenance: trial }), 'liquorRatioLPerKg', null)
    expect(changedFields(flax, became)).toEqual([
      { label: 'liquor ratio', was: expect.stringMatching(/^20 L\/kg \(handbook: Beech 1901/), became: 'not known' },
      { label: 'hottest bath', was: 'not known', became: '95 °C (own experience: trial of May)' },
    ])
    expect(changedFields(flax, flax)).toEqual([])
  })

  test('is told of a source alone', () => {
    expect(changedFields(flax, withChange(flax, 'liquorRatioLPerKg.provenance', trial))).toHaveLength(1)
  })

  test('is told in words', () => {
    const became = [['latin', null] as const, ['care', []] as const, ['words', 'Cut it in flower.'] as const].reduce(
      (entry, [path, value]) => withChange(entry, path, value),
      weld,
    )
    expect(changedFields(weld, became)).toEqual([
      { label: 'Latin name', was: 'Reseda luteola', became: 'nothing' },
      { label: 'what to know', was: weld.entry.words, became: 'Cut it in flower.' },
      { label: 'usual care', was: expect.stringContaining('Put it in a bag'), became: 'nothing' },
    ])
    const red = firstEntry('red-cedar-indigo')
    const mild = withChange(withChange(red, 'severity', 'changes colour'), 'provenance', trial)
    expect(changedFields(red, withChange(mild, 'fibreIds', ['flax', 'hemp']), names)).toEqual([
      { label: 'how bad', was: 'does not take', became: 'changes colour' },
      {
        label: 'where it comes from',
        was: 'common practice, no source',
        became: 'own experience: trial of May',
      },
      { label: 'for these fibres', was: 'red cedar inner bark', became: 'flax, hemp' },
    ])
  })

  test('is told row by row: only the rows that are different', () => {
    const soap = { substanceId: 'dish-soap', basis: 'per litre', amount: null, words: '' }
    const bottled = firstEntry('all-purpose-bottled')
    if (bottled.kind !== 'substance') throw new Error('a dye is a substance')
    const [, salt] = bottled.entry.assistants
    expect(changedFields(bottled, withChange(bottled, 'assistants', [soap, salt]), names)).toEqual([
      {
        label: 'goes with it',
        was: expect.stringMatching(/^dish soap, 10\.8664 mL per kg \(common practice, no source\), one US teaspoon/),
        became: 'dish soap, how much is not known (mL per litre)',
      },
    ])
    expect(changedFields(bottled, withChange(bottled, 'assistants', [salt]), names)).toMatchObject([
      { label: 'goes with it', was: expect.stringContaining('dish soap'), became: 'nothing' },
    ])
  })

  test('is told of what an entry has now and had not before', () => {
    const label = { container: 'jar', containerHolds: null, containersPerKg: { value: 2, provenance: trial } }
    expect(changedFields(weld, withChange(weld, 'label', label))).toEqual([
      { label: 'its tin says how many to the weight of fibre', was: 'no', became: 'yes' },
      { label: 'one of them is called', was: 'nothing', became: 'jar' },
      {
        label: "the label's rate for ordinary fibre",
        was: 'not known',
        became: '2 containers/kg (own experience: trial of May)',
      },
    ])
    expect(changedFields(weld, withChange(weld, 'bath.standsOvernight', true))).toEqual([
      { label: 'may be left in this bath overnight', was: 'no', became: 'yes' },
    ])
    const vat = firstEntry('indigo-fructose-vat')
    const gone = changedFields(vat, withChange(vat, 'vat', null), names)
    expect(gone[0]).toEqual({ label: 'it is dyed from a vat', was: 'yes', became: 'no' })
    expect(gone).toContainEqual({
      label: 'into the stock, for each gram of indigo',
      was: expect.stringMatching(/^hydrated lime, 2 g per g .*; fructose, 3 g per g/),
      became: 'nothing',
    })
  })
})

test('a source is said with its kind, but not twice', () => {
  expect(saySource(trial)).toBe('own experience: trial of May')
  const onScale = { kind: 'own experience', source: 'weighed at drop-off, 12 bundles' } as const
  expect(saySource(onScale)).toBe('weighed at drop-off, 12 bundles')
  expect(saySource({ kind: 'common practice', source: 'common practice, no source' })).toBe(
    'common practice, no source',
  )
})
