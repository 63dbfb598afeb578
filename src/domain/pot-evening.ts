import { unevennessAtLeast } from './pot-bounds.js'
import { unevennessOf } from './pot-evenness.js'
import {
  arrange,
  lotsOf,
  type PackedBundle,
  type PackedLot,
  type PackedPot,
  type Placement,
  placementOf,
  put,
  splitsIn,
  splitsOf,
  takeOut,
  weightOf,
} from './pot-packing.js'

import { FINEST, type Score, search } from './pot-search.js'
import { holdsOf, lotsByWeight, purseFor, type Reached, reorder, unitOf } from './pot-stage.js'

/** The same pots filled as evenly as can be, with the lots spread no further. The figures are unevenness, squared. */
export function mostEven(bundles: readonly PackedBundle[], pots: readonly PackedPot[], start: Placement): Reached {
  if (pots.length < 2) return { pots, placement: start, is: 0, atLeast: 0 }
  const unit = unitOf(bundles)
  const bound = unevennessAtLeast(weightOf(bundles), unit, holdsOf(pots))
  const evened = evenOut(bundles, pots, start)
  const unevenness = (placement: Placement) => unevennessIn(bundles, placement, pots)
  const is = unevenness(evened)
  if (is <= bound + FINEST.unevenness) return { pots, placement: evened, is, atLeast: is }

  const order = lotsByWeight(bundles).flat()
  const limits: Score = { left: 0, splits: splitsIn(bundles, evened), unevenness: is - FINEST.unevenness }
  const purse = purseFor(bundles, pots)
  const outcome = search({ bundles: order, pots, limits, goal: 'unevenness', enough: bound + FINEST.unevenness, purse })
  const placement = outcome.placement === undefined ? evened : reorder(order, outcome.placement, bundles)
  const best = unevenness(placement)
  return { pots, placement, is: best, atLeast: outcome.finished ? best : bound }
}

function unevennessIn(bundles: readonly PackedBundle[], placement: Placement, pots: readonly PackedPot[]): number {
  arrange(bundles, placement)
  const unevenness = unevennessOf(pots)
  arrange(bundles, [])
  return unevenness
}

// Rounds of exchanging; each ends sooner when nothing improves. Enough for hundreds of bundles.
const ROUNDS = 40
const SMALLEST_GAIN = 1e-12

/** What is moved at once: one bundle, or all of a lot's bundles in one pot. */
interface Handful {
  bundles: readonly PackedBundle[]
  lot: PackedLot
  weight: number
}

/**
 * Improves a placement by moving and exchanging bundles, or all of a lot's bundles in a pot at once: first so that
 * lots are spread over fewer pots, and with lots spread no further, so that the pots are filled more evenly.
 * Overfills no pot. Ends with every bundle out of the pots.
 */
export function evenOut(bundles: readonly PackedBundle[], pots: readonly PackedPot[], placement: Placement): Placement {
  arrange(bundles, placement)
  for (let round = 0; round < ROUNDS; round += 1) {
    let improved = false
    const hands = handfuls(bundles)
    for (const [index, hand] of hands.entries()) {
      for (const pot of pots) improved = exchange(hand, undefined, pot) || improved
      for (const other of hands.slice(index + 1)) improved = exchange(hand, other, potOf(other)) || improved
    }
    if (!improved) break
  }
  const better = placementOf(bundles)
  arrange(bundles, [])
  return better
}

function handfuls(bundles: readonly PackedBundle[]): Handful[] {
  const together = [...lotsOf(bundles)].flatMap(lot => {
    const ofLot = bundles.filter(bundle => bundle.lot === lot)
    return [...new Set(ofLot.map(bundle => bundle.pot))].map(pot => ofLot.filter(bundle => bundle.pot === pot))
  })
  const all = [...bundles.map(bundle => [bundle]), ...together.filter(group => group.length > 1)]
  return all.flatMap(group => group.slice(0, 1).map(({ lot }) => ({ bundles: group, lot, weight: weightOf(group) })))
}

/** The one pot that all of a handful is in; none when an earlier move scattered it. */
function potOf(hand: Handful): PackedPot | undefined {
  const pot = hand.bundles[0]?.pot
  return hand.bundles.every(bundle => bundle.pot === pot) ? pot : undefined
}

/** Carries one handful to another pot, and another handful (if any) back, when that is an improvement. */
function exchange(hand: Handful, other: Handful | undefined, to: PackedPot | undefined): boolean {
  const from = potOf(hand)
  if (from === undefined || to === undefined || from === to) return false
  const weight = hand.weight - (other?.weight ?? 0)
  if (to.load + weight > to.holds || from.load - weight > from.holds) return false

  const moreEven = gain(from, to, weight) > SMALLEST_GAIN * (from.holds + to.holds)
  const mayGather = to.lots.has(hand.lot) || (other !== undefined && from.lots.has(other.lot))
  if (!moreEven && !mayGather) return false

  const lots = new Set([hand.lot, other?.lot ?? hand.lot])
  const before = splitsOf(lots)
  const swap = (here: PackedPot, there: PackedPot) => {
    carry(hand, there)
    if (other !== undefined) carry(other, here)
  }
  swap(from, to)
  const change = splitsOf(lots) - before
  if (change < 0 || (change === 0 && moreEven)) return true
  swap(to, from)
  return false
}

/**
 * How much more even two pots become when this weight goes from one to the other: their part in the unevenness, where
 * the common fill falls out, since what one loses the other gets.
 */
function gain(from: PackedPot, to: PackedPot, weight: number): number {
  const part = (load: number, holds: number) => load ** 2 / holds
  const before = part(from.load, from.holds) + part(to.load, to.holds)
  return before - part(from.load - weight, from.holds) - part(to.load + weight, to.holds)
}

function carry(hand: Handful, to: PackedPot): void {
  for (const bundle of hand.bundles) {
    takeOut(bundle)
    put(bundle, to)
  }
}
