import { describe, expect, test } from 'vitest'
import type { How } from '../../src/domain/recipe.js'
import { Refusal } from '../../src/domain/refusal.js'
import { given, MEASURED, measured, type Working, within, working } from '../../src/domain/working.js'
import { workedAgain } from './working-numbers.js'

const dry = measured('dry weight', 500, 'g')
const owf = given('dye', { value: 2.5, provenance: { kind: 'handbook', source: 'Beech 1901, p. 262' } }, '% owf')

test('a formula is filled with labels, and again with numbers', () => {
  const how = working(
    '{dry} × {owf} ÷ 100 + {dry} × 0',
    { dry, owf },
    { label: 'dye to weigh', value: 12.5, unit: 'g' },
  )
  expect(how).toEqual({
    words: 'dye to weigh = dry weight × dye ÷ 100 + dry weight × 0',
    numbers: '500 g × 2.5 % owf ÷ 100 + 500 g × 0 = 12.5 g',
    inputs: [
      { label: 'dry weight', value: 500, unit: 'g', provenance: MEASURED },
      { label: 'dye', value: 2.5, unit: '% owf', provenance: { kind: 'handbook', source: 'Beech 1901, p. 262' } },
    ],
  })
})

test('six figures, no unit where there is none', () => {
  const { numbers } = working(
    '{third}',
    { third: measured('a third', 1 / 3, '') },
    { label: 'x', value: 1e-7, unit: '' },
  )
  expect(numbers).toBe('0.333333 = 0.0000001')
})

test('an input that the formula forgets, or a figure that is none, is a fault of the program', () => {
  const result = { label: 'x', value: 1, unit: 'g' }
  expect(() => working('{dry}', { dry, owf }, result)).toThrow('the formula {dry} does not use owf')
  expect(() => working('{dry}', { dry }, { ...result, value: Number.NaN })).toThrow('must be finite')
})

test('how a recipe line was reckoned can be shown as any working', () => {
  const line: How = { words: 'w', numbers: 'n', inputs: [{ ...dry, by: 'times' }] }
  const shown: Working = line
  expect(shown.inputs[0]?.label).toBe('dry weight')
})

describe('limits', () => {
  test('are inclusive', () => {
    for (const value of [1, 40, 500]) expect(() => within({ ...dry, value }, 1, 500)).not.toThrow()
  })
  test.each([
    [0.5, 'The dry weight must be from 1 to 500 g, not 0.5 g.'],
    [501, 'The dry weight must be from 1 to 500 g, not 501 g.'],
    [Number.NaN, 'The dry weight must be from 1 to 500 g.'],
    [Number.POSITIVE_INFINITY, 'The dry weight must be from 1 to 500 g.'],
  ])('%d is refused', (value, sentence) => {
    expect(() => within({ ...dry, value }, 1, 500)).toThrow(new Refusal('wrong', sentence))
  })
})

test('the checker itself keeps to the order of working', () => {
  const numbers = '2 g + 3 × (4 − 1) ÷ 2 − −1 = 7.5 g'
  expect(workedAgain({ words: '', numbers, inputs: [] })).toEqual({ left: 7.5, right: 7.5 })
})
