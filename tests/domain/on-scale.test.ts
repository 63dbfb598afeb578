import { describe, expect, test } from 'vitest'
import { isBelowScale, sayOnScale, stockFor } from '../../src/domain/on-scale.js'

test.each([
  [269.43, 1, '269 g'],
  [269.43, 0.1, '269.4 g'],
  [269.43, 5, '270 g'],
  [1234.4, 1, '1234 g'],
  [10, 1, '10 g'],
  [10.4, 1, '10 g'],
  [9.999, 1, '10 g'],
  [9.444, 1, '9.44 g'],
  [4.5612, 1, '4.56 g'],
  [0.0123, 1, '0.0123 g'],
  [0.3, 0.01, '0.3 g'],
  [0, 1, '0 g'],
  [2_000_000, 1, '2000000 g'],
] as const)('%d g on a scale of %d g reads %s', (grams, step, said) => {
  expect(sayOnScale(grams, step)).toBe(said)
})

describe('an amount too little for the scale', () => {
  test('is measured from a stock that the scale can weigh', () => {
    const stock = stockFor(4.56, 'g', 1)
    expect(stock?.short).toBe('weigh 10 g, make it up with water to 200 mL, and measure off 91.2 mL')
    expect(stock?.sentence).toMatch(/^4\.56 g is too little for a scale with steps of 1 g: .* Here: weigh 10 g, /)
    expect(stock?.hows).toHaveLength(3)
  })

  test('on a finer scale is measured from a weaker stock', () => {
    expect(stockFor(0.46, 'g', 0.1)?.short).toBe('weigh 1 g, make it up with water to 100 mL, and measure off 46 mL')
    expect(stockFor(0.05, 'g', 0.01)?.short).toBe('weigh 1 g, make it up with water to 100 mL, and measure off 5 mL')
    expect(stockFor(45, 'g', 5)?.short).toBe('weigh 50 g, make it up with water to 1000 mL, and measure off 900 mL')
  })

  test('begins below the tenfold of a step, and is never a volume or nothing', () => {
    expect(isBelowScale(10, 'g', 1)).toBe(false)
    expect(isBelowScale(9.99, 'g', 1)).toBe(true)
    expect(stockFor(10, 'g', 1)).toBeNull()
    expect(stockFor(9.99, 'g', 1)).not.toBeNull()
    expect(stockFor(0, 'g', 1)).toBeNull()
    expect(stockFor(1, 'mL', 1)).toBeNull()
  })
})
