import { describe, expect, test } from 'vitest'
import { blankEntry, figuresOf, shownGroups } from '../../src/domain/catalogue-entry.js'
import type { Field } from '../../src/domain/catalogue-field.js'
import { GROUPS } from '../../src/domain/catalogue-fields.js'
import { valueAt, withValue } from '../../src/domain/json-path.js'
import { readEntry } from '../../src/domain/read-entry.js'
import { firstEntries, firstEntry, fullEntries, fullSubstance, known, names } from './catalogue-kit.js'

const KINDS = ['fibre', 'substance', 'rule'] as const
const fieldsOf = (kind: (typeof KINDS)[number]): Field[] =>
  GROUPS[kind].flatMap(({ fields, whenNew }) => [...fields, ...whenNew])

/** The paths of the fields that hold something themselves, rows as "*". */
const placesOf = (fields: readonly Field[], at = ''): string[] =>
  fields.flatMap(field => {
    if (field.is === 'rows') return placesOf(field.fields, `${at}${field.path}.*.`)
    return field.is === 'part' ? placesOf(field.fields, `${at}${field.path}.`) : [`${at}${field.path}`]
  })

/** The same of an entry itself: figures and sources are one thing each, and so is a list of words. */
function placesIn(json: unknown, at = ''): string[] {
  if (typeof json !== 'object' || json === null || 'value' in json || ('kind' in json && 'source' in json)) return [at]
  if (Array.isArray(json))
    return json.every(one => typeof one === 'string') ? [at] : json.flatMap(row => placesIn(row, `${at}.*`))
  return Object.entries(json).flatMap(([key, value]) => placesIn(value, at === '' ? key : `${at}.${key}`))
}

describe('the table of fields', () => {
  test.each(fullEntries)('names every place of a $kind, each once', ({ kind, entry }) => {
    const places = placesOf(fieldsOf(kind))
    expect(new Set(places).size).toBe(places.length)
    expect(new Set(['id', ...places])).toEqual(new Set(placesIn(entry)))
  })

  test('has a page of its own for each group, and a label for each field', () => {
    for (const kind of KINDS) {
      const keys = GROUPS[kind].map(({ key }) => key)
      expect(new Set(keys).size).toBe(keys.length)
      for (const { title } of GROUPS[kind]) expect(title).not.toBe('')
      for (const { label, path } of fieldsOf(kind)) expect(label, path).not.toBe('')
    }
  })
})

describe('a new entry of which nothing is known', () => {
  test.each([
    ['fibre', { name: 'Hop bine', words: 'Long.', part: 'bast' }],
    ['substance', { name: 'Ours', words: 'Red.', kind: 'assistant', form: 'powder', unit: 'g' }],
    [
      'rule',
      {
        name: 'Ours',
        words: 'No.',
        severity: 'does not take',
        provenance: { kind: 'own experience', source: 'x' },
        conditions: ['boiled'],
      },
    ],
  ] as const)('of the kind %s is whole as soon as its words are told', (kind, told) => {
    const json = Object.entries(told).reduce<unknown>(
      (entry, [path, value]) => withValue(entry, path, value),
      blankEntry(kind, 'own'),
    )
    expect(() => readEntry(kind, blankEntry(kind, 'own'), known)).toThrow()
    const entry = readEntry(kind, json, known)
    expect(figuresOf(entry).every(({ figure }) => figure === null)).toBe(true)
  })
})

describe('the groups of an entry', () => {
  test('tell everything that stands in it, in words', () => {
    const told = shownGroups({ kind: 'substance', entry: fullSubstance }, names)
    const facts = told.flatMap(group => group.facts.map(({ label, words }) => `${label}: ${words}`))
    expect(facts).toEqual([
      'name: own vat',
      'Latin name: Isatis tinctoria',
      'kind: dyestuff',
      'class of dye: indigo',
      'form: powder',
      'what to know: Ours.',
      'measured in: g',
      'one of them is called: jar',
      'may be left in this bath overnight: yes',
      'reckoned: per litre',
      'formula: FeSO4·7H2O',
      'metal in it: iron',
      'signal word: Danger',
      'statements on its label: H318, Causes serious eye damage',
      'who says so: harmonised',
      'where it comes from: own experience: written for this test',
      'usual care: Wear goggles.',
    ])
    const rule = shownGroups(firstEntry('iron-pot'), names).flatMap(({ facts }) => facts)
    expect(rule).toContainEqual({ label: 'for these classes of dye', words: 'plant, insect' })
    expect(rule.some(({ label }) => label === 'for these dyes')).toBe(false)
    const named = shownGroups(firstEntry('red-cedar-indigo'), names).flatMap(({ facts }) => facts)
    expect(named).toContainEqual({ label: 'for these fibres', words: 'red cedar inner bark' })
  })

  test('hold every figure at its own path, with its unit and bounds', () => {
    for (const one of [...fullEntries, ...firstEntries])
      for (const { path, figure, unit, least, most } of figuresOf(one, names)) {
        expect(valueAt(one.entry, path) ?? null, path).toEqual(figure)
        expect(unit, path).not.toBe('')
        expect(most).toBeGreaterThan(least)
      }
    const figures = figuresOf({ kind: 'substance', entry: fullSubstance }, names)
    expect(figures).toHaveLength(23)
    const said = Object.fromEntries(figures.map(({ path, label, unit }) => [path, `${label}, ${unit}`]))
    expect(said['assistants.0.amount']).toBe('chalk, g per kg')
    expect(said['mordantAssistants.0.amount']).toBe('soda ash: softens it, g per gram')
    expect(said['mordantDose.amount']).toBe('as a mordant, per litre')
    expect(said['vat.perGram.0.ratio']).toBe('hydrated lime: slaked, g per g')
    expect(said['label.containerHolds']).toBe('one bottle or packet holds, g or mL')
  })
})
