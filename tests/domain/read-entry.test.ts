import { describe, expect, test } from 'vitest'
import type { EntryKind } from '../../src/domain/catalogue.js'
import { figuresOf } from '../../src/domain/catalogue-entry.js'
import { valueAt, withValue } from '../../src/domain/json-path.js'
import { entryOf, readEntry } from '../../src/domain/read-entry.js'
import { Refusal } from '../../src/domain/refusal.js'
import { firstEntries, fullSubstance as full, fullEntries, known, fullRule as rule } from './catalogue-kit.js'
import { figure, tested } from './recipe-kit.js'

/** "field: sentence" of the refusal, or "read". */
function refused(kind: EntryKind, json: unknown, beside = known): string {
  try {
    readEntry(kind, json, beside)
  } catch (error) {
    if (error instanceof Refusal) return `${error.field}: ${error.message}`
    throw error
  }
  return 'read'
}

const whole: [EntryKind, unknown][] = fullEntries.map(({ kind, entry }) => [kind, entry])

/** Every path inside, of records, rows and leaves alike. */
function paths(json: unknown, path = ''): string[] {
  if (typeof json !== 'object' || json === null) return []
  return Object.keys(json).flatMap(key => {
    const place = path === '' ? key : `${path}.${key}`
    return [place, ...paths(valueAt(json, key), place)]
  })
}

