import { describe, expect, test } from 'vitest'
import type { Fibre, Figure, Substance } from '../../src/domain/catalogue.js'
import {
  FIGURE_FIELDS,
  fibreFigures,
  substanceFigures,
  TEXT_FIELDS,
  withFigure,
} from '../../src/domain/catalogue-fields.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { Refusal } from '../../src/domain/refusal.js'
import { aDye, anAssistant, cotton, figure } from './recipe-kit.js'

/** What stands at "a.0.b" inside an entry. */
function lookUp(entry: unknown, path: string): unknown {
  return path.split('.').reduce<unknown>((value, key) => {
    if (typeof value !== 'object' || value === null) return undefined
    return Object.entries(value).find(([name]) => name === key)?.[1]
  }, entry)
}

const full: Substance = aDye({
  label: { container: 'bottle', containerHolds: figure(250), containersPerKg: figure(2) },
  assistants: [{ substanceId: 'salt', basis: 'per kg', amount: figure(4), words: 'drives it on' }],
  mordantDose: { basis: 'per litre', amount: null },
  mordantAssistants: [{ substanceId: 'soda', basis: 'per gram', amount: figure(0.25), words: 'softens it' }],
  vat: {
    perGram: [
      { substanceId: 'lime', ratio: figure(2), words: '' },
      { substanceId: 'sugar', ratio: null, words: '' },
    ],
    stockLPerG: null,
    lowestPh: null,
    highestPh: null,
    lowestC: null,
    highestC: null,
    dips: null,
    dipMinutes: null,
    airingMinutes: null,
  },
})

const starred = (path: string) => path.replace(/\.\d+\./, '.*.')
const everyFigure = (entry: unknown): number =>
  typeof entry !== 'object' || entry === null
    ? 0
    : ('value' in entry ? 1 : 0) + Object.values(entry).reduce<number>((sum, one) => sum + everyFigure(one), 0)

describe('the figures of an entry', () => {
  const changed: Figure = { value: 7, provenance: { kind: 'own experience', source: 'three trial strips' } }

  function checkEach<E extends Fibre | Substance>(
    entry: E,
    figures: { path: string; figure: Figure | null; with: (figure: Figure | null) => E }[],
  ) {
    for (const one of figures) {
      expect(lookUp(entry, one.path), one.path).toEqual(one.figure)
      const other = one.with(changed)
      expect(lookUp(other, one.path), one.path).toEqual(changed)
      expect(everyFigure(other), one.path).toBe(everyFigure(entry) + (one.figure === null ? 1 : 0))
      expect(one.with(one.figure)).toEqual(entry)
    }
  }

  test('each reads and changes just its own place', () => {
    checkEach(full, substanceFigures(full))
    checkEach(cotton, fibreFigures(cotton))
    expect(substanceFigures(full).filter(one => one.figure !== null)).toHaveLength(everyFigure(full))
    expect(fibreFigures(cotton).filter(one => one.figure !== null)).toHaveLength(everyFigure(cotton))
  })

  test('the tables name every figure that an entry can have', () => {
    expect(new Set(substanceFigures(full).map(one => starred(one.path)))).toEqual(
      new Set(FIGURE_FIELDS.substance.map(one => one.path)),
    )
    expect(fibreFigures(cotton).map(one => one.path)).toEqual(FIGURE_FIELDS.fibre.map(one => one.path))
    expect(FIGURE_FIELDS.rule).toEqual([])
    for (const one of [...FIGURE_FIELDS.fibre, ...FIGURE_FIELDS.substance]) {
      expect(one.label).not.toBe('')
      expect(one.unit).not.toBe('')
      expect(one.least).toBeGreaterThanOrEqual(0)
      expect(one.most).toBeGreaterThan(one.least)
    }
  })

  test('an entry without label, mordant or vat lists none of their figures', () => {
    const paths = substanceFigures(anAssistant({})).map(one => one.path)
    expect(paths).toEqual([
      'molarMassGPerMol',
      'metalFraction',
      'gramsPerTeaspoon',
      'relativeStrength',
      'owfPercent.pale',
      'owfPercent.medium',
      'owfPercent.deep',
      'bath.minutes',
      'bath.temperatureC',
    ])
  })

  test('doses are labelled by what they are of and how they are reckoned', () => {
    const labelled = Object.fromEntries(substanceFigures(full).map(one => [one.path, [one.label, one.unit]]))
    expect(labelled['assistants.0.amount']).toEqual(['salt: drives it on', 'per kg'])
    expect(labelled['mordantAssistants.0.amount']).toEqual(['soda: softens it', 'per gram'])
    expect(labelled['mordantDose.amount']).toEqual(['as a mordant', 'per litre'])
    expect(labelled['vat.perGram.1.ratio']).toEqual(['sugar, for each gram of indigo', 'g per g'])
    expect(labelled['label.containerHolds']).toEqual(['one bottle or packet holds', 'g or mL'])
    expect(fibreFigures(cotton).find(one => one.path === 'takeUp.basic')).toMatchObject({
      label: 'take-up of basic dye',
      unit: '× ordinary fibre',
    })
  })

  test('the words of each kind are listed, with their choices', () => {
    expect(TEXT_FIELDS.fibre.map(one => one.path)).toEqual(['name', 'latin', 'part', 'words'])
    expect(TEXT_FIELDS.rule.find(one => one.path === 'severity')?.choices).toContain('does not take')
    expect(TEXT_FIELDS.rule.find(one => one.path === 'conditions')).toMatchObject({ many: true })
    for (const kind of ['fibre', 'substance', 'rule'] as const) {
      for (const one of TEXT_FIELDS[kind]) expect(one.label).not.toBe('')
    }
    const entries = { fibre: firstCatalogue.fibres[0], rule: firstCatalogue.rules[0], substance: full }
    for (const kind of ['fibre', 'substance', 'rule'] as const) {
      for (const one of TEXT_FIELDS[kind])
        expect(lookUp(entries[kind], one.path.replace('*', '0')), one.path).toBeDefined()
    }
  })
})

