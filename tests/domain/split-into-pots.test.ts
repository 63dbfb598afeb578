import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type BundleToSplit, type FreePot, splitIntoPots } from '../../src/domain/split-into-pots.js'

const bundlesOf = (weights: readonly number[], lots: readonly number[] = []): BundleToSplit[] =>
  weights.map((dryWeightG, index) => ({ id: index + 1, dryWeightG, lotId: lots[index] ?? 1 }))
const potsOf = (...holds: number[]): FreePot[] => holds.map((holdsG, index) => ({ id: `P${index + 1}`, holdsG }))
const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0)
const weightOf = (bundles: readonly BundleToSplit[]) => sum(bundles.map(bundle => bundle.dryWeightG))
const alike = (count: number, weightG: number) => Array.from({ length: count }, () => weightG)

/** The weights in each pot in use, heaviest first. */
const loads = (split: ReturnType<typeof splitIntoPots>) =>
  split.pots.map(pot => pot.bundles.map(bundle => bundle.dryWeightG).sort((a, b) => b - a))

describe('a dozen alike bundles and what a dyer would do by hand', () => {
  test('into one pot when one holds them', () => {
    const split = splitIntoPots(bundlesOf(alike(4, 150)), potsOf(750, 750))
    expect(loads(split)).toEqual([alike(4, 150)])
    expect(split.proven).toBe(true)
    expect(split.left).toEqual({ bundles: [], dryWeightG: 0, sentence: undefined })
  })

  test('twelve of 150 g into three pots of 750 g: four each, not five, five and two', () => {
    const split = splitIntoPots(bundlesOf(alike(12, 150)), potsOf(750, 750, 750, 750))
    expect(loads(split)).toEqual([alike(4, 150), alike(4, 150), alike(4, 150)])
    expect(split.pots.map(pot => [pot.pot.id, pot.dryWeightG, pot.fill])).toEqual([
      ['P1', 600, 0.8],
      ['P2', 600, 0.8],
      ['P3', 600, 0.8],
    ])
    expect(split.figures.pots).toEqual({ is: 3, atLeast: 3, gap: 0, proven: true })
    expect(split.figures.lotSplits).toEqual({ is: 2, atLeast: 2, gap: 0, proven: true })
    expect(split.figures.unevenness).toEqual({ is: 0, atLeast: 0, gap: 0, proven: true })
  })

  test('seven into three: three, two and two is as even as it goes, and known to be', () => {
    const split = splitIntoPots(bundlesOf(alike(7, 100)), potsOf(300, 300, 300))
    expect(
      loads(split)
        .map(load => load.length)
        .sort(),
    ).toEqual([2, 2, 3])
    // Fills 1, 2/3, 2/3 about 7/9: the root of the mean of (2/9)^2, (1/9)^2, (1/9)^2.
    expect(split.figures.unevenness.is).toBeCloseTo(Math.sqrt(6 / 81 / 3), 12)
    expect(split.proven).toBe(true)
  })

  test('pots of differing sizes are filled to the same height', () => {
    const split = splitIntoPots(bundlesOf(alike(12, 100)), potsOf(1000, 500))
    expect(split.pots.map(pot => pot.dryWeightG)).toEqual([800, 400])
  })

  test('the smallest pot that does is taken, and the large ones stay free', () => {
    const split = splitIntoPots(bundlesOf([100, 120]), potsOf(2000, 750, 250, 500))
    expect(split.pots.map(pot => pot.pot.id)).toEqual(['P3'])
  })

  test('bundles and pots come back as they were given, in the order given', () => {
    const bundles = bundlesOf([200, 300, 100, 400]).map(bundle => ({ ...bundle, tag: `T${bundle.id}` }))
    const pots = potsOf(500, 500).map(pot => ({ ...pot, burner: 'left' }))
    const split = splitIntoPots(bundles, pots)
    expect(split.pots.map(pot => pot.pot)).toEqual(pots)
    expect(split.pots.map(pot => pot.bundles.map(bundle => bundle.tag))).toEqual([
      ['T3', 'T4'],
      ['T1', 'T2'],
    ])
  })

  test('no bundles, no pots in use', () => {
    const split = splitIntoPots([], potsOf(750))
    expect([split.pots, split.left.sentence, split.proven]).toEqual([[], undefined, true])
    expect(splitIntoPots([], []).proven).toBe(true)
  })

  test('sixteen bundles of an ounce into a pot for a pound', () => {
    // 1 lb = 453.59237 g and 1 oz = a sixteenth of it exactly (international pound of 1959).
    const split = splitIntoPots(bundlesOf(alike(16, 28.349523125)), potsOf(453.59237))
    expect(split.pots[0]?.bundles).toHaveLength(16)
    expect(split.pots[0]?.dryWeightG).toBeCloseTo(453.59237, 5)
  })
})

