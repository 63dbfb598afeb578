import { describe, expect, test } from 'vitest'
import { readBundleWeights } from '../../src/domain/bundle-weights.js'
import type { Units } from '../../src/domain/quantity.js'
import { read } from '../../src/domain/refusal.js'
import { readList } from '../../src/domain/typed-list.js'

const METRIC: Units = { weight: 'metric', volume: 'metric' }
const POUNDS: Units = { weight: 'pounds', volume: 'us' }

const weights = (typed: string, units = METRIC) => {
  const answer = readBundleWeights(typed, units)
  return answer.ok ? answer.value.map(({ lot, dryWeightG }) => [lot, dryWeightG]) : answer.sentence
}

describe('weights of bundles', () => {
  test.each([
    ['150 g, 150 g, 210 g', [150, 150, 210]],
    ['150, 160', [150, 160]],
    ['1,5 kg; 2 kg', [1500, 2000]],
    ['3 × 90 g, 1 x 100', [90, 90, 90, 100]],
    ['2 bundles of 3 ties, 150 g each, 0.8 mm', [150, 150]],
    ['150 g,', [150]],
  ])('%s', (typed, grams) => {
    expect(weights(typed)).toEqual(grams.map(gram => [1, gram]))
  })

  test('a new line is another lot, and bundles are counted through', () => {
    expect(weights('150 g, 160 g\n\n2 bundles of 3 ties, 90 g each')).toEqual([
      [1, 150],
      [1, 160],
      [2, 90],
      [2, 90],
    ])
    const answer = readBundleWeights('150 g\n160 g', METRIC)
    expect(answer.ok && answer.value.map(({ n }) => n)).toEqual([1, 2])
  })

  test('pounds are read as they are written (1 lb = 453.59237 g, NIST Handbook 44, Appendix C)', () => {
    expect(weights('1 lb, 2 × 8 oz', POUNDS)).toEqual([
      [1, 453.59237],
      [1, 453.59237 / 2],
      [1, 453.59237 / 2],
    ])
    expect(weights('150', POUNDS)).toContain('Write the unit after the weight of a bundle')
  })

  test.each([
    ['', 'What do the bundles weigh?'],
    [' \n ', 'What do the bundles weigh?'],
    ['150 g, heavy', '“heavy” cannot be read'],
    ['150 g\n0 g', 'Line 2: Is “0 g” right for the weight of a bundle?'],
    ['12 bundles', 'How many ties has each bundle?'],
    ['201 × 90 g', 'There is room for 200 here at most.'],
    ['200 × 90 g\n90 g', 'There is room for 200 bundles here at most.'],
    ['0 × 90 g', '“0 × 90 g” is none of them: leave it out.'],
    ['150,160,170', 'Is “150,160,170” right for the weight of a bundle?'],
    ['x'.repeat(10_000), 'That is more than'],
  ])('what cannot be read %#', (typed, sentence) => {
    expect(weights(typed)).toContain(sentence)
  })
})

test('a list of nothing is nothing, and a figure with a comma stays one', () => {
  const asIs = (typed: string) => readList(typed, 5, text => read(text))
  expect(asIs('')).toEqual({ ok: true, value: [] })
  expect(asIs('1,5 L, 2 × 9 L')).toEqual({ ok: true, value: ['1,5 L', '9 L', '9 L'] })
})
