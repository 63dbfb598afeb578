import { describe, expect, test } from 'vitest'
import { readNumber } from '../../src/domain/read-number.js'

const plain = { label: 'share', example: '3' }
const liquor = { label: 'liquor ratio', unit: 'L/kg', example: '20', min: 2, max: 200 }
const regain = { label: 'regain', unit: '% of oven-dry weight', example: '12' }

describe('a plain figure', () => {
  test.each([
    ['3', 3],
    ['0,5', 0.5],
    ['.25', 0.25],
    ['1½', 1.5],
    ['¾', 0.75],
    ['0', 0],
  ])('%s is %d', (typed, value) => {
    expect(readNumber(typed, plain)).toEqual({ ok: true, value })
  })

  test.each([
    ['', 'Enter the share, for example 3.'],
    ['three', 'Enter the share'],
    ['3 g', 'Enter the share as a plain figure, for example 3.'],
    ['3 kg 2 g', 'as a plain figure'],
    ['-1', 'Less than 0 cannot be entered'],
    ['1,234', '1.234'],
    ['3-4', 'one figure'],
  ])('%s is asked back', (typed, words) => {
    const answer = readNumber(typed, plain)
    expect(answer.ok).toBe(false)
    if (!answer.ok) expect(answer.sentence).toContain(words)
  })
})

describe('a figure with a unit on its label', () => {
  test.each(['20', '20 L/kg', '20L/kg', '20 l/kg', '1 : 20', '1:20', ' 1: 20 L/kg'])('takes %s', typed => {
    expect(readNumber(typed, liquor)).toEqual({ ok: true, value: 20 })
  })

  test('takes the first word of a longer unit', () => {
    expect(readNumber('12 %', regain)).toEqual({ ok: true, value: 12 })
    expect(readNumber('12% of oven-dry weight', regain)).toEqual({ ok: true, value: 12 })
  })

  test.each([
    ['20 kg', 'Enter the liquor ratio in L/kg, for example 20.'],
    ['1 : 1', 'Less than 2 L/kg cannot be entered'],
    ['2 : 20', 'cannot be read'],
    ['1', 'Less than 2 L/kg cannot be entered'],
    ['201', 'More than 200 L/kg cannot be entered'],
    ['12 of', 'Enter'],
  ])('asks %s back', (typed, words) => {
    const answer = readNumber(typed, liquor)
    expect(answer.ok).toBe(false)
    if (!answer.ok) expect(answer.sentence).toContain(words)
  })

  test('takes its bounds themselves', () => {
    expect(readNumber('2', liquor)).toEqual({ ok: true, value: 2 })
    expect(readNumber('200', liquor)).toEqual({ ok: true, value: 200 })
  })
})
