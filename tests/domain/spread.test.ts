import fc from 'fast-check'
import { expect, test } from 'vitest'
import { quantile, spreadOf, withoutOutliers } from '../../src/domain/spread.js'

test('reckons a percentile as the published example does', () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods 7.2.6.2, the gauge study: p(N + 1) = 11.7, so 95.1981.
  const gauges = [
    95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.061, 95.1591, 95.1195, 95.1065, 95.0925, 95.199, 95.1682,
  ]
  expect(quantile(gauges, 0.9)).toBeCloseTo(95.1981, 4)
})

test.each([
  // Python 3 `statistics.quantiles(figures, n=4, method='exclusive')`, whose documentation names definition 6.
  [
    [60, 45, 90, 30, 75, 50],
    [41.25, 55, 78.75],
  ],
  [
    [1, 2, 3],
    [1, 2, 3],
  ],
  [
    [7, 7, 7, 9, 100, 3, 12, 5],
    [5.5, 7, 11.25],
  ],
])('reckons the quarters of %j as another library does', (figures, quarters) => {
  expect([0.25, 0.5, 0.75].map(p => quantile(figures, p))).toEqual(quarters)
})

test('one figure is its own middle, and no figure is none', () => {
  expect(spreadOf([40])).toEqual({ median: 40, lower: 40, upper: 40, count: 1, leftOut: 0 })
  expect(spreadOf([])).toBeNull()
})

test('leaves out what stands too far out, by the modified z-score', () => {
  // Median 50, MAD 10: 0.6745 * 51 / 10 = 3.44 stays, 0.6745 * 52 / 10 = 3.51 goes (NIST e-Handbook 1.3.5.17).
  expect(withoutOutliers([40, 40, 40, 50, 50, 60, 60, 101])).toContain(101)
  expect(withoutOutliers([40, 40, 40, 50, 50, 60, 60, 102])).not.toContain(102)
  expect(spreadOf([60, 70, 50, 65, 55, 9000])).toMatchObject({ median: 60, count: 5, leftOut: 1 })
})

test('where most are alike nothing is called too far out', () => {
  expect(withoutOutliers([60, 60, 60, 60, 600])).toEqual([60, 60, 60, 60, 600])
})

test('the middle lies between the quarters, these within what was measured, whatever the order', () => {
  const figures = fc.array(fc.double({ min: 0, max: 1e5, noNaN: true }), { minLength: 1, maxLength: 40 })
  fc.assert(
    fc.property(figures, some => {
      const spread = spreadOf(some)
      expect(spread).toEqual(spreadOf(some.toReversed()))
      if (spread === null) throw new Error('nothing of something')
      const { lower, median, upper, count, leftOut } = spread
      expect(count + leftOut).toBe(some.length)
      expect(lower).toBeGreaterThanOrEqual(Math.min(...some))
      expect(median).toBeGreaterThanOrEqual(lower)
      expect(upper).toBeGreaterThanOrEqual(median)
      expect(upper).toBeLessThanOrEqual(Math.max(...some))
      expect(count).toBeGreaterThan(some.length / 2 - 1)
    }),
    { numRuns: 200 },
  )
})
