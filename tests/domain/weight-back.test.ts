import fc from 'fast-check'
import { expect, test } from 'vitest'
import { ENOUGH_BUNDLES, sayBand, USUAL_BAND, weightBand } from '../../src/domain/weight-back.js'

const times = (count: number, share: number): number[] => Array.from({ length: count }, () => share)

test('too few bundles teach nothing: practice stands, wider for plants', () => {
  expect(weightBand('label', times(ENOUGH_BUNDLES - 1, 0.8))).toEqual(USUAL_BAND)
  expect(weightBand('label', [])).toMatchObject({ lightest: 0.9, heaviest: 1.15, of: 0 })
  expect(weightBand('plant', [])).toMatchObject({ lightest: 0.9, heaviest: 1.2, of: 0 })
})

test('enough bundles teach the middle and the spread, and one wet bundle does not move them', () => {
  const alike = weightBand('plant', [...times(30, 0.98), 2.5])
  expect(alike).toMatchObject({ of: 31, median: 0.98, spread: 0.04 })
  expect(alike.lightest).toBeCloseTo(0.94)
  expect(alike.heaviest).toBeCloseTo(1.02)
})

test('three standard deviations of normal shares lie in it', () => {
  // Quantiles of the normal distribution at 1/40, 3/40, … 39/40, with a standard deviation of 0.03 (its published table).
  const z = [1.96, 1.44, 1.15, 0.93, 0.76, 0.6, 0.45, 0.32, 0.19, 0.06]
  const shares = [...z, ...z.map(one => -one)].map(one => 1 + 0.03 * one)
  expect(weightBand('label', shares).spread).toBeCloseTo(0.09, 2)
})

test('the middle of what came back is always in it, and it is neither too narrow nor too wide', () => {
  const share = fc.double({ min: 0.2, max: 2.5, noNaN: true })
  fc.assert(
    fc.property(fc.array(share, { minLength: ENOUGH_BUNDLES, maxLength: 60 }), shares => {
      const { lightest, heaviest, of } = weightBand('label', shares)
      expect(of).toBe(shares.length)
      expect(heaviest - lightest).toBeGreaterThanOrEqual(0.08 - 1e-9)
      expect(heaviest - lightest).toBeLessThanOrEqual(0.5 + 1e-9)
      const middle = (lightest + heaviest) / 2
      expect(shares.filter(one => one <= middle + 1e-9).length).toBeGreaterThanOrEqual(of / 2)
      expect(shares.filter(one => one >= middle - 1e-9).length).toBeGreaterThanOrEqual(of / 2)
    }),
    { numRuns: 200 },
  )
})

test('it says where it comes from', () => {
  expect(sayBand(USUAL_BAND)).toBe(
    '90 % to 115 % of the dry weight: common practice, no source, until 20 bundles of this fibre by this route were weighed back here',
  )
  expect(sayBand(weightBand('iron', times(24, 0.97)))).toBe(
    '93 % to 101 % of the dry weight: 97 % is usual for this fibre by this route, give or take 4 %, by the last 24 bundles weighed back here',
  )
})