describe('lots stay together where that costs no pot', () => {
  test('two lots, two pots: one each, although that is less even', () => {
    const split = splitIntoPots(bundlesOf([200, 200, 200, 100, 100], [1, 1, 1, 2, 2]), potsOf(650, 650))
    expect(split.pots.map(pot => new Set(pot.bundles.map(bundle => bundle.lotId)).size)).toEqual([1, 1])
    expect(split.figures.lotSplits).toEqual({ is: 0, atLeast: 0, gap: 0, proven: true })
  })

  test('a lot is divided rather than that a third pot is used', () => {
    const split = splitIntoPots(bundlesOf([200, 200, 200, 200, 200, 200], [1, 1, 2, 2, 3, 3]), potsOf(600, 600, 600))
    expect(split.pots).toHaveLength(2)
    expect(split.figures.lotSplits).toEqual({ is: 1, atLeast: 1, gap: 0, proven: true })
  })

  test('a lot heavier than any pot is divided no more than it must be', () => {
    const split = splitIntoPots(
      bundlesOf(alike(8, 200).concat(100, 100), [1, 1, 1, 1, 1, 1, 1, 1, 2, 2]),
      potsOf(1000, 1000),
    )
    expect(split.figures.lotSplits).toEqual({ is: 1, atLeast: 1, gap: 0, proven: true })
    expect(split.proven).toBe(true)
  })

  test('a larger pot is kept in use when the smaller would divide a lot', () => {
    const bundles = bundlesOf([300, 300, 300, 300, 300], [1, 1, 1, 2, 2])
    const split = splitIntoPots(bundles, potsOf(600, 900, 900))
    expect(split.pots.map(pot => pot.pot.id)).toEqual(['P1', 'P2'])
    expect(split.figures.lotSplits.is).toBe(0)
    expect(splitIntoPots(bundles, potsOf(750, 750, 900)).pots.map(pot => pot.pot.holdsG)).toEqual([750, 900])
  })
})

describe('when the best cannot be proven', () => {
  const weights = (count: number) => Array.from({ length: count }, (_, index) => 80 + ((index * 7919) % 211))

  test('the figures say how far from it the split can be at most', () => {
    const lots = weights(24).map((_, index) => index % 3)
    const split = splitIntoPots(bundlesOf(weights(24), lots), potsOf(...alike(8, 1046)))
    expect(split.proven).toBe(false)
    expect(split.figures.pots).toEqual({ is: 4, atLeast: 4, gap: 0, proven: true })
    const { is, atLeast, gap, proven } = split.figures.unevenness
    expect(proven).toBe(false)
    expect(gap).toBe(is - atLeast)
    expect(gap).toBeGreaterThan(0)
    expect(is).toBeLessThan(0.03)
  })

  test('a pot more than the bound is said to be one', () => {
    const fat = Array.from({ length: 40 }, (_, index) => 251 + ((index * 7919) % 199))
    const { pots } = splitIntoPots(bundlesOf(fat), potsOf(...alike(40, 1000))).figures
    expect(pots).toEqual({ is: 16, atLeast: 15, gap: 1, proven: false })
  })
})

