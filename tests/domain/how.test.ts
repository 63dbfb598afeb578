import { describe, expect, test } from 'vitest'
import { dividedBy, howOf, measure, plainNumber, product, times } from '../../src/domain/how.js'
import { tested } from './recipe-kit.js'

describe('a product that can show itself', () => {
  const inputs = [
    times('dry weight', 5, 'g', tested),
    times('dye', 2, '% owf', tested),
    dividedBy('strength', 4, '', tested),
  ]

  test('multiplies, divides, and takes per cent as hundredths', () => {
    expect(product(inputs)).toBeCloseTo(0.025, 12)
    expect(product([])).toBe(1)
    expect(product([times('a', 50, '%', tested)])).toBe(0.5)
    expect(product([times('a', 8, 'g', tested), dividedBy('b', 50, '% of it', tested)])).toBe(16)
  })

  test('prints the formula in words and in numbers, and keeps the inputs', () => {
    const how = howOf(inputs, 'g')
    expect(how.words).toBe('dry weight × dye ÷ strength')
    expect(how.numbers).toBe('5 g × 2 % owf ÷ 4 = 0.025 g')
    expect(how.inputs).toEqual(inputs)
    expect(how.inputs[2]).toEqual({ label: 'strength', value: 4, unit: '', by: 'divided by', provenance: tested })
    expect(how.inputs[0]).toEqual({ label: 'dry weight', value: 5, unit: 'g', by: 'times', provenance: tested })
  })

  test.each([
    [0, '0'],
    [1, '1'],
    [236.6, '236.6'],
    [1 / 3, '0.333333'],
    [12_345_678, '12345700'],
    [0.000_001, '0.000001'],
    [0.000_000_25, '0.00000025'],
    [-0.000_000_25, '-0.00000025'],
    [-2.5, '-2.5'],
    [1e-20, '0'],
  ])('%d is printed as %s, never in powers of ten', (value, printed) => {
    expect(plainNumber(value)).toBe(printed)
  })

  test('a measure without a unit is a bare number', () => {
    expect(measure(2, '')).toBe('2')
    expect(measure(2, 'mL')).toBe('2 mL')
  })
})