describe('reading an entry', () => {
  test('every entry of the first catalogue is read as it stands', () => {
    for (const { kind, entry } of firstEntries)
      expect(readEntry(kind, JSON.parse(JSON.stringify(entry)), known).entry).toEqual(entry)
  })

  test('every first entry is read to the same document, whatever the order of its fields', () => {
    const backwards = Object.fromEntries(Object.entries(full).reverse())
    expect(JSON.stringify(readEntry('substance', backwards, known).entry)).toBe(
      JSON.stringify(readEntry('substance', full, known).entry),
    )
  })

  test.each(whole)('a %s with any one field broken is refused, or was not broken', (kind, json) => {
    const broken = [undefined, Number.NaN, Number.POSITIVE_INFINITY, -1, true, ' ', [], {}, [{}], { value: '20' }]
    expect(refused(kind, json)).toBe('read')
    for (const path of paths(json))
      for (const value of broken) {
        const other = withValue(json, path, value)
        const answer = refused(kind, other)
        if (answer === 'read') expect(readEntry(kind, other, known).entry, path).toEqual(other)
        else expect(answer.startsWith('undefined'), `${path} ${answer}`).toBe(false)
        const fits = (Array.isArray(value) && value.length === 0) || typeof value === 'boolean'
        if (!fits) expect(answer, `${path} = ${String(value)}`).not.toBe('read')
      }
  })

  test.each(whole)('a %s with a stranger among its fields is refused by name', (kind, json) => {
    expect(refused(kind, withValue(json, 'colour', 'red'))).toContain('colour: There is no field "colour"')
    for (const path of paths(json).filter(
      path => !Array.isArray(valueAt(json, path)) && paths(valueAt(json, path)).length > 0,
    ))
      expect(refused(kind, withValue(json, `${path}.colour`, 'red')), path).toContain(
        `${path}.colour: There is no field`,
      )
  })

  test.each(whole)('a %s with a figure out of bounds or without a source is refused by its path', (kind, json) => {
    const figures = paths(json)
      .filter(path => path.endsWith('.value'))
      .map(path => path.replace(/\.value$/, ''))
    for (const path of figures) {
      expect(refused(kind, withValue(json, `${path}.value`, 1e6)), path).toMatch(new RegExp(`^${path}: .*from .* to `))
      expect(refused(kind, withValue(json, `${path}.provenance`, null)), path).toContain(`${path}.provenance: `)
      expect(refused(kind, withValue(json, `${path}.provenance.source`, ' '))).toBe(
        `${path}.provenance.source: Say where it comes from.`,
      )
      expect(refused(kind, withValue(json, path, null)), path).toBe('read')
    }
    expect(figures.length).toBe({ fibre: 3, substance: 22, rule: 0 }[kind])
  })

  test.each([
    ['substance', 'assistants.0.substanceId', 'moon-dust', 'no "moon-dust" that can be chosen'],
    ['substance', 'mordantAssistants.0.substanceId', 'own-vat', 'cannot go with itself'],
    ['substance', 'vat.perGram.0.substanceId', 'flax', 'no "flax" that can be chosen'],
    ['substance', 'id', 'Own Vat', 'small letters'],
    ['substance', 'id', `x${'-x'.repeat(60)}`, 'at most'],
    ['substance', 'name', 'n'.repeat(81), '80 characters'],
    ['substance', 'kind', 'poison', 'one of'],
    ['substance', 'unit', 'kg', 'one of'],
    ['substance', 'metal', null, 'Choose the metal'],
    ['substance', 'owfPercent.pale', figure(3), 'A pale shade takes no more'],
    ['substance', 'owfPercent.deep', figure(1.5), 'A deep shade takes no less than a medium'],
    ['substance', 'vat.highestPh', figure(9), 'not below the lowest'],
    ['substance', 'vat.highestC', figure(20), 'not below the lowest'],
    ['substance', 'care', Array.from({ length: 21 }, () => 'Mind.'), '20 rows'],
    ['rule', 'fibreIds', ['weld'], 'no "weld"'],
    ['rule', 'dyeIds', ['weld', 'flax'], 'no "flax"'],
    ['rule', 'mordantIds', ['own-rule'], 'no "own-rule"'],
    ['rule', 'conditions.0', 'full moon', 'one of'],
    ['rule', 'severity', 'dreadful', 'one of'],
  ] as const)('a %s with %s = %o is refused', (kind, path, value, sentence) => {
    const json = whole.find(([one]) => one === kind)?.[1]
    const answer = refused(kind, withValue(json, path, value))
    expect(answer.startsWith(`${path}: `), answer).toBe(true)
    expect(answer).toContain(sentence)
  })

  test('what is just within bounds is read', () => {
    const even = withValue(withValue(full, 'owfPercent.pale', figure(2)), 'owfPercent.deep', figure(2))
    expect(refused('substance', even)).toBe('read')
    const narrow = withValue(withValue(full, 'vat.highestPh', figure(10)), 'vat.highestC', figure(30))
    expect(refused('substance', narrow)).toBe('read')
    const sentences = Array.from({ length: 20 }, () => 'Mind.')
    expect(refused('substance', withValue(full, 'care', sentences))).toBe('read')
    expect(refused('substance', withValue(full, 'name', 'n'.repeat(80)))).toBe('read')
    for (const shown of fullEntries.flatMap(entry => figuresOf(entry).map(one => ({ ...one, entry }))))
      for (const value of [shown.least, shown.most]) {
        const other = withValue(shown.entry.entry, shown.path, { value, provenance: tested })
        expect(() => entryOf(shown.entry.kind, other), shown.path).not.toThrow()
      }
  })

  test('what goes with it is named once, and is at hand', () => {
    const twice = withValue(full, 'assistants', [...full.assistants, ...full.assistants])
    expect(refused('substance', twice)).toContain('assistants.1.substanceId: "chalk" is there already')
    const atHandIds = new Set([...known.atHandIds].filter(id => id !== 'chalk'))
    expect(refused('substance', full, { ...known, atHandIds })).toContain('assistants.0.substanceId: ')
    expect(refused('rule', withValue(rule, 'dyeIds', ['chalk']), { ...known, atHandIds })).toBe('read')
  })

  test('a dyestuff has a class, a pale shade may be told without a medium one', () => {
    expect(refused('substance', withValue(full, 'dyeClass', null))).toContain('dyeClass: ')
    expect(refused('substance', { ...full, dyeClass: null, kind: 'mordant' })).toBe('read')
    const open = withValue(full, 'owfPercent.medium', null)
    expect(refused('substance', open)).toBe('read')
    expect(refused('substance', withValue(open, 'owfPercent.deep', figure(0.5)))).toContain('than a pale one')
  })

  test('a rule speaks of something', () => {
    const asks = ['fibreIds', 'fibreParts', 'dyeIds', 'dyeClasses', 'mordantIds', 'conditions']
    const silent = asks.reduce<unknown>((json, path) => withValue(json, path, []), rule)
    expect(refused('rule', silent)).toContain('fibreIds: Tick at least one thing')
    for (const path of asks) expect(refused('rule', withValue(silent, path, valueAt(rule, path))), path).toBe('read')
  })

  test.each([null, undefined, 'flax', 7, [], true])('%o is no entry', json => {
    expect(refused('fibre', json)).toContain('The entry must be a set of named fields')
  })
})

describe('places in JSON', () => {
  test('are read and changed by path, and what was given stays', () => {
    expect(valueAt(full, 'vat.perGram.0.words')).toBe('slaked')
    expect(valueAt(full, 'vat.perGram.7.words')).toBeUndefined()
    expect(valueAt(full, 'name.length.x')).toBeUndefined()
    const before = JSON.stringify(full)
    const after = withValue(full, 'vat.perGram.0.words', 'burnt')
    expect(valueAt(after, 'vat.perGram.0.words')).toBe('burnt')
    expect(valueAt(after, 'vat.perGram.0.substanceId')).toBe('hydrated-lime')
    expect(JSON.stringify(full)).toBe(before)
    expect(withValue(null, 'a.b', 1)).toEqual({ a: { b: 1 } })
  })
})
