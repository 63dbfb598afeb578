import { lotSplitsAtLeast, potsNeededAtLeast } from './pot-bounds.js'
import { evenOut } from './pot-evening.js'
import { type PackedBundle, type PackedPot, type Placement, splitsIn, weightOf } from './pot-packing.js'
import { FINEST, type Purse, type Score, search } from './pot-search.js'
import { ALL, heaviestFirst, holdsOf, lotsByWeight, purseFor, type Reached, reorder, weightsOf } from './pot-stage.js'

/** Lots spread over as few of these pots as can be. */
export function lotsTogether(bundles: readonly PackedBundle[], pots: readonly PackedPot[], start: Placement): Reached {
  const lots = lotsByWeight(bundles)
  const room = holdsOf(pots)
  const bound = Math.max(
    lotSplitsAtLeast(lots.map(weightOf), room),
    lots.reduce((splits, lot) => splits + potsNeededAtLeast(weightsOf(lot), room) - 1, 0),
  )
  let placement = start
  let is = splitsIn(bundles, start)
  const better = (): Score => ({ ...ALL, splits: is - FINEST.splits })
  const accept = (found: Placement) => {
    placement = found
    is = splitsIn(bundles, found)
  }

  // First whole lots as if each were one bundle, then with the heaviest lots opened, one more at a time.
  for (let opened = 0; opened < lots.length && is > bound; opened += 1) {
    const found = placeLumps(bundles, lots.slice(opened), pots, better())
    if (found !== undefined) accept(found)
  }
  if (is > bound) accept(evenOut(bundles, pots, placement))
  if (is <= bound) return { pots, placement, is, atLeast: bound }

  const byLot = lots.flat()
  const purse = purseFor(bundles, pots)
  const outcome = search({ bundles: byLot, pots, limits: better(), goal: 'splits', enough: bound, purse })
  if (outcome.placement !== undefined) accept(reorder(byLot, outcome.placement, bundles))
  return { pots, placement, is, atLeast: outcome.finished ? is : bound }
}

/** Places the bundles with each of these lots as one lump. */
function placeLumps(
  bundles: readonly PackedBundle[],
  lumped: readonly (readonly PackedBundle[])[],
  pots: readonly PackedPot[],
  limits: Score,
): Placement | undefined {
  const lumpOf = new Map<PackedBundle, PackedBundle>()
  for (const lot of lumped) {
    const [first] = lot
    if (first === undefined) continue
    const lump: PackedBundle = { weight: weightOf(lot), lot: first.lot, pot: undefined }
    for (const bundle of lot) lumpOf.set(bundle, lump)
  }
  const lumps = heaviestFirst([...new Set(bundles.map(bundle => lumpOf.get(bundle) ?? bundle))])
  const purse: Purse = { steps: 4 * lumps.length * pots.length }
  const { placement } = search({ bundles: lumps, pots, limits, goal: 'left', enough: 0, purse })
  if (placement === undefined) return undefined
  const potOf = new Map(lumps.map((lump, index) => [lump, placement[index]]))
  return bundles.map(bundle => potOf.get(lumpOf.get(bundle) ?? bundle))
}