describe('when not everything fits', () => {
  test('the least weight stays out, and the sentence says how much', () => {
    const split = splitIntoPots(bundlesOf([400, 300, 300, 200]), potsOf(600, 400))
    expect(loads(split).flat().sort()).toEqual([300, 300, 400])
    expect(split.left.bundles.map(bundle => bundle.dryWeightG)).toEqual([200])
    expect(split.left.dryWeightG).toBe(200)
    expect(split.left.sentence).toBe('1 bundle (200 g) does not fit: the free pots hold 1 kg in all.')
    expect(split.figures.leftG).toEqual({ is: 200, atLeast: 200, gap: 0, proven: true })
  })

  test('several stay out', () => {
    const split = splitIntoPots(bundlesOf(alike(5, 200)), potsOf(450))
    expect(split.left.sentence).toBe('3 bundles (600 g) do not fit: the free pots hold 450 g in all.')
    expect(split.proven).toBe(true)
  })

  test('one is heavier than any pot takes; the others go in', () => {
    const split = splitIntoPots(bundlesOf([900, 300, 300]), potsOf(750, 500))
    expect(loads(split)).toEqual([[300, 300]])
    expect(split.left.sentence).toBe(
      '1 bundle (900 g) does not fit: the heaviest weighs 900 g, the largest free pot holds 750 g.',
    )
    expect(split.figures.leftG).toEqual({ is: 900, atLeast: 900, gap: 0, proven: true })
  })

  test('one is too heavy and another has no room left', () => {
    const split = splitIntoPots(bundlesOf([900, 300, 300]), potsOf(400))
    expect(split.figures.leftG).toEqual({ is: 1200, atLeast: 1200, gap: 0, proven: true })
    expect(split.left.sentence).toBe(
      '2 bundles (1.2 kg) do not fit: the heaviest weighs 900 g, the largest free pot holds 400 g.',
    )
  })

  test('a bundle as heavy as the largest pot is not too heavy', () => {
    const split = splitIntoPots(bundlesOf([400, 400]), potsOf(400))
    expect(split.left.sentence).toBe('1 bundle (400 g) does not fit: the free pots hold 400 g in all.')
  })

  test('no pot is free', () => {
    const split = splitIntoPots(bundlesOf([100, 100]), [])
    expect(split.left.sentence).toBe('2 bundles (200 g) do not fit: no pot is free.')
    expect(split.figures.pots.is).toBe(0)
    expect(splitIntoPots(bundlesOf([100, 100]), potsOf(0)).left.bundles).toHaveLength(2)
  })

  test('the sentence is written in the units of the dyer', () => {
    const split = splitIntoPots(bundlesOf([900, 900]), potsOf(1000), weightG => `${weightG / 1000} kilos`)
    expect(split.left.sentence).toBe('1 bundle (0.9 kilos) does not fit: the free pots hold 1 kilos in all.')
  })
})

describe('what cannot be split is asked about', () => {
  test.each([0, -1, Number.NaN, Number.POSITIVE_INFINITY])('a bundle of %d g', dryWeightG => {
    const attempt = () => splitIntoPots(bundlesOf([100, dryWeightG]), potsOf(750))
    expect(attempt).toThrow(expect.objectContaining({ name: 'Refusal', code: 'wrong' }))
    expect(attempt).toThrow('Give the dry weight of every bundle before they are split over pots.')
  })

  test.each([-1, Number.NaN, Number.POSITIVE_INFINITY])('a pot for %d g', holdsG => {
    const attempt = () => splitIntoPots(bundlesOf([100]), potsOf(holdsG))
    expect(attempt).toThrow(expect.objectContaining({ name: 'Refusal', code: 'wrong' }))
    expect(attempt).toThrow('Give the dry weight that every free pot holds.')
  })
})

/** Every way of putting bundles into pots, or leaving them out (pot -1), that overfills none. */
function* placements(
  bundles: readonly BundleToSplit[],
  pots: readonly FreePot[],
  mayLeave: boolean,
): Generator<number[]> {
  const room = pots.map(pot => pot.holdsG)
  const chosen: number[] = []
  function* from(index: number): Generator<number[]> {
    const bundle = bundles[index]
    if (bundle === undefined) {
      yield chosen
      return
    }
    for (let pot = mayLeave ? -1 : 0; pot < pots.length; pot += 1) {
      const free = room[pot] ?? Number.POSITIVE_INFINITY
      if (bundle.dryWeightG > free) continue
      room[pot] = free - bundle.dryWeightG
      chosen[index] = pot
      yield* from(index + 1)
      room[pot] = free
    }
  }
  yield* from(0)
}

