import { potsNeededAtLeast } from './pot-bounds.js'
import { fillOneByOne } from './pot-filling.js'
import { type PackedBundle, type PackedPot, type Placement, roomOf, weightOf } from './pot-packing.js'
import { search } from './pot-search.js'
import {
  ALL,
  ANY,
  heaviestFirst,
  holdsOf,
  largestFirst,
  lotsByWeight,
  purseFor,
  type Reached,
  reorder,
  unitOf,
  weightsOf,
} from './pot-stage.js'

/**
 * Fewest pots that hold all the bundles. The largest pots are the ones to try: whatever fits any others fits these.
 * `undefined` when no placement was found.
 */
export function fewestPots(bundles: readonly PackedBundle[], pots: readonly PackedPot[]): Reached | undefined {
  const order = heaviestFirst(bundles)
  let atLeast = potsNeededAtLeast(weightsOf(bundles), holdsOf(pots))
  for (let count = atLeast; count <= pots.length; count += 1) {
    const chosen = largestFirst(pots).slice(0, count)
    const quick = fillOneByOne(order, chosen)
    if (quick !== undefined) return inUse(pots, reorder(order, quick, bundles), atLeast)
    const purse = purseFor(bundles, chosen)
    const { placement, finished } = search({
      bundles: order,
      pots: chosen,
      limits: ALL,
      goal: 'left',
      enough: 0,
      purse,
    })
    if (placement !== undefined) return inUse(pots, reorder(order, placement, bundles), atLeast)
    if (finished && atLeast === count) atLeast = count + 1
  }
  return undefined
}

/** A placement that is known, in the pots that it uses. */
export function inUse(pots: readonly PackedPot[], placement: Placement, atLeast: number): Reached {
  const used = pots.filter(pot => placement.includes(pot))
  return { pots: used, placement, is: used.length, atLeast }
}

/** Least weight that is left out when not everything fits. */
export function leastLeft(bundles: readonly PackedBundle[], pots: readonly PackedPot[]): Reached {
  const byWeight = heaviestFirst(bundles)
  const unit = unitOf(bundles)
  const tooMuch = Math.max(0, weightOf(bundles) - roomOf(pots))
  const bound = Math.ceil(tooMuch / unit) * unit
  const purse = purseFor(bundles, pots)
  const { placement = [], finished } = search({
    bundles: byWeight,
    pots,
    limits: ANY,
    goal: 'left',
    enough: bound,
    purse,
  })
  const inOrder = reorder(byWeight, placement, bundles)
  const left = weightOf(bundles.filter((_, index) => inOrder[index] === undefined))
  return { pots, placement: inOrder, is: left, atLeast: finished ? left : bound }
}

/**
 * Exchanges pots for smaller free ones as long as everything still fits and no lot is spread further, so that no bath
 * swims in a large pot that the next lot will want.
 */
export function smallestPots(
  bundles: readonly PackedBundle[],
  reached: Reached,
  free: readonly PackedPot[],
  splits: number,
): Reached {
  const byLot = lotsByWeight(bundles).flat()
  const purse = purseFor(bundles, reached.pots)
  let { pots, placement } = reached
  const smallestFirst = [...free].sort((a, b) => a.holds - b.holds)
  for (const large of smallestFirst.filter(pot => pots.includes(pot)).reverse()) {
    for (const small of smallestFirst) {
      if (purse.steps < 0 || small.holds >= large.holds || pots.includes(small)) continue
      const exchanged = [...pots.filter(pot => pot !== large), small]
      const limits = { ...ALL, splits }
      const outcome = search({ bundles: byLot, pots: exchanged, limits, goal: 'left', enough: 0, purse })
      if (outcome.placement === undefined) continue
      pots = exchanged
      placement = reorder(byLot, outcome.placement, bundles)
      break
    }
  }
  return { ...reached, pots, placement }
}
