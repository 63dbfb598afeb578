import { lotsOf, type PackedBundle, type PackedPot, type Placement, weightOf } from './pot-packing.js'
import type { Purse, Score } from './pot-search.js'

/** What the stages of a split share. All of them start and end with every bundle out of the pots. */

/** What a stage reached: a placement in these pots, its figure, and what no placement can beat. */
export interface Reached {
  pots: readonly PackedPot[]
  placement: Placement
  is: number
  atLeast: number
}

// Steps each stage may take: some tenths of a second at the very most, hundredths as a rule.
const STEPS = 300_000

export const purseFor = (bundles: readonly unknown[], pots: readonly unknown[]): Purse => ({
  steps: STEPS + 2 * bundles.length * pots.length,
})

export const ANY: Score = {
  left: Number.POSITIVE_INFINITY,
  splits: Number.POSITIVE_INFINITY,
  unevenness: Number.POSITIVE_INFINITY,
}
export const ALL: Score = { ...ANY, left: 0 }

export const weightsOf = (bundles: readonly PackedBundle[]): number[] => bundles.map(bundle => bundle.weight)
export const holdsOf = (pots: readonly PackedPot[]): number[] => pots.map(pot => pot.holds)
export const largestFirst = (pots: readonly PackedPot[]): PackedPot[] => [...pots].sort((a, b) => b.holds - a.holds)

/** Every weight is a whole number of this: 0 when there are none. */
export const unitOf = (bundles: readonly PackedBundle[]): number => weightsOf(bundles).reduce(commonDivisor, 0)

const commonDivisor = (a: number, b: number): number => (b === 0 ? a : commonDivisor(b, a % b))

/** Heaviest first; of equal weight, a lot's bundles side by side. */
export function heaviestFirst(bundles: readonly PackedBundle[]): PackedBundle[] {
  const number = new Map([...lotsOf(bundles)].map((lot, index) => [lot, index]))
  const place = (bundle: PackedBundle) => number.get(bundle.lot) ?? 0
  return [...bundles].sort((a, b) => b.weight - a.weight || place(a) - place(b))
}

/** The bundles of each lot, heaviest first; the heaviest lot first. */
export function lotsByWeight(bundles: readonly PackedBundle[]): PackedBundle[][] {
  const ordered = heaviestFirst(bundles)
  const lots = [...lotsOf(ordered)].map(lot => ordered.filter(bundle => bundle.lot === lot))
  return lots.sort((a, b) => weightOf(b) - weightOf(a))
}

/** A placement of the same bundles in another order. */
export function reorder(from: readonly PackedBundle[], placement: Placement, to: readonly PackedBundle[]): Placement {
  const potOf = new Map(from.map((bundle, index) => [bundle, placement[index]]))
  return to.map(bundle => potOf.get(bundle))
}
