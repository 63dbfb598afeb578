import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { fewestPots, inUse, leastLeft, smallestPots } from '../../src/domain/fewest-pots.js'
import { lotsTogether } from '../../src/domain/lots-together.js'
import { potsNeededAtLeast } from '../../src/domain/pot-bounds.js'
import { evenOut, mostEven } from '../../src/domain/pot-evening.js'
import { unevennessAhead, unevennessOf } from '../../src/domain/pot-evenness.js'
import { fillOneByOne } from '../../src/domain/pot-filling.js'
import {
  arrange,
  lotsOf,
  type PackedBundle,
  type PackedPot,
  placementOf,
  put,
  splitsIn,
  splitsOf,
  takeOut,
  weightOf,
} from '../../src/domain/pot-packing.js'
import { type Score, search } from '../../src/domain/pot-search.js'
import { heaviestFirst, lotsByWeight, reorder, unitOf } from '../../src/domain/pot-stage.js'

const times = (count: number, value: number) => Array.from({ length: count }, () => value)
const potsOf = (...holds: number[]): PackedPot[] =>
  holds.map((each, place) => ({ place, holds: each, load: 0, lots: new Map() }))

/** Bundles of these weights; `lots` numbers their lots, all of one lot when not given. */
function bundlesOf(weights: readonly number[], lots: readonly number[] = []): PackedBundle[] {
  const known = new Map<number, { pots: number }>()
  return weights.map((weight, index) => {
    const number = lots[index] ?? 1
    const lot = known.get(number) ?? { pots: 0 }
    known.set(number, lot)
    return { weight, lot, pot: undefined }
  })
}

const anything: Score = { left: Infinity, splits: Infinity, unevenness: Infinity }
const everything: Score = { ...anything, left: 0 }
const places = (placement: readonly (PackedPot | undefined)[] | undefined) => placement?.map(pot => pot?.place)
const empty = (bundles: readonly PackedBundle[], pots: readonly PackedPot[]) => {
  expect(bundles.every(bundle => bundle.pot === undefined && bundle.lot.pots === 0)).toBe(true)
  expect(pots.every(pot => pot.load === 0 && pot.lots.size === 0)).toBe(true)
}

describe('putting bundles in and taking them out', () => {
  test('loads, lots and splits are kept', () => {
    const [a, b, c] = bundlesOf([3, 4, 5], [1, 1, 2])
    const [here, there] = potsOf(20, 20)
    if (!(a && b && c && here && there)) throw new Error('the cast is missing')
    put(a, here)
    put(b, here)
    put(c, here)
    expect([here.load, a.lot.pots, c.lot.pots, here.lots.get(a.lot), splitsOf([a.lot, c.lot])]).toEqual([
      12, 1, 1, 2, 0,
    ])
    takeOut(b)
    put(b, there)
    expect([here.load, there.load, a.lot.pots, here.lots.get(a.lot), splitsOf([a.lot, c.lot])]).toEqual([8, 4, 2, 1, 1])
    takeOut(a)
    expect([here.lots.has(a.lot), a.lot.pots, a.pot]).toEqual([false, 1, undefined])
    takeOut(a)
    expect([here.load, a.lot.pots]).toEqual([5, 1])
  })

  test('a placement is written down and made again', () => {
    const bundles = bundlesOf([3, 4, 5], [1, 1, 2])
    const pots = potsOf(20, 20)
    const placement = [pots[0], pots[1], undefined]
    arrange(bundles, placement)
    expect(placementOf(bundles)).toEqual(placement)
    arrange(bundles, [pots[1], pots[1], pots[0]])
    expect(pots.map(pot => pot.load)).toEqual([5, 7])
    arrange(bundles, [])
    empty(bundles, pots)
    expect(splitsIn(bundles, placement)).toBe(1)
    empty(bundles, pots)
    expect([weightOf(bundles), lotsOf(bundles).size]).toEqual([12, 2])
  })
})

