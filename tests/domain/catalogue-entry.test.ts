import { describe, expect, test } from 'vitest'
import type { Fibre, Rule, Substance } from '../../src/domain/catalogue.js'
import { changedFields } from '../../src/domain/catalogue-change.js'
import {
  copyOf,
  correctFigure,
  type Entry,
  fieldOf,
  figuresOf,
  mentionsOf,
  slugOf,
} from '../../src/domain/catalogue-entry.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { saySource } from '../../src/domain/say-source.js'

const fibre = (id: string): { kind: 'fibre'; entry: Fibre } => {
  const entry = firstCatalogue.fibres.find(one => one.id === id)
  if (!entry) throw new Error(`no fibre ${id}`)
  return { kind: 'fibre', entry }
}
const substance = (id: string): { kind: 'substance'; entry: Substance } => {
  const entry = firstCatalogue.substances.find(one => one.id === id)
  if (!entry) throw new Error(`no substance ${id}`)
  return { kind: 'substance', entry }
}
const rule = (id: string): { kind: 'rule'; entry: Rule } => {
  const entry = firstCatalogue.rules.find(one => one.id === id)
  if (!entry) throw new Error(`no rule ${id}`)
  return { kind: 'rule', entry }
}
const trial = { kind: 'own experience', source: 'trial of May' } as const