const leftG = (bundles: readonly BundleToSplit[], placement: readonly number[]) =>
  weightOf(bundles.filter((_, index) => placement[index] === -1))

const splitsOf = (bundles: readonly BundleToSplit[], placement: readonly number[]) =>
  new Set(bundles.map((bundle, index) => `${bundle.lotId} in ${placement[index]}`)).size -
  new Set(bundles.map(bundle => bundle.lotId)).size

/** Straight from its definition: root mean square distance of the fills from the common fill, weighted by size. */
function unevennessOf(
  bundles: readonly BundleToSplit[],
  placement: readonly number[],
  pots: readonly FreePot[],
  used: readonly number[],
) {
  const room = sum(used.map(pot => pots[pot]?.holdsG ?? 0))
  const common = weightOf(bundles) / room
  const squares = used.map(pot => {
    const holds = pots[pot]?.holdsG ?? 0
    const fill = weightOf(bundles.filter((_, index) => placement[index] === pot)) / holds
    return holds * (fill - common) ** 2
  })
  return Math.sqrt(sum(squares) / room)
}

/** Everything that the split claims, tried against every other way of doing it. */
function bruteForce(all: readonly BundleToSplit[], pots: readonly FreePot[], split: ReturnType<typeof splitIntoPots>) {
  let left = Number.POSITIVE_INFINITY
  for (const placement of placements(all, pots, true)) left = Math.min(left, leftG(all, placement))

  const bundles = split.pots.flatMap(pot => pot.bundles)
  const used = split.pots.map(pot => pots.indexOf(pot.pot))
  const fewest: number[] = []
  const unevenness: number[] = []
  const fewestSplits = new Map<string, number>()
  let least = Number.POSITIVE_INFINITY
  for (const placement of placements(bundles, pots, false)) {
    const inUse = [...new Set(placement)].sort((a, b) => a - b)
    if (inUse.length > least) continue
    if (inUse.length < least) fewestSplits.clear()
    least = inUse.length
    const splits = splitsOf(bundles, placement)
    const key = inUse.join()
    fewest.push(inUse.length)
    fewestSplits.set(key, Math.min(splits, fewestSplits.get(key) ?? splits))
    if (key === used.join() && splits <= split.figures.lotSplits.is)
      unevenness.push(unevennessOf(bundles, placement, pots, used))
  }
  return { left, pots: Math.min(...fewest), fewestSplits, unevenness: Math.min(...unevenness), used }
}

const smallJob = fc.record({
  weights: fc.array(fc.integer({ min: 1, max: 12 }), { minLength: 1, maxLength: 6 }),
  lots: fc.array(fc.integer({ min: 1, max: 3 }), { minLength: 6, maxLength: 6 }),
  holds: fc.array(fc.integer({ min: 3, max: 26 }), { minLength: 1, maxLength: 4 }),
})

describe('against every other way of doing it', () => {
  test('small jobs: least left, fewest pots, lots together, no pot too large, most even', () => {
    fc.assert(
      fc.property(smallJob, ({ weights, lots, holds }) => {
        const bundles = bundlesOf(
          weights.map(weight => weight * 50),
          lots,
        )
        const pots = potsOf(...holds.map(each => each * 50))
        const split = splitIntoPots(bundles, pots)
        const best = bruteForce(bundles, pots, split)
        expect(split.proven).toBe(true)
        expect(split.figures.leftG.is).toBe(best.left)
        if (split.pots.length === 0) return
        expect(split.figures.pots.is).toBe(best.pots)
        expect(split.figures.lotSplits.is).toBe(Math.min(...best.fewestSplits.values()))
        expect(split.figures.unevenness.is).toBeCloseTo(best.unevenness, 5)
        for (const exchanged of smallerSets(pots, best.used)) {
          expect(best.fewestSplits.get(exchanged) ?? Number.POSITIVE_INFINITY).toBeGreaterThan(
            split.figures.lotSplits.is,
          )
        }
      }),
      { numRuns: 200 },
    )
  })
})