describe('changing a figure', () => {
  const own = (value: number, source = 'two strips'): Figure => ({
    value,
    provenance: { kind: 'own experience', source },
  })
  const refused = (path: string, given: Figure | null) => {
    try {
      withFigure(fibreFigures(cotton), path, given)
    } catch (error) {
      return error instanceof Refusal ? `${error.code} ${error.field}: ${error.message}` : error
    }
    return 'accepted'
  }

  test('within bounds, with its source, or to not known', () => {
    expect(withFigure(fibreFigures(cotton), 'dryingHours', own(30)).dryingHours).toEqual(own(30))
    expect(withFigure(fibreFigures(cotton), 'takeUp.acid', own(2)).takeUp).toEqual({ ...cotton.takeUp, acid: own(2) })
    expect(withFigure(fibreFigures(cotton), 'liquorRatioLPerKg', null)).toEqual({ ...cotton, liquorRatioLPerKg: null })
    expect(withFigure(substanceFigures(full), 'vat.perGram.1.ratio', own(3)).vat?.perGram[1]?.ratio).toEqual(own(3))
  })

  test('both ends of the bounds are still within', () => {
    expect(withFigure(fibreFigures(cotton), 'liquorRatioLPerKg', own(2)).liquorRatioLPerKg?.value).toBe(2)
    expect(withFigure(fibreFigures(cotton), 'liquorRatioLPerKg', own(200)).liquorRatioLPerKg?.value).toBe(200)
  })

  test('is refused otherwise', () => {
    expect(refused('regain', own(1))).toBe('wrong regain: That entry has no such figure.')
    const bounds =
      'wrong liquorRatioLPerKg: liquor ratio must be a number from 2 to 200 (L/kg), or left open as not known.'
    for (const value of [1.99, 200.1, Number.NaN, -1]) expect(refused('liquorRatioLPerKg', own(value))).toBe(bounds)
    expect(refused('liquorRatioLPerKg', own(20, ' '))).toBe(
      'wrong liquorRatioLPerKg: Say where the figure for liquor ratio comes from.',
    )
  })
})