describe('the figures of an entry', () => {
  test('each say what they are used for', () => {
    const all: Entry[] = [
      ...firstCatalogue.fibres.map(one => fibre(one.id)),
      ...firstCatalogue.substances.map(one => substance(one.id)),
    ]
    for (const entry of all)
      for (const { path, usedFor, whenNull } of figuresOf(entry)) {
        expect(usedFor, `${entry.entry.id} ${path}`).not.toBe('')
        expect(whenNull, path).not.toBe('')
      }
  })

  test('go by the nearest thing that they are part of', () => {
    expect(fieldOf(fibre('flax'), 'takeUp.indigo')?.usedFor).toContain('multiplies')
    expect(fieldOf(substance('indigo-fructose-vat'), 'vat.dips')?.usedFor).toBe('number of dips')
    expect(fieldOf(substance('indigo-fructose-vat'), 'vat.lowestPh')?.usedFor).toContain('window')
  })

  test('that are not known are tried on a strip, where that would tell', () => {
    expect(fieldOf(fibre('flax'), 'hottestC')?.whenNull).toBe('not known: try a strip')
    expect(fieldOf(substance('weld'), 'molarMassGPerMol')?.whenNull).toBe('not known')
    expect(fieldOf(substance('weld'), 'relativeStrength')?.whenNull).toContain('this very form')
  })

  test('are none for a rule, and none by a name that is not theirs', () => {
    expect(figuresOf(rule('red-cedar-indigo'))).toEqual([])
    expect(fieldOf(fibre('flax'), 'colour')).toBeUndefined()
    expect(() => correctFigure(rule('red-cedar-indigo'), 'words', null)).toThrow('no such figure')
  })

  test('are corrected one at a time, and the rest stays', () => {
    const flax = fibre('flax')
    const corrected = correctFigure(flax, 'takeUp.indigo', { value: 1.5, provenance: trial })
    expect(corrected).toEqual({
      ...flax.entry,
      takeUp: { ...flax.entry.takeUp, indigo: { value: 1.5, provenance: trial } },
    })
    expect(correctFigure(flax, 'hottestC', null)).toEqual({ ...flax.entry, hottestC: null })
    expect(() => correctFigure(flax, 'takeUp.indigo', { value: 99, provenance: trial })).toThrow('from 0.05 to 20')
    expect(() => correctFigure(flax, 'hottestC', { value: 9, provenance: { ...trial, source: ' ' } })).toThrow('where')
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
  const own = { id: 'hop-bine', name: 'hop bine', latin: null, words: 'Long.' }

  test('that takes figures over says of each whose it was', () => {
    const flax = fibre('flax')
    const copy = { kind: 'fibre', entry: copyOf(flax, own, true) } as Entry
    expect(copy.entry).toMatchObject(own)
    for (const { path, figure } of figuresOf(flax)) {
      const taken = fieldOf(copy, path)?.figure
      expect(taken?.value, path).toBe(figure?.value)
      if (figure)
        expect(taken?.provenance).toEqual({
          ...figure.provenance,
          source: `taken over from flax: ${figure.provenance.source}`,
        })
    }
  })

  test('that leaves them open knows none', () => {
    const copy = { kind: 'substance', entry: copyOf(substance('indigo-fructose-vat'), own, false) } as Entry
    expect(figuresOf(copy).length).toBeGreaterThan(10)
    expect(figuresOf(copy).filter(({ figure }) => figure !== null)).toEqual([])
  })

  test('of a substance leaves its label to the supplier', () => {
    const copy = copyOf(substance('hydrated-lime'), own, true)
    if (!('hazard' in copy)) throw new Error('a copy of a substance is a substance')
    expect(copy.hazard.standing).toBe("supplier's sheet decides")
    expect(copy.hazard.provenance.source).toMatch(/^taken over from hydrated lime: /)
    expect(copy.hazard.signalWord).toBe(substance('hydrated-lime').entry.hazard.signalWord)
  })
})

test.each([
  ['Spruce root, split', 'spruce-root-split'],
  ['  Zoë’s Nettle (2026) ', 'zoe-s-nettle-2026'],
  ['ホップ', ''],
  ['-', ''],
  ['x'.repeat(200), 'x'.repeat(60)],
])('the address of %s is "%s"', (name, slug) => {
  expect(slugOf(name)).toBe(slug)
})

describe('what changed', () => {
  test('is told figure by figure, with sources', () => {
    const was = fibre('flax')
    const became: Entry = {
      kind: 'fibre',
      entry: { ...was.entry, hottestC: { value: 95, provenance: trial }, liquorRatioLPerKg: null },
    }
    expect(changedFields(was, became)).toEqual([
      { label: 'liquor ratio', was: expect.stringMatching(/^20 L\/kg \(handbook: Beech 1901/), became: 'not known' },
      { label: 'hottest bath', was: 'not known', became: '95 °C (own experience: trial of May)' },
    ])
    expect(changedFields(was, was)).toEqual([])
  })

  test('is told of a source alone', () => {
    const was = fibre('flax')
    const figure = was.entry.liquorRatioLPerKg
    const became: Entry = {
      kind: 'fibre',
      entry: { ...was.entry, liquorRatioLPerKg: figure && { ...figure, provenance: trial } },
    }
    expect(changedFields(was, became)).toHaveLength(1)
  })

  test('is told in words', () => {
    const weld = substance('weld')
    const became: Entry = {
      kind: 'substance',
      entry: { ...weld.entry, latin: null, care: [], words: 'Cut it in flower.' },
    }
    expect(changedFields(weld, became)).toEqual([
      { label: 'Latin name', was: weld.entry.latin, became: 'nothing' },
      { label: 'what to know', was: weld.entry.words, became: 'Cut it in flower.' },
      { label: 'usual care', was: weld.entry.care.join(' '), became: 'nothing' },
    ])
    const red = rule('red-cedar-indigo')
    const mild: Entry = {
      kind: 'rule',
      entry: { ...red.entry, name: 'Red', severity: 'changes colour', provenance: trial },
    }
    expect(changedFields(red, mild)).toEqual([
      { label: 'name', was: red.entry.name, became: 'Red' },
      { label: 'how bad', was: 'does not take', became: 'changes colour' },
      {
        label: 'where it comes from',
        was: 'common practice: common practice, no source',
        became: 'own experience: trial of May',
      },
    ])
  })
})

test('a source is said with its kind, but not twice', () => {
  expect(saySource(trial)).toBe('own experience: trial of May')
  expect(saySource({ kind: 'common practice', source: 'common practice, no source' })).toBe(
    'common practice, no source',
  )
})