describe('orders', () => {
  test('heaviest first, a lot side by side, lots by their weight', () => {
    const bundles = bundlesOf([2, 5, 2, 5, 2], [1, 2, 2, 1, 1])
    const [a, b, c, d, e] = bundles
    expect(heaviestFirst(bundles)).toEqual([d, b, a, e, c])
    expect(heaviestFirst(bundles).map(bundle => bundles.indexOf(bundle))).toEqual([3, 1, 0, 4, 2])
    expect(lotsByWeight(bundles).map(lot => lot.map(bundle => bundles.indexOf(bundle)))).toEqual([
      [3, 0, 4],
      [1, 2],
    ])
    expect(lotsByWeight(bundlesOf([1, 9], [1, 2])).map(weightOf)).toEqual([9, 1])
    expect(lotsByWeight(bundlesOf([5, 2, 2, 2], [1, 2, 2, 2])).map(weightOf)).toEqual([6, 5])
    const [pot] = potsOf(9)
    expect(
      reorder(
        [a, b, c].filter(each => each !== undefined),
        [pot, undefined, pot],
        [c, b, a].filter(each => each !== undefined),
      ),
    ).toEqual([pot, undefined, pot])
  })

  test('the unit of all weights', () => {
    expect(unitOf(bundlesOf([150, 200, 350]))).toBe(50)
    expect(unitOf(bundlesOf([7]))).toBe(7)
    expect(unitOf([])).toBe(0)
  })
})

