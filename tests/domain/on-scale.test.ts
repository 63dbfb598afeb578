import { expect, test } from 'vitest'
import { isBelowScale, sayOnScale } from '../../src/domain/on-scale.js'

test.each([
  [269.43, 'g', 1, '269 g'],
  [269.43, 'g', 0.1, '269.4 g'],
  [269.43, 'g', 5, '270 g'],
  [1234.4, 'g', 1, '1234 g'],
  [10, 'g', 1, '10 g'],
  [9.999, 'g', 1, '10 g'],
  [4.5612, 'g', 1, '4.56 g'],
  [0.0123, 'g', 1, '0.0123 g'],
  [0.3, 'g', 0.01, '0.3 g'],
  [19.6234, 'mL', 1, '19.6 mL'],
  [938.7, 'mL', 5, '939 mL'],
  [0, 'g', 1, '0 g'],
] as const)('%d %s on a scale of %d g reads %s', (amount, unit, step, said) => {
  expect(sayOnScale(amount, unit, step)).toBe(said)
})

test('a weight of fewer than ten steps is too little for the scale; a volume never is', () => {
  expect(isBelowScale(9.99, 'g', 1)).toBe(true)
  expect(isBelowScale(10, 'g', 1)).toBe(false)
  expect(isBelowScale(0, 'g', 1)).toBe(false)
  expect(isBelowScale(0.05, 'g', 0.01)).toBe(true)
  expect(isBelowScale(1, 'mL', 1)).toBe(false)
})
