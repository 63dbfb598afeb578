import { expect, test } from 'vitest'
import { sayRuns } from '../../src/domain/number-runs.js'

test.each([
  [[], ''],
  [[3], '3'],
  [[3, 4], '3, 4'],
  [[1, 2, 3, 4, 7], '1 to 4, 7'],
  [[12, 10, 11, 2, 2], '2, 10 to 12'],
])('%j', (numbers, words) => {
  expect(sayRuns(numbers)).toBe(words)
})