describe('searching', () => {
  const find = (
    weights: number[],
    holds: number[],
    more: { lots?: number[]; limits?: Partial<Score>; goal?: keyof Score; enough?: number; steps?: number } = {},
  ) => {
    const bundles = bundlesOf(weights, more.lots)
    const pots = potsOf(...holds)
    const purse = { steps: more.steps ?? 100_000 }
    const limits = { ...everything, ...more.limits }
    const outcome = search({ bundles, pots, limits, goal: more.goal ?? 'left', enough: more.enough ?? 0, purse })
    empty(bundles, pots)
    return { ...outcome, places: places(outcome.placement), used: (more.steps ?? 100_000) - purse.steps }
  }

  test('nothing to place is placed', () => {
    expect(find([], [5])).toMatchObject({ places: [], finished: true })
  })

  test('fills the pot that leaves least room first, and stops at what is enough', () => {
    // Three bundles, two pots, no turning back: four turns of two steps.
    expect(find([5, 3, 2], [9, 5])).toMatchObject({ places: [1, 0, 0], finished: true, used: 8 })
  })

  test('turns back from a first choice that was wrong', () => {
    expect(find([5, 4, 3, 3, 3], [9, 9]).places).toEqual([0, 0, 1, 1, 1])
    expect(find([6, 5, 4, 3], [11, 7]).places?.map(place => place)).toEqual([0, 0, 1, 1])
  })

  test('says that there is none, and is sure', () => {
    expect(find([5, 5, 5], [9, 9])).toMatchObject({ placement: undefined, finished: true })
    expect(find([3, 3, 3], [2, 9, 2, 2])).toMatchObject({ places: [1, 1, 1], finished: true })
  })

  test('is not sure when its purse is empty', () => {
    expect(find([5, 3, 2], [9, 5], { steps: 7 })).toMatchObject({ placement: undefined, finished: false })
    expect(find([5, 3, 2], [9, 5], { steps: 8 })).toMatchObject({ finished: true })
  })

  test('alike bundles and alike pots are not tried over and over', () => {
    // Seven bundles where six fit: knowing which are alike, a few dozen turns make it sure.
    const outcome = find(times(7, 2), times(3, 5))
    expect(outcome).toMatchObject({ placement: undefined, finished: true })
    expect(outcome.used).toBeLessThanOrEqual(69)
    const unalike = find([6, 5, 5, 5, 4, 4], times(4, 9))
    expect(unalike.used).toBeLessThanOrEqual(4 * 60)
  })

  test('room too small for any bundle does not count as room', () => {
    // 4 + 4 leave 1 in each pot: 3 g of room for 3 g, but none for a bundle of 3 g.
    const outcome = find([4, 4, 4, 4, 4, 4, 3], times(3, 9))
    expect(outcome).toMatchObject({ placement: undefined, finished: true })
    expect(outcome.used).toBeLessThanOrEqual(33)
  })

  test('leaves out as little as possible', () => {
    expect(find([6, 5, 4, 3], [9], { limits: { left: Infinity } })).toMatchObject({
      finished: true,
      places: [0, undefined, undefined, 0],
    })
    expect(find([5, 5, 5], [5], { limits: { left: 9 } })).toMatchObject({ placement: undefined, finished: true })
    expect(find([5, 5, 5], [5], { limits: { left: 10 } }).places).toEqual([0, undefined, undefined])
    const stopped = find([6, 5, 4, 3], [9], { limits: { left: Infinity }, enough: 10 })
    expect(stopped.places).toEqual([0, undefined, undefined, 0])
    const first = find([7, 5, 4], [9], { limits: { left: Infinity }, enough: 9 })
    expect(first.places).toEqual([0, undefined, undefined])
    expect(find([7, 5, 4], [9], { limits: { left: Infinity } }).places).toEqual([undefined, 0, 0])
  })

  test('alike bundles are left out from the end', () => {
    const outcome = find(times(9, 4), [9], { limits: { left: Infinity } })
    expect(outcome.places).toEqual([0, 0, ...Array.from({ length: 7 }, () => undefined)])
    expect(outcome.used).toBeLessThanOrEqual(24)
  })

  test('pots that only look alike are all tried', () => {
    // Both pots hold 4 and 3 when 5 comes: only beside the 3 does everything go in.
    expect(find([4, 3, 5, 6, 2], [10, 10]).places).toEqual([0, 1, 1, 0, 1])
    // Of equal load, but with other lots in them; with one lot more in one of them.
    expect(find([3, 3, 2, 2], [5, 5], { lots: [1, 2, 2, 1], limits: { splits: 0 } }).places).toEqual([0, 1, 1, 0])
    expect(find([4, 2, 2, 1], [5, 5], { lots: [1, 1, 2, 2], limits: { splits: 1 } }).places).toEqual([0, 1, 1, 1])
  })

  test('the order in which the pots come does not matter', () => {
    const pots = potsOf(3, 3)
    const limits = everything
    const purse = { steps: 100 }
    const search2 = {
      bundles: bundlesOf([3, 3]),
      pots: [...pots].reverse(),
      limits,
      goal: 'left' as const,
      enough: 0,
      purse,
    }
    expect(places(search(search2).placement)).toEqual([0, 1])
  })

  test('tries first where its lot is, then where least room is left, or the emptiest when that is the goal', () => {
    const firstTry = (weights: number[], holds: number[], lots: number[]) =>
      find(weights, holds, { lots, steps: (weights.length + 1) * holds.length }).places
    expect(firstTry([3, 8, 2], [10, 10], [1, 2, 1])).toEqual([0, 1, 0])
    expect(firstTry([6, 4, 2], [11, 10], [1, 1, 1])).toEqual([1, 1, 0])
    expect(firstTry([6, 4], [11, 10], [1, 1])).toEqual([1, 1])
    expect(firstTry([6, 1, 2], [15, 10], [1, 2, 3])).toEqual([1, 1, 1])
    const even = (weights: number[], holds: number[]) =>
      find(weights, holds, {
        goal: 'unevenness',
        limits: { unevenness: 1 },
        steps: (weights.length + 1) * holds.length,
      }).places
    expect(even([5, 4, 3], [12, 12])).toEqual([0, 1, 1])
    expect(even([5, 4, 3], [10, 30])).toEqual([1, 1, 0])
  })

  test('keeps to the splits that are allowed, and makes them fewer', () => {
    const lots = [1, 1, 2, 2]
    expect(find([4, 4, 4, 4], [8, 8], { lots, limits: { splits: 0 } }).places).toEqual([0, 0, 1, 1])
    expect(find([4, 4, 4, 4, 4], [12, 8], { lots: [1, 1, 2, 2, 2], limits: { splits: 0 } }).places).toEqual([
      1, 1, 0, 0, 0,
    ])
    expect(
      find([4, 4, 4, 4, 4, 4], [12, 12], { lots: [1, 1, 2, 2, 3, 3], limits: { splits: 0 } }).placement,
    ).toBeUndefined()
    const fewest = find([5, 3, 4, 4], [9, 9], { lots: [1, 1, 2, 2], goal: 'splits' })
    expect(fewest.places).toEqual([0, 0, 1, 1])
    const one = find([4, 4, 4, 4, 4, 4], [12, 12], { lots: [1, 1, 2, 2, 3, 3], goal: 'splits' })
    expect(one).toMatchObject({ places: [0, 0, 0, 1, 1, 1], finished: true })
  })

  test('makes the fills alike', () => {
    const outcome = find([5, 5, 4, 4, 3, 3, 3], times(3, 12), { goal: 'unevenness', limits: { unevenness: 1 } })
    const loads = [0, 1, 2].map(pot =>
      weightOf(bundlesOf([5, 5, 4, 4, 3, 3, 3]).filter((_, index) => outcome.places?.[index] === pot)),
    )
    expect(loads).toEqual([9, 9, 9])
    const near = find([3, 3, 2, 2, 2], [20, 10], { goal: 'unevenness', limits: { unevenness: 1 } })
    expect(near.finished).toBe(true)
    expect(near.places).toEqual([0, 0, 0, 1, 1])
  })

  test('what cannot become more even is given up early', () => {
    const outcome = find([90, 9, 8, 7, 6, 5, 4, 3, 2, 1], times(3, 100), {
      goal: 'unevenness',
      limits: { unevenness: 1 },
    })
    expect(outcome.finished).toBe(true)
    expect(outcome.used).toBeLessThanOrEqual(3 * 1500)
  })
})

