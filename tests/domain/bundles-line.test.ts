import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { BUNDLE_LIMITS, readBundlesLine } from '../../src/domain/bundles-line.js'
import type { Units } from '../../src/domain/quantity.js'

const METRIC: Units = { weight: 'metric', volume: 'metric' }
const EXAMPLE = 'for example “12 bundles of 3 ties, 150 g each, 0.8 mm”.'

const line = (typed: string) => {
  const result = readBundlesLine(typed, METRIC)
  if (!result.ok) throw new Error(result.sentence)
  return result.value
}
const sentence = (typed: string): string => {
  const result = readBundlesLine(typed, METRIC)
  if (result.ok) throw new Error(JSON.stringify(result.value))
  return result.sentence
}

const TWELVE = {
  count: 12,
  tiesEach: 3,
  dryWeightG: 150,
  weightTyped: '150 g',
  thicknessMm: 0.8,
  thicknessTyped: '0.8 mm',
}

describe('twelve alike bundles', () => {
  test.each([
    '12 bundles of 3 ties, 150 g each, 0.8 mm',
    '12 bundles of 3 ties 150g each 0.8mm',
    '12 BUNDLES OF 3 TIES; 150 G EACH; 0.8 MM',
    '12 bundles of 3, 150 g, 0.8 mm thick',
    '12 bundles x 3 ties, 150 g, 0.8 mm',
    '12 × 3 ties, 150 g, 0.8 mm',
    '12x3 ties, 150 g apiece, 0.8 mm split',
    '12 * 3 ties, 150 g dry, 0.8 mm',
    '12 x 3 x 150 g, 0.8 mm',
    '12 x 150 g, 3 ties, 0.8 mm',
    '0.8 mm, 150 g each, 3 ties each, 12 bundles',
    '12 bundles with 3 ties each, 150 g per bundle, 0.8 mm',
    '12 bundles at 150 g a bundle, 3 ties per bundle, 0.8 mm',
    '12 bundles of 3 ties, 150 g per bundle dry, 0.8 mm',
    '150 g every bundle, 12 bundles, 3 ties, 0.8 mm',
    ' 12\u00a0bundles of 3 ties, 150 g each,0.8 mm. ',
  ])('“%s”', typed => expect(line(typed)).toEqual(TWELVE))

  test('without a thickness', () => {
    expect(line('12 bundles of 3 ties, 150 g each')).toEqual({ ...TWELVE, thicknessMm: null, thicknessTyped: null })
  })
})

test.each([
  ['1 bundle of 1 tie, 1 lb 3 oz, 1/32"', 1, 1, 538.640939375, '1 lb 3 oz', 0.79375, '1/32 "'],
  [' a bundle of 2 ties, 1½ lb, 0,8 mm', 1, 2, 680.388555, '1 1/2 lb', 0.8, '0,8 mm'],
  ['One bundle of 0 ties, 5 oz', 1, 0, 141.747615625, '5 oz', null, null],
  ['200 bundles of 200 ties, 40 kg, 50 mm', 200, 200, 40_000, '40 kg', 50, '50 mm'],
])('“%s”', (typed, count, tiesEach, dryWeightG, weightTyped, thicknessMm, thicknessTyped) => {
  const value = line(typed)
  expect(value.dryWeightG).toBeCloseTo(dryWeightG, 9)
  expect(value).toEqual({ count, tiesEach, dryWeightG: value.dryWeightG, weightTyped, thicknessMm, thicknessTyped })
})