/** The sets of pots that come of exchanging one pot in use for a smaller one that is not. */
function smallerSets(pots: readonly FreePot[], used: readonly number[]): string[] {
  const holds = (pot: number) => pots[pot]?.holdsG ?? 0
  const free = pots.map((_, pot) => pot).filter(pot => !used.includes(pot))
  return used.flatMap(large =>
    free
      .filter(small => holds(small) < holds(large))
      .map(small => [...used.filter(pot => pot !== large), small].sort((a, b) => a - b).join()),
  )
}

const anyJob = fc.record({
  weights: fc.array(fc.integer({ min: 30, max: 900 }), { minLength: 0, maxLength: 40 }),
  lots: fc.array(fc.integer({ min: 1, max: 5 }), { minLength: 40, maxLength: 40 }),
  holds: fc.array(fc.integer({ min: 0, max: 3000 }), { minLength: 0, maxLength: 8 }),
})

describe('whatever the job', () => {
  test('nothing is cut, lost or doubled, no pot overfilled, and every figure is what the pots show', () => {
    fc.assert(
      fc.property(anyJob, ({ weights, lots, holds }) => {
        const bundles = bundlesOf(weights, lots)
        const pots = potsOf(...holds)
        const split = splitIntoPots(bundles, pots)
        const found = [...split.pots.flatMap(pot => pot.bundles), ...split.left.bundles]
        expect(found.map(bundle => bundle.id).sort()).toEqual(bundles.map(bundle => bundle.id).sort())
        expect(new Set(split.pots.map(pot => pot.pot.id)).size).toBe(split.pots.length)
        for (const { pot, bundles: inIt, dryWeightG, fill } of split.pots) {
          expect(inIt.length).toBeGreaterThan(0)
          expect(dryWeightG).toBe(weightOf(inIt))
          expect(dryWeightG).toBeLessThanOrEqual(pot.holdsG)
          expect(fill).toBe(dryWeightG / pot.holdsG)
        }
        expect(split.left.dryWeightG).toBe(weightOf(split.left.bundles))
        expect(split.left.sentence === undefined).toBe(split.left.bundles.length === 0)
        expect(split.figures.leftG.is).toBe(split.left.dryWeightG)
        expect(split.figures.pots.is).toBe(split.pots.length)
        const placed = split.pots.flatMap((pot, index) => pot.bundles.map(bundle => ({ bundle, index })))
        const lotSplits = splitsOf(
          placed.map(each => each.bundle),
          placed.map(each => each.index),
        )
        expect(split.figures.lotSplits.is).toBe(lotSplits)
        for (const each of Object.values(split.figures)) {
          expect(each.gap).toBe(each.is - each.atLeast)
          expect(each.gap).toBeGreaterThanOrEqual(0)
          expect(each.proven).toBe(each.gap === 0)
        }
        expect(split.proven).toBe(Object.values(split.figures).every(each => each.proven))
      }),
      { numRuns: 100 },
    )
  })

  test('the same job always gets the same split, and the order of pots and bundles changes no figure that is proven', () => {
    fc.assert(
      fc.property(smallJob, ({ weights, lots, holds }) => {
        const bundles = bundlesOf(weights, lots)
        const pots = potsOf(...holds)
        const split = splitIntoPots(bundles, pots)
        expect(splitIntoPots(bundles, pots)).toEqual(split)
        const turned = splitIntoPots([...bundles].reverse(), [...pots].reverse())
        expect(turned.figures.leftG).toEqual(split.figures.leftG)
        if (split.left.bundles.length > 0) return
        expect(turned.figures.pots).toEqual(split.figures.pots)
        expect(turned.figures.lotSplits).toEqual(split.figures.lotSplits)
      }),
      { numRuns: 100 },
    )
  })
})