describe('evenness', () => {
  test('reckoned by hand', () => {
    const bundles = bundlesOf([6, 2])
    const pots = potsOf(10, 10)
    arrange(bundles, pots)
    expect(unevennessOf(pots)).toBeCloseTo(0.04, 15) // fills .6 and .2 about .4
    // 4 more, poured, would make both 6; 2 more would leave 6 and 4.
    expect(unevennessAhead(pots, 4)).toBeCloseTo(0, 15)
    expect(unevennessAhead(pots, 2)).toBeCloseTo(0.01, 15)
    expect(unevennessAhead(pots, 8)).toBeCloseTo(0, 15)
    expect(unevennessAhead(potsOf(10, 30), 8)).toBeCloseTo(0, 15)
  })

  test('what lies ahead is never overrated', () => {
    const job = fc.record({
      inPots: fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 3, maxLength: 3 }),
      holds: fc.array(fc.integer({ min: 5, max: 30 }), { minLength: 3, maxLength: 3 }),
      rest: fc.array(fc.integer({ min: 1, max: 9 }), { maxLength: 4 }),
    })
    fc.assert(
      fc.property(job, ({ inPots, holds, rest }) => {
        const pots = potsOf(...holds)
        arrange(bundlesOf(inPots), pots)
        const ahead = unevennessAhead(
          pots,
          rest.reduce((a, b) => a + b, 0),
        )
        const reach = ([weight, ...others]: readonly number[]): number => {
          if (weight === undefined) return unevennessOf(pots)
          return Math.min(
            ...pots.map(pot => {
              pot.load += weight
              const best = reach(others)
              pot.load -= weight
              return best
            }),
          )
        }
        expect(ahead).toBeLessThanOrEqual(reach(rest) + 1e-12)
        expect(unevennessAhead(pots, 0)).toBeCloseTo(unevennessOf(pots), 12)
      }),
      { numRuns: 200 },
    )
  })
})

