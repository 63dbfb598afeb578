import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { nextWeighOut, weighOut } from '../../src/domain/weigh-out.js'

const steps = [0.01, 0.1, 0.5, 1, 2, 5]
const step = fc.constantFrom(...steps)
const amount = fc.double({ min: 0, max: 5000, noNaN: true })
const weight = fc.double({ min: 0.5, max: 3000, noNaN: true })
const weights = fc.array(weight, { minLength: 1, maxLength: 12 })
const sum = (values: number[]) => values.reduce((a, b) => a + b, 0)
const inSteps = (value: number, scaleStep: number) => Math.round(value / scaleStep)
const few = { numRuns: 200 }

/** Whole steps that the total is rounded to, halves up; amounts within a hair of a half are not asked. */
const clearOfHalf = (total: number, scaleStep: number) => Math.abs(((total / scaleStep) % 1) - 0.5) > 1e-6

describe('weighing out for all loads at once', () => {
  test('three loads, hand-reckoned: 10 g over 300, 300 and 100 g', () => {
    // Exact shares 4.286, 4.286, 1.429: rounded down 4, 4, 1, and the tenth gram goes where most was lost.
    expect(weighOut(10, [300, 300, 100], 1)).toEqual([4, 4, 2])
  })

  test('equal remainders: the earlier load gets the step', () => {
    expect(weighOut(10, [1, 1, 1], 1)).toEqual([4, 3, 3])
    expect(weighOut(11, [1, 1, 1], 1)).toEqual([4, 4, 3])
  })

  test('on a finer scale the shares come nearer', () => {
    expect(weighOut(10, [300, 300, 100], 0.1)).toEqual([4.3, 4.3, 1.4])
    expect(weighOut(10, [300, 300, 100], 0.01)).toEqual([4.29, 4.28, 1.43])
  })

  test('amounts are written without the dust of binary fractions', () => {
    expect(weighOut(0.9, [1, 1, 1], 0.1)).toEqual([0.3, 0.3, 0.3])
  })

  test('a share that is whole stays whole although the division leaves a hair', () => {
    // 0.7 / 0.1 is 6.999999999999999 in binary fractions.
    expect(weighOut(0.7, [5], 0.1)).toEqual([0.7])
    expect(weighOut(1.4, [2, 2], 0.1)).toEqual([0.7, 0.7])
  })

  test('the total is rounded to the scale, halves up', () => {
    expect(weighOut(10.4, [1, 1], 1)).toEqual([5, 5])
    expect(weighOut(10.5, [1, 1], 1)).toEqual([6, 5])
    expect(weighOut(12, [1, 2], 5)).toEqual([5, 5])
    expect(weighOut(0.35, [1], 0.1)).toEqual([0.4])
  })

  test('a load of no weight gets nothing', () => {
    expect(weighOut(10, [0, 300], 1)).toEqual([0, 10])
  })

  test('the parts add up to the rounded total', () => {
    fc.assert(
      fc.property(amount, weights, step, (total, loads, scaleStep) => {
        fc.pre(clearOfHalf(total, scaleStep))
        const parts = weighOut(total, loads, scaleStep)
        expect(sum(parts.map(part => inSteps(part, scaleStep)))).toBe(inSteps(total, scaleStep))
      }),
      few,
    )
  })

  // The quota rule of Balinski & Young 1982, Fair Representation: each share is its exact one, rounded down or up.
  test('each part is its exact share rounded down or up, and never negative', () => {
    fc.assert(
      fc.property(amount, weights, step, (total, loads, scaleStep) => {
        const parts = weighOut(total, loads, scaleStep)
        for (const [index, part] of parts.entries()) {
          const exact = (total * (loads[index] ?? 0)) / sum(loads)
          expect(part).toBeGreaterThanOrEqual(0)
          expect(Math.abs(part - exact)).toBeLessThan(scaleStep)
        }
      }),
      few,
    )
  })

  test('every load of a lot is at the same concentration, to the scale', () => {
    fc.assert(
      fc.property(
        amount,
        fc.array(fc.integer({ min: 50, max: 3000 }), { minLength: 1, maxLength: 8 }),
        (total, loads) => {
          const liquorLPerKg = 20
          const parts = weighOut(total, loads, 0.1)
          const concentration = total / ((sum(loads) / 1000) * liquorLPerKg)
          for (const [index, part] of parts.entries()) {
            const bathL = ((loads[index] ?? 0) / 1000) * liquorLPerKg
            expect(Math.abs(part / bathL - concentration)).toBeLessThan(0.1 / bathL)
          }
        },
      ),
      few,
    )
  })
})

