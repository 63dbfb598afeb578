import { describe, expect, test } from 'vitest'
import { isAsComputed, isWeighedOut, readWeighed } from '../../src/domain/weighed.js'

const units = { weight: 'metric', volume: 'metric' } as const
const salt = { name: 'salt', unit: 'g' as const, gramsPerTeaspoon: null }

describe('what was weighed out', () => {
  test.each([
    ['0', 0],
    [' 0 g ', 0],
    ['0,0 kg', 0],
    ['18 g', 18],
    ['0.5 kg', 500],
  ])('“%s” is read', (typed, amount) => {
    expect(readWeighed(typed, salt, units)).toMatchObject({ ok: true, value: { amount, unit: 'g' } })
  })

  test.each(['', 'some', '-3 g', '0 spoons'])('“%s” is asked about, by the name of the substance', typed => {
    expect(readWeighed(typed, salt, units)).toMatchObject({ ok: false, sentence: expect.stringContaining('salt') })
  })

  test('is as computed to the last digits of a conversion', () => {
    expect([isAsComputed(29.57353, 29.57353 * (1 + 1e-12)), isAsComputed(0, 0)]).toEqual([true, true])
    expect([isAsComputed(30, 29.5), isAsComputed(30, 0), isAsComputed(0, 1)]).toEqual([false, false, false])
  })

  test('is known of a load when it is known of every line', () => {
    expect(isWeighedOut([{ weighed: { amount: 0 } }, { weighed: { amount: 3 } }])).toBe(true)
    expect(isWeighedOut([{ weighed: { amount: 3 } }, { weighed: null }])).toBe(false)
    expect(isWeighedOut([])).toBe(false)
  })
})