describe('filling one pot after the other', () => {
  const fill = (weights: number[], holds: number[]) => {
    const pots = potsOf(...holds)
    return places(fillOneByOne(bundlesOf(weights), pots))
  }

  test('to the brim, the heaviest first', () => {
    expect(fill([6, 5, 4, 3, 2], [10, 10])).toEqual([0, 1, 0, 1, 1])
    expect(fill([6, 6, 4, 4], [10, 10])).toEqual([0, 1, 0, 1])
    expect(fill([7, 3, 2], [5, 7])).toEqual([1, 0, 0])
    expect(fill([], [5])).toEqual([])
  })

  test('nothing when bundles are left over', () => {
    expect(fill([6, 6, 6], [10, 10])).toBeUndefined()
    expect(fill([6], [])).toBeUndefined()
  })

  test('gives up on one pot after some thousands of tries', () => {
    // Even weights never fill an odd pot to the brim: without an end this would take for ever.
    const even = Array.from({ length: 60 }, (_, index) => 2000 - 2 * index)
    expect(fill(even, times(30, 29_345))?.every(place => place !== undefined)).toBe(true)
  })

  test('as full as trying everything fills it, with the heaviest in it', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 30 }), { minLength: 1, maxLength: 9 }),
        fc.integer({ min: 30, max: 80 }),
        (some, holds) => {
          const weights = [...some].sort((a, b) => b - a)
          const rest = weights.slice(1)
          let fullest = 0
          for (let choice = 0; choice < 2 ** rest.length; choice += 1) {
            const weight =
              (weights[0] ?? 0) + rest.reduce((sum, each, index) => sum + (choice & (1 << index) ? each : 0), 0)
            if (weight <= holds) fullest = Math.max(fullest, weight)
          }
          const filled = fill(weights, [holds, 1000])
          expect(weightOf(bundlesOf(weights).filter((_, index) => filled?.[index] === 0))).toBe(fullest)
        },
      ),
      { numRuns: 150 },
    )
  })
})

describe('exchanging', () => {
  const evened = (weights: number[], lots: number[], holds: number[], start: number[]) => {
    const bundles = bundlesOf(weights, lots)
    const pots = potsOf(...holds)
    const placement = evenOut(
      bundles,
      pots,
      start.map(place => pots[place]),
    )
    empty(bundles, pots)
    return { bundles, pots, placement, places: places(placement) }
  }

  test('moves a bundle over', () => {
    expect(evened([1, 1, 1, 1], [1, 2, 3, 4], [4, 4], [0, 0, 0, 0]).places).toEqual([1, 1, 0, 0])
  })

  test('exchanges two where moving one would not do', () => {
    const { bundles, pots, placement } = evened([5, 4, 3, 2], [1, 2, 3, 4], [9, 9], [0, 0, 1, 1])
    arrange(bundles, placement)
    expect(pots.map(pot => pot.load)).toEqual([7, 7])
  })

  test('overfills no pot on the way', () => {
    expect(evened([5, 1], [1, 2], [10, 4], [0, 0]).places).toEqual([0, 1])
  })

  test('gathers a lot, even where that is less even', () => {
    expect(evened([4, 4, 4, 4], [1, 2, 1, 2], [8, 8], [0, 0, 1, 1]).places).toEqual([1, 0, 1, 0])
    expect(evened([2, 6], [1, 1], [8, 8], [0, 1]).places).toEqual([1, 1])
  })

  test('carries a whole lot at once', () => {
    const { places: at } = evened([2, 2, 2, 2, 2, 2], [1, 1, 2, 2, 3, 3], [12, 12], [0, 0, 0, 0, 0, 0])
    expect([at?.[0] === at?.[1], at?.[2] === at?.[3], at?.[4] === at?.[5]]).toEqual([true, true, true])
    expect(new Set(at).size).toBe(2)
  })

  test('carries the part of a lot that is in one pot at once', () => {
    // One 2 carried over would gather nothing and be less even; both gather the lot. Its 4 has no room the other way.
    expect(evened([2, 2, 4, 9, 92], [1, 1, 1, 2, 3], [13, 100], [0, 0, 1, 0, 1]).places).toEqual([1, 1, 1, 0, 1])
  })

  test('gathers by what comes back, too', () => {
    // The 3 of lot 1 goes for the 3 of lot 2 that lies with its own the other way round.
    expect(evened([3, 5, 3, 5], [1, 2, 2, 1], [8, 8], [0, 0, 1, 1]).places).toEqual([1, 0, 0, 1])
  })

  test('never spreads lots further, never becomes less even with as many splits, never overfills', () => {
    const job = fc.array(
      fc.record({ weight: fc.integer({ min: 1, max: 20 }), lot: fc.integer({ min: 1, max: 3 }), pot: fc.nat(2) }),
      { minLength: 1, maxLength: 12 },
    )
    fc.assert(
      fc.property(job, fc.array(fc.nat(15), { minLength: 3, maxLength: 3 }), (each, spare) => {
        const bundles = bundlesOf(
          each.map(one => one.weight),
          each.map(one => one.lot),
        )
        const holds = spare.map((more, pot) => more + 1 + weightOf(each.filter(one => one.pot === pot)))
        const pots = potsOf(...holds)
        const start = each.map(one => pots[one.pot])
        const uneven = (placement: typeof start) => {
          arrange(bundles, placement)
          return unevennessOf(pots)
        }
        const before = uneven(start)
        const placement = evenOut(bundles, pots, start)
        const after = uneven([...placement])
        expect(pots.every(pot => pot.load <= pot.holds)).toBe(true)
        const splits = [splitsIn(bundles, start), splitsIn(bundles, placement)] as const
        expect(splits[1]).toBeLessThanOrEqual(splits[0])
        if (splits[0] === splits[1]) expect(after).toBeLessThanOrEqual(before + 1e-12)
        expect(places(evenOut(bundles, pots, placement))).toEqual(places(placement))
      }),
      { numRuns: 150 },
    )
  })
})