describe('what is asked back', () => {
  const missing = (question: string) => `${question}? Write the line of bundles anew, ${EXAMPLE}`
  test.each([
    ['', 'Enter the line of bundles, for example 12 bundles of 3 ties, 150 g each, 0.8 mm.'],
    ['3 ties, 150 g', missing('How many bundles are they')],
    ['12 bundles, 3 bundles, 2 ties, 150 g', missing('How many bundles are they')],
    ['12 bundles, 2 ties, 3 bundles, 150 g', missing('How many bundles are they')],
    ['-12 bundles of 3 ties, 150 g', missing('How many bundles are they')],
    ['12 bundles, 150 g', missing('How many ties has each bundle')],
    ['12 bundles of 3 ties', missing('What does one bundle weigh dry')],
    ['12 bundles of 3 ties, 1800 g total', missing('What does one bundle weigh dry')],
    ['12 bundles of 3 ties, 1800 g in all', missing('What does one bundle weigh dry')],
    ['12 bundles of 3 ties, 1800 g altogether', missing('What does one bundle weigh dry')],
    ['12 bundles of 3 ties, 150 g each, 1800 g total', missing('What does one bundle weigh dry')],
    ['12 bundles of 3 ties, 1800 total', missing('What does one bundle weigh dry')],
    ['150 g, 12 bundles of 3 ties, 20 g', missing('What does one bundle weigh dry')],
    ['1 mm, 12 bundles of 3 ties, 20 g, 2 mm', missing('How thick is the fibre split')],
    ['12, 3 ties, 150 g', `“12” in the line of bundles cannot be read. Write it anew, ${EXAMPLE}`],
    ['12 bundles, 3, 150 g', `“3” in the line of bundles cannot be read. Write it anew, ${EXAMPLE}`],
    ['3 ties of 12, 150 g', `“12” in the line of bundles cannot be read. Write it anew, ${EXAMPLE}`],
    ['12 bundles of 3 knots, 150 g', `“3 knots” in the line of bundles cannot be read. Write it anew, ${EXAMPLE}`],
    ['12 bundles of 3 ties, 150 g per tie', '“150 g per tie” in the line of bundles cannot be read.'],
    ['12 bundles of 3 ties, 1 g 20 g', '“1 g 20 g” does not add up to one weight. Enter the dry weight of one bundle'],
    [
      '12 bundles of 3 ties, 41 kg',
      'Is “41 kg” right for the dry weight of one bundle? More than 40 kg cannot be entered.',
    ],
    ['12 bundles of 3 ties, 0 g', 'Is “0 g” right for the dry weight of one bundle? Less than 1 g cannot be entered.'],
    ['12 bundles of 3 ties, 15 gr', 'Does “gr” mean grams or grains?'],
    ['12 bundles of 3 ties, 150 g, 51 mm', 'Is “51 mm” right for the thickness? More than 50 mm cannot be entered.'],
    ['12 bundles of 3 ties, 150 g, 0 mm', 'Is “0 mm” right for the thickness? Less than 0.01 mm cannot be entered.'],
    [
      '201 bundles of 3 ties, 150 g',
      '“201 bundles” cannot be entered on one line of bundles: write a whole number from 1 to 200.',
    ],
    ['0 bundles of 3 ties, 150 g', '“0 bundles” cannot be entered on one line of bundles'],
    ['2½ bundles of 3 ties, 150 g', '“2 1/2 bundles” cannot be entered on one line of bundles'],
    [
      '2 bundles of 201 ties, 150 g',
      '“201 ties” cannot be entered on one line of bundles: write a whole number from 0 to 200.',
    ],
    ['2 bundles of 3 ties, 1,500 g', 'Does “1,500” mean 1500 or 1.500? Write the line of bundles without a comma.'],
    ['2-3 bundles of 3 ties, 150 g', 'gives two figures. Enter one figure for the line of bundles'],
    ['bundles', '“bundles” cannot be read. Enter the line of bundles'],
  ])('“%s”', (typed, expected) => expect(sentence(typed)).toContain(expected))
})

test('any text gives a line within the limits or a sentence, quickly', () => {
  const word = fc.constantFrom(
    '12',
    '3',
    '½',
    ' ',
    ',',
    'bundles',
    'of',
    'x',
    'ties',
    'g',
    'each',
    'mm',
    'total',
    '-',
    '.',
  )
  const text = fc.oneof(
    fc.string({ unit: 'binary', maxLength: 200 }),
    fc.array(word, { maxLength: 20 }).map(w => w.join(' ')),
  )
  fc.assert(
    fc.property(text, typed => {
      const result = readBundlesLine(typed, METRIC)
      if (!result.ok) return result.sentence.length > 10
      const { count, dryWeightG, thicknessMm } = result.value
      const { bundles, dryWeightG: weight, thicknessMm: thickness } = BUNDLE_LIMITS
      expect(count >= bundles.min && count <= bundles.max && Number.isInteger(count)).toBe(true)
      expect(dryWeightG >= weight.min && dryWeightG <= weight.max).toBe(true)
      expect(thicknessMm === null || (thicknessMm >= thickness.min && thicknessMm <= thickness.max)).toBe(true)
      return true
    }),
    { numRuns: 200 },
  )
  const started = performance.now()
  expect(sentence('1 bundle '.repeat(2000))).toContain('more than 100 characters')
  expect(performance.now() - started).toBeLessThan(2000)
})
