import { type PackedBundle, type PackedPot, type Placement, total } from './pot-packing.js'

// Combinations looked at for one pot. Full pots of everyday bundles are found within the first few dozen.
const TRIES = 3000

/**
 * Fills one pot after the other as full as it goes, each with the heaviest bundle that is still out and fits.
 * A quick way to a placement in few pots (after the "minimum bin slack" of Gupta & Ho 1999, Production Planning &
 * Control 10, 598-603); `undefined` when it leaves bundles over. Wants the heaviest bundles first.
 */
export function fillOneByOne(bundles: readonly PackedBundle[], pots: readonly PackedPot[]): Placement | undefined {
  const potOf = new Map<PackedBundle, PackedPot>()
  for (const pot of pots) {
    const out = bundles.filter(bundle => !potOf.has(bundle) && bundle.weight <= pot.holds)
    for (const bundle of fullest(out, pot.holds)) potOf.set(bundle, pot)
  }
  return potOf.size === bundles.length ? bundles.map(bundle => potOf.get(bundle)) : undefined
}

/** The bundles, the first among them, that together come nearest to what the pot holds. */
function fullest(bundles: readonly PackedBundle[], holds: number): readonly PackedBundle[] {
  const behind = suffixSums(bundles.map(bundle => bundle.weight))
  const chosen: PackedBundle[] = []
  let best: readonly PackedBundle[] = []
  let bestWeight = 0
  let tries = TRIES

  const visit = (index: number, weight: number): void => {
    if (weight > bestWeight) {
      best = [...chosen]
      bestWeight = weight
    }
    tries -= 1
    const bundle = bundles[index]
    if (bundle === undefined || tries < 0 || bestWeight === holds) return
    if (weight + (behind[index] ?? 0) <= bestWeight) return
    if (weight + bundle.weight <= holds) {
      chosen.push(bundle)
      visit(index + 1, weight + bundle.weight)
      chosen.pop()
    }
    if (index > 0) visit(afterAlike(bundles, index), weight)
  }
  visit(0, 0)
  return best
}

/** For each place, the sum from there to the end. */
function suffixSums(values: readonly number[]): number[] {
  let rest = total(values)
  return values.map(value => {
    const sum = rest
    rest -= value
    return sum
  })
}

/** The next bundle of another weight: leaving one out and taking its like is the same. */
function afterAlike(bundles: readonly PackedBundle[], index: number): number {
  const weight = bundles[index]?.weight
  let next = index + 1
  while (bundles[next]?.weight === weight) next += 1
  return next
}
