/**
 * What no way of filling the pots can beat. Weights and limits are in one unit, the caller's.
 */

/**
 * Fewest pots that could hold these weights, when nothing is cut: a proven lower bound, the largest of three.
 * `Infinity` when all the pots together cannot.
 */
export function potsNeededAtLeast(weights: readonly number[], holds: readonly number[]): number {
  const largestFirst = [...holds].sort((a, b) => b - a)
  return Math.max(
    byWeight(weights, largestFirst),
    byNumber(weights, largestFirst),
    byBigAndSmall(weights, largestFirst),
  )
}

// Even if bundles could be cut, the largest pots must hold the whole weight.
function byWeight(weights: readonly number[], largestFirst: readonly number[]): number {
  const weight = weights.reduce((sum, each) => sum + each, 0)
  return potsUntil(largestFirst, weight, holds => holds)
}

// Each pot holds only so many bundles of at least this weight.
function byNumber(weights: readonly number[], largestFirst: readonly number[]): number {
  const needed = [...new Set(weights)].map(atLeast => {
    const bundles = weights.filter(weight => weight >= atLeast).length
    return potsUntil(largestFirst, bundles, holds => Math.floor(holds / atLeast))
  })
  return Math.max(0, ...needed)
}

/** How many of the pots, in their order, it takes until what they give reaches `wanted`. */
function potsUntil(pots: readonly number[], wanted: number, gives: (holds: number) => number): number {
  let given = 0
  let used = 0
  for (const holds of pots) {
    if (given >= wanted) return used
    given += gives(holds)
    used += 1
  }
  return given >= wanted ? used : Number.POSITIVE_INFINITY
}

/**
 * The bound L2 of Martello & Toth 1990 (Discrete Applied Mathematics 28, 59-70), as if every pot were the largest.
 * For each small weight s: bundles that leave less than s free take a pot each; the other bundles over half a pot
 * take a pot each too; and the bundles from s to half a pot must go beside the latter or into further pots.
 */
function byBigAndSmall(weights: readonly number[], largestFirst: readonly number[]): number {
  const limit = largestFirst[0] ?? 0
  const smalls = [0, ...new Set(weights.filter(weight => weight <= limit / 2))]
  const needed = smalls.map(small => {
    const alone = weights.filter(weight => weight > limit - small)
    const big = weights.filter(weight => weight <= limit - small && weight > limit / 2)
    const rest = weights.filter(weight => weight <= limit / 2 && weight >= small)
    const roomBesideBig = big.length * limit - sum(big)
    return alone.length + big.length + Math.max(0, Math.ceil((sum(rest) - roomBesideBig) / limit))
  })
  return weights.length === 0 ? 0 : Math.max(...needed)
}

// Ways of grouping lots grow fast: 10 lots have some hundred thousand.
const LOTS_TO_GROUP = 10

/**
 * Fewest splits that lots of these weights can have in pots that are all in use: pots more than one that lots are
 * spread over, all lots together. Say that lots belong together when they meet in a pot, directly or by way of others.
 * A group of lots and pots hangs together by at least one meeting less than it has members, so the splits are the
 * number of pots less the number of groups at least; and there are no more groups than pots can be found for.
 */
export function lotSplitsAtLeast(lotWeights: readonly number[], holds: readonly number[]): number {
  const largestFirst = [...holds].sort((a, b) => b - a)
  const potsFor = (weight: number) => potsUntil(largestFirst, weight, size => size)
  if (lotWeights.length > LOTS_TO_GROUP) return Math.max(0, holds.length - lotWeights.length)
  const heaviestFirst = [...lotWeights].sort((a, b) => b - a)

  let most = 0
  const group = (groups: readonly number[], [weight, ...others]: readonly number[]): void => {
    const possible = groups.length + others.length + (weight === undefined ? 0 : 1)
    if (possible <= most || sum(groups.map(potsFor)) > holds.length) return
    if (weight === undefined) {
      most = groups.length
      return
    }
    group([...groups, weight], others)
    for (const at of groups.keys()) {
      group(
        groups.map((each, index) => (index === at ? each + weight : each)),
        others,
      )
    }
  }
  group([], heaviestFirst)
  return holds.length - most
}

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0)

/**
 * The least unevenness (squared, see `pot-evenness.ts`) that pots of these sizes can have when every load is a whole
 * number of `unit`s: each next unit goes where it disturbs least. That this greedy way is best for whole units is
 * the method of odd numbers (Balinski & Young 1982, Fair Representation, on Webster's method).
 */
export function unevennessAtLeast(weight: number, unit: number, holds: readonly number[]): number {
  const room = sum(holds)
  // Webster's shares lie within half the number of pots, and a half, of the exact ones: start below that.
  const loads = holds.map(size => {
    const exactUnits = (weight / unit) * (size / room)
    return { size, units: Math.max(0, Math.floor(exactUnits) - holds.length) }
  })
  for (let left = Math.round(weight / unit) - sum(loads.map(load => load.units)); left > 0; left -= 1) {
    const next = loads.reduce((a, b) => ((2 * b.units + 1) / b.size < (2 * a.units + 1) / a.size ? b : a))
    next.units += 1
  }
  return sum(loads.map(({ size, units }) => size * (units * (unit / size) - weight / room) ** 2)) / room
}