describe('the stages, each by itself', () => {
  test('fewest pots: the largest, in their order', () => {
    const pots = potsOf(5, 9, 7, 9)
    const reached = fewestPots(bundlesOf([4, 4, 4, 4]), pots)
    expect(reached?.pots.map(pot => pot.place)).toEqual([1, 3])
    expect([reached?.is, reached?.atLeast]).toEqual([2, 2])
    expect(fewestPots(bundlesOf([4, 4]), potsOf(7))).toBeUndefined()
  })

  test('fewest pots: one more when trying everything rules out the number that the bounds allow', () => {
    // 34 g fill two pots of 17 g by every bound, but nothing goes with 11 to make 17.
    const holds = times(4, 17)
    expect(potsNeededAtLeast([11, 9, 7, 5, 2], holds)).toBe(2)
    const reached = fewestPots(bundlesOf([11, 9, 7, 5, 2]), potsOf(...holds))
    expect([reached?.is, reached?.atLeast]).toEqual([3, 3])
  })

  test('a known placement uses its pots', () => {
    const pots = potsOf(5, 9, 7)
    expect(inUse(pots, [pots[2], pots[0], pots[2]], 1)).toEqual({
      pots: [pots[0], pots[2]],
      placement: [pots[2], pots[0], pots[2]],
      is: 2,
      atLeast: 1,
    })
  })

  test('least left: the bound is a whole number of the unit', () => {
    // 5 of 4 into 7 + 6: 7 too much, so at least 8 must stay; in truth 12 do, and trying everything proves it.
    expect(leastLeft(bundlesOf(times(5, 4)), potsOf(7, 6))).toMatchObject({ is: 12, atLeast: 12 })
    expect(leastLeft(bundlesOf([4, 4]), potsOf(9))).toMatchObject({ is: 0, atLeast: 0 })
  })

  test('least left: a job with more bundles and pots than there are steps is still placed', () => {
    expect(leastLeft(bundlesOf(times(800, 3)), potsOf(...times(400, 3)))).toMatchObject({ is: 1200, atLeast: 1200 })
  })

  test('lots together: whole lots, then the heaviest opened', () => {
    const pots = potsOf(12, 12)
    const bundles = bundlesOf([4, 4, 4, 4, 4, 4], [1, 2, 3, 1, 2, 3])
    const start = [pots[0], pots[0], pots[0], pots[1], pots[1], pots[1]]
    expect(lotsTogether(bundles, pots, start)).toMatchObject({ is: 1, atLeast: 1 })
    const single = bundlesOf(times(6, 4))
    expect(lotsTogether(single, pots, start)).toMatchObject({ is: 1, atLeast: 1, placement: start })
    empty(bundles, pots)
  })

  test('lots together: whole lots go side by side where no single exchange would do', () => {
    // Five full pots, each of two lots that fill it; nothing can be moved, and hardly anything exchanged.
    const weights = [610, 390, 620, 380, 630, 370, 640, 360, 650, 350]
    const bundles = bundlesOf(
      weights.flatMap(weight => [weight - 203, 101, 102]),
      weights.flatMap((_, lot) => times(3, lot)),
    )
    const pots = potsOf(...times(5, 1000))
    const start = fewestPots(bundles, pots)
    expect(start?.is).toBe(5)
    expect(splitsIn(bundles, start?.placement ?? [])).toBeGreaterThan(0)
    const reached = lotsTogether(bundles, pots, start?.placement ?? [])
    expect([reached.is, reached.atLeast]).toEqual([0, 0])
    expect(splitsIn(bundles, reached.placement)).toBe(0)
  })

  test('lots together: lots larger than any pot are gathered by exchanging', () => {
    const weights = Array.from({ length: 60 }, (_, index) => 80 + ((index * 7919) % 211))
    const lots = weights.map((_, index) => index % 3)
    const bundles = bundlesOf(weights, lots)
    const pots = potsOf(...times(12, 1000))
    const start = fewestPots(bundles, pots)
    const before = splitsIn(bundles, start?.placement ?? [])
    const reached = lotsTogether(bundles, start?.pots ?? [], start?.placement ?? [])
    expect(reached.is).toBeLessThan(before * 0.6)
    expect(reached.is).toBe(splitsIn(bundles, reached.placement))
    expect(reached.atLeast).toBe(10)
  })

  test('smallest pots: the earlier of two alike, and none in use twice', () => {
    const pots = potsOf(6, 9, 6, 9)
    const bundles = bundlesOf([5, 5])
    const reached = {
      pots: [1, 3].map(place => pots[place]).filter(pot => pot !== undefined),
      placement: [pots[1], pots[3]],
      is: 2,
      atLeast: 2,
    }
    const smaller = smallestPots(bundles, reached, pots, 1)
    expect(smaller.pots.map(pot => pot.place).sort()).toEqual([0, 2])
    expect([smaller.is, smaller.atLeast]).toEqual([2, 2])
    expect(
      smallestPots(bundlesOf([8, 5]), reached, pots, 1)
        .pots.map(pot => pot.place)
        .sort(),
    ).toEqual([0, 1])
  })

  test('most even: searched where exchanging is stuck', () => {
    const pots = potsOf(40, 40)
    const bundles = bundlesOf([4, 9, 6, 4, 2, 7], [1, 2, 3, 4, 5, 6])
    const start = [pots[0], pots[1], pots[0], pots[1], pots[0], pots[1]]
    arrange(bundles, evenOut(bundles, pots, start))
    expect(pots.map(pot => pot.load)).toEqual([17, 15])
    const reached = mostEven(bundles, pots, start)
    arrange(bundles, reached.placement)
    expect(pots.map(pot => pot.load)).toEqual([16, 16])
    expect([reached.is, reached.atLeast]).toEqual([0, 0])
    arrange(bundles, [])
    empty(bundles, pots)
  })

  test('most even: one pot is even', () => {
    const pots = potsOf(9)
    expect(mostEven(bundlesOf([4]), pots, [pots[0]])).toEqual({ pots, placement: [pots[0]], is: 0, atLeast: 0 })
  })
})
