import { describe, expect, test } from 'vitest'
import { readAmount } from '../../src/domain/read-amount.js'

const metric = { weight: 'metric', volume: 'metric' } as const
const us = { weight: 'pounds', volume: 'us' } as const
const bottled = { name: 'black dye', unit: 'mL', gramsPerTeaspoon: null } as const
const figure = { value: 4, provenance: { kind: 'own experience', source: 'weighed here' } } as const
const salt = { name: 'salt', unit: 'g', gramsPerTeaspoon: figure } as const
const alum = { name: 'alum', unit: 'g', gramsPerTeaspoon: null } as const

describe('how much was added', () => {
  test('a liquid by volume', () => {
    expect(readAmount('30 mL', bottled, metric)).toEqual({
      ok: true,
      value: { amount: 30, unit: 'mL', typed: '30 mL' },
    })
  })

  // NIST Handbook 44, Appendix C: a US teaspoon is 4.92892159375 mL.
  test('a liquid by the spoon, in the spoons of the workshop', () => {
    const inUs = readAmount('1 tsp', bottled, us)
    expect(inUs.ok && inUs.value.amount).toBeCloseTo(4.92892159375, 10)
    const inMetric = readAmount('1 tsp', bottled, metric)
    expect(inMetric.ok && inMetric.value.amount).toBe(5)
  })

  test('a powder by weight, or by the spoon where a spoonful is known', () => {
    expect(readAmount('12 g', salt, metric)).toMatchObject({ ok: true, value: { amount: 12, unit: 'g' } })
    const spoons = readAmount('2 tsp', salt, us)
    expect(spoons.ok && spoons.value.amount).toBeCloseTo(8, 10)
  })

  test('a powder by the spoon where a spoonful is not known asks for grams', () => {
    expect(readAmount('1 tsp', alum, metric)).toMatchObject({
      ok: false,
      sentence: expect.stringContaining('in grams'),
    })
  })

  test('a liquid is not weighed into millilitres', () => {
    expect(readAmount('30 g', bottled, metric)).toMatchObject({
      ok: false,
      sentence: expect.stringContaining('is a weight'),
    })
  })

  test.each(['', 'some', '30', '0 mL', '-3 mL', 'x'.repeat(10_000)])('%#: is asked about', typed => {
    expect(readAmount(typed, bottled, metric).ok).toBe(false)
    expect(readAmount(typed, salt, metric).ok).toBe(false)
  })
})
