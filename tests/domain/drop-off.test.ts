import { describe, expect, test } from 'vitest'
import { readBundlesLine } from '../../src/domain/bundles-line.js'
import { DYE_CLASSES, type Severity } from '../../src/domain/catalogue.js'
import { checkJob } from '../../src/domain/check-job.js'
import { alikeRuns, asksWhy, isRepeat, rowsOf, totalsOf } from '../../src/domain/drop-off.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { ROUTE_OF_CLASS } from '../../src/domain/job-for-lot.js'
import type { Finding } from '../../src/domain/recipe.js'

describe('totals', () => {
  test('add up bundles, ties and weight', () => {
    const twelve = Array.from({ length: 12 }, () => ({ tiesIn: 3, dryWeightG: 150 }))
    // 12 × 150 g + 2 × 1 lb (453.59237 g exactly, NIST Handbook 44, Appendix C)
    const two = Array.from({ length: 2 }, () => ({ tiesIn: 4, dryWeightG: 453.59237 }))
    const totals = totalsOf([...twelve, ...two])
    expect(totals).toMatchObject({ bundles: 14, ties: 44 })
    expect(totals.dryWeightG).toBeCloseTo(2707.18474, 8)
  })

  test('of nothing are nothing', () => {
    expect(totalsOf([])).toEqual({ bundles: 0, ties: 0, dryWeightG: 0 })
  })
})

describe('a line of alike bundles', () => {
  test('becomes rows that read as it was written', () => {
    const line = readBundlesLine('2 bundles of 3 ties, 1 lb 3 oz each, 0.8 mm', { weight: 'pounds', volume: 'us' })
    const rows = line.ok ? rowsOf(line.value, { condition: 'sound', howTied: 'reef knot' }) : []
    const row = { ties: '3', weight: '1 lb 3 oz', thickness: '0.8 mm', condition: 'sound', howTied: 'reef knot' }
    expect(rows).toEqual([row, row])
  })

  test('without a thickness leaves it open', () => {
    const line = readBundlesLine('1 bundle of 2 ties, 90 g', { weight: 'metric', volume: 'metric' })
    expect(line.ok && rowsOf(line.value, { condition: '', howTied: '' })[0]?.thickness).toBe('')
  })
})

test('neighbours that are alike are told together, others are not, each by its number', () => {
  const runs = alikeRuns([3, 3, 2, 3].map((ties, at) => ({ n: 2 * at + 1, one: { ties } })))
  expect(runs).toEqual([
    { ns: [1, 3], one: { ties: 3 } },
    { ns: [5], one: { ties: 2 } },
    { ns: [7], one: { ties: 3 } },
  ])
})

test('the route that follows from a dye is one that its recipe takes', () => {
  for (const dyeClass of DYE_CLASSES) {
    const dye = firstCatalogue.substances.find(each => each.dyeClass === dyeClass)
    expect(dye, dyeClass).toBeDefined()
    const job = {
      fibreId: 'raffia',
      dryWeightG: 500,
      dryBasis: 'conditioned' as const,
      route: ROUTE_OF_CLASS[dyeClass],
      dyes: [{ substanceId: dye?.id ?? '', share: 1, owfPercent: null }],
      mordants: [],
      extras: [],
      depth: 1,
      liquorRatioLPerKg: null,
      dips: null,
      conditions: [],
      tiesUndyed: false,
      purposes: [],
      usedRates: [],
      reasons: [],
    }
    expect(() => checkJob(job, firstCatalogue), dyeClass).not.toThrow()
  }
})

test('a reason is asked where fibre or colour is at stake, and not where a strip will show', () => {
  const finding = (severity: Severity): Finding => ({
    ruleId: severity,
    name: severity,
    severity,
    words: '',
    provenance: { kind: 'common practice', source: 'no source' },
    reason: null,
  })
  const asked = (severity: Severity) => asksWhy([finding('try a strip first'), finding(severity)])
  expect(asked('does not take')).toBe(true)
  expect(asked('harms the fibre')).toBe(true)
  expect(asked('leaves an undyed face')).toBe(true)
  expect(asked('changes colour')).toBe(false)
  expect(asksWhy([])).toBe(false)
})

test('a repeat has the same fibre and the same dye', () => {
  const before = { fibreId: 'raffia', dyeId: 'weld' }
  expect(isRepeat({ ...before }, before)).toBe(true)
  expect(isRepeat({ fibreId: 'flax', dyeId: 'weld' }, before)).toBe(false)
  expect(isRepeat({ fibreId: 'raffia', dyeId: 'madder-root' }, before)).toBe(false)
})
