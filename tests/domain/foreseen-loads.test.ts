import { describe, expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { waysToCut } from '../../src/domain/foreseen-loads.js'
import { reckon } from '../../src/domain/reckon.js'
import { jobOf } from '../pots-kit.js'

// At 20 litres for each kilogram a litre holds 50 g.
const recipe = reckon(jobOf(1800), firstCatalogue)
const alike = (bundles: number, dryWeightG: number) =>
  Array.from({ length: bundles }, (_, index) => ({ id: index + 1, dryWeightG }))
const countsOf = (...asked: Parameters<typeof waysToCut>): number[][] =>
  waysToCut(...asked).map(way => way.map(load => load.length))

describe('the ways to cut a lot into loads', () => {
  const twelve = alike(12, 150)

  test('one for each size of pot that asks for more loads, fewest first, each filled alike', () => {
    expect(countsOf(twelve, recipe, [6000, 15_000, 9000, 15_000])).toEqual([
      [4, 4, 4],
      [3, 3, 3, 3],
      [2, 2, 2, 2, 2, 2],
    ])
  })

  test('in every way each bundle is in one load, and no load is heavier than the pot of that way', () => {
    const unlike = [70, 210, 140, 95, 310, 120, 55, 190].map((dryWeightG, index) => ({ id: index, dryWeightG }))
    const pots = [30_000, 12_000, 8000]
    const ways = waysToCut(unlike, recipe, pots)
    expect(ways.map(way => way.length)).toEqual([1, 2, 4])
    for (const [n, way] of ways.entries()) {
      expect(
        way
          .flat()
          .map(({ id }) => id)
          .sort((a, b) => a - b),
      ).toEqual([0, 1, 2, 3, 4, 5, 6, 7])
      for (const load of way)
        expect(load.reduce((sum, { dryWeightG }) => sum + dryWeightG, 0)).toBeLessThanOrEqual((pots[n] ?? 0) / 20)
    }
  })

  test('a pot that does not take every bundle whole, or no fewer at once, is no further way', () => {
    expect(countsOf(alike(2, 500), recipe, [24_000, 9000])).toEqual([[2]])
    expect(countsOf(twelve, recipe, [40_000, 38_000])).toEqual([[12]])
  })

  test('without a pot that takes it, it is one load, and a bundle too heavy for any is one by itself', () => {
    expect(countsOf(twelve, recipe, [])).toEqual([[12]])
    expect(countsOf([...alike(2, 150), { id: 9, dryWeightG: 900 }], recipe, [15_000])).toEqual([[2, 1]])
    expect(countsOf([], recipe, [15_000])).toEqual([[]])
  })
})
