import { expect, test } from 'vitest'
import { sayRuns, sayRunsOf } from '../../src/domain/number-runs.js'

test.each([
  [[], ''],
  [[3], '3'],
  [[3, 4], '3, 4'],
  [[1, 2, 3, 4, 7], '1 to 4, 7'],
  [[12, 10, 11, 2, 2], '2, 10 to 12'],
])('%j', (numbers, words) => {
  expect(sayRuns(numbers)).toBe(words)
})

test.each([
  [[3], 11, '3 of 11'],
  [[11], 11, '11 of 11'],
  [[12], 11, '12 (11 in all)'],
  [[1, 2, 3, 12], 11, '1 to 3, 12 (11 in all)'],
])('%j of %i', (numbers, count, words) => {
  expect(sayRunsOf(numbers, count)).toBe(words)
})