describe('weighing out for loads that start one after another', () => {
  test('three alike loads of 10 g, whatever was rounded before', () => {
    expect(nextWeighOut(10, 900, 0, 300, 1)).toBe(3)
    expect(nextWeighOut(10, 900, 300, 300, 1)).toBe(4)
    expect(nextWeighOut(10, 900, 600, 300, 1)).toBe(3)
  })

  test('one load is the whole', () => {
    expect(nextWeighOut(12.34, 500, 0, 500, 0.1)).toBe(12.3)
    expect(nextWeighOut(0.9, 500, 0, 500, 0.1)).toBe(0.9)
  })

  test('in whatever order they start, they add up to the rounded total', () => {
    fc.assert(
      fc.property(amount, weights, step, (total, loads, scaleStep) => {
        fc.pre(clearOfHalf(total, scaleStep))
        const whole = sum(loads)
        let before = 0
        let given = 0
        for (const load of loads) {
          const part = nextWeighOut(total, whole, before, load, scaleStep)
          expect(part).toBeGreaterThanOrEqual(0)
          expect(Math.abs(part - (total * load) / whole)).toBeLessThanOrEqual(scaleStep * 1.000001)
          given += inSteps(part, scaleStep)
          before += load
        }
        expect(given).toBe(inSteps(total, scaleStep))
      }),
      few,
    )
  })

  test('more than the lot weighs is refused, the dust of adding up is not', () => {
    expect(() => nextWeighOut(10, 900, 600, 301, 1)).toThrow('weigh more than the whole lot')
    expect(() => nextWeighOut(10, 0, 0, 0, 1)).toThrow('weigh more than the whole lot')
    expect(nextWeighOut(10, 0.3, 0.1, 0.1 + 0.1, 1)).toBe(7)
    expect(nextWeighOut(10, 0.6, 0.1 + 0.2, 0.3, 1)).toBe(5)
  })
})

describe('what cannot be weighed out is asked about', () => {
  const asked = (attempt: () => unknown, words: string) => {
    expect(attempt).toThrow(expect.objectContaining({ name: 'Refusal', code: 'wrong' }))
    expect(attempt).toThrow(words)
  }

  test.each([0, -1, Number.NaN, Number.POSITIVE_INFINITY])('a scale that shows steps of %d', scaleStep => {
    asked(() => weighOut(10, [1], scaleStep), 'Give the smallest step that the scale shows, for example 0.1 g.')
    asked(() => nextWeighOut(10, 1, 0, 1, scaleStep), 'Give the smallest step that the scale shows')
  })

  test.each([-0.1, Number.NaN, Number.POSITIVE_INFINITY])('an amount of %d', total => {
    asked(() => weighOut(total, [1], 1), 'Give the amount to weigh out as a number that is not below zero.')
  })

  test.each([-1, Number.NaN, Number.POSITIVE_INFINITY])('a load of %d', load => {
    asked(() => weighOut(10, [100, load], 1), 'Give every dry weight as a number that is not below zero.')
    asked(() => nextWeighOut(10, 100, load, 1, 1), 'Give every dry weight')
  })

  test('no weight at all', () => {
    asked(() => weighOut(10, [], 1), 'Give the dry weight of at least one load.')
    asked(() => weighOut(10, [0, 0], 1), 'Give the dry weight of at least one load.')
  })

  test('nothing of something is fine', () => {
    expect(weighOut(0, [1, 2], 1)).toEqual([0, 0])
    expect(nextWeighOut(0, 2, 1, 1, 1)).toBe(0)
  })
})
