import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { bathLPerKg, changedSince, weighOutLines } from '../../src/domain/load-share.js'
import type { Recipe } from '../../src/domain/recipe.js'
import { reckon } from '../../src/domain/reckon.js'
import { jobOf } from '../pots-kit.js'

const recipe = (dryWeightG: number, more = {}): Recipe => reckon(jobOf(dryWeightG, more), firstCatalogue)
const SALT = { extras: [{ substanceId: 'common-salt', basis: '% owf' as const, amount: 13.7 }] }
const SALT_BY_THE_BATH = { extras: [{ substanceId: 'common-salt', basis: 'per bath' as const, amount: 55.5 }] }

/** What is weighed out of one substance for loads of these weights, one after another. */
function amounts(weightsG: number[], substanceId: string, more: object, stepG: number): number[] {
  const totalG = weightsG.reduce((sum, weight) => sum + weight, 0)
  const whole = recipe(totalG, more)
  return weightsG.map((nowG, at) => {
    const beforeG = weightsG.slice(0, at).reduce((sum, weight) => sum + weight, 0)
    const lines = weighOutLines([whole], recipe(nowG, more), { totalG, beforeG, nowG }, stepG)
    return lines.find(line => line.substanceId === substanceId)?.amount ?? Number.NaN
  })
}

describe("a load's share", () => {
  test('loads of any weights add up to the whole on the scale, each within a step of its own share', () => {
    const weights = fc.array(fc.integer({ min: 100, max: 5000 }), { minLength: 1, maxLength: 6 })
    fc.assert(
      fc.property(weights, list => {
        const shares = amounts(list, 'common-salt', SALT, 1)
        const exact = list.reduce((sum, weight) => sum + weight, 0) * 0.137
        expect(shares.reduce((sum, share) => sum + share, 0)).toBe(Math.floor(exact + 0.5 + 1e-9))
        for (const [at, share] of shares.entries())
          expect(Math.abs(share - (list[at] ?? 0) * 0.137)).toBeLessThanOrEqual(1)
      }),
      { numRuns: 100 },
    )
  })

  test('loads of two lots by the same recipe, alone and together, add up to both on the scale', () => {
    const grams = fc.integer({ min: 100, max: 5000 })
    fc.assert(
      fc.property(grams, grams, grams, (alone, rest, other) => {
        const lots = [recipe(alone + rest, SALT), recipe(other, SALT)]
        const amountOf = (of: Recipe[], totalG: number, beforeG: number, nowG: number) =>
          weighOutLines(of, recipe(nowG, SALT), { totalG, beforeG, nowG }, 1).find(
            line => line.substanceId === 'common-salt',
          )?.amount ?? Number.NaN
        const first = amountOf(lots.slice(0, 1), alone + rest, 0, alone)
        const together = amountOf(lots, alone + rest + other, alone, rest + other)
        expect(first + together).toBe(Math.floor((alone + rest + other) * 0.137 + 0.5 + 1e-9))
      }),
      { numRuns: 100 },
    )
  })

  test('what goes by the bath is the same in every bath', () => {
    expect(amounts([300, 300, 100], 'common-salt', SALT_BY_THE_BATH, 1)).toEqual([56, 56, 56])
  })

  test('what the scale is too coarse for keeps three figures', () => {
    expect(amounts([40], 'common-salt', SALT, 5)).toEqual([5.48])
    expect(amounts([400], 'common-salt', SALT, 5)).toEqual([55])
  })
})

test('the room a bath takes is that of the largest bath, for each kilogram', () => {
  expect(bathLPerKg(recipe(750))).toBeCloseTo(20, 9)
  const vat = recipe(500, {
    route: 'indigo',
    dyes: [{ substanceId: 'indigo-fructose-vat', share: 1, owfPercent: null }],
  })
  expect(bathLPerKg(vat)).toBeCloseTo(vat.waterL / 0.5, 9)
})

describe('a recipe that was kept', () => {
  test('is the same as long as the catalogue says the same', () => {
    expect(changedSince(recipe(600, SALT), recipe(600, SALT))).toEqual([])
  })

  test('names what would be otherwise today', () => {
    const more = { extras: [{ substanceId: 'common-salt', basis: '% owf' as const, amount: 15 }] }
    expect(changedSince(recipe(600, SALT), recipe(600, more))).toEqual(['common salt'])
    expect(changedSince(recipe(600), recipe(600, { liquorRatioLPerKg: 25 }))).toContain('the water')
    expect(changedSince(recipe(600), { ...recipe(600), steps: [] })).toEqual(['the order of the steps'])
  })
})
