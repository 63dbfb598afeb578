/**
 * Bundles and pots while a split is worked out. Weights are whole micrograms here, so that sums are exact and the
 * answer does not depend on the order of adding.
 */

/** `pots` counts the pots that hold some of this lot. */
export interface PackedLot {
  pots: number
}

export interface PackedPot {
  readonly place: number
  readonly holds: number
  load: number
  /** How many bundles of each lot are in it; a lot that is not in it has no entry. */
  readonly lots: Map<PackedLot, number>
}

export interface PackedBundle {
  readonly weight: number
  readonly lot: PackedLot
  pot: PackedPot | undefined
}

/** The pot of each bundle, in the order of the bundles; `undefined` is left out. */
export type Placement = readonly (PackedPot | undefined)[]

export const total = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0)
export const weightOf = (bundles: readonly { weight: number }[]): number => total(bundles.map(bundle => bundle.weight))
export const roomOf = (pots: readonly { holds: number }[]): number => total(pots.map(pot => pot.holds))

export function put(bundle: PackedBundle, pot: PackedPot): void {
  const already = pot.lots.get(bundle.lot) ?? 0
  if (already === 0) bundle.lot.pots += 1
  pot.lots.set(bundle.lot, already + 1)
  pot.load += bundle.weight
  bundle.pot = pot
}

export function takeOut(bundle: PackedBundle): void {
  const pot = bundle.pot
  if (pot === undefined) return
  const remaining = (pot.lots.get(bundle.lot) ?? 0) - 1
  if (remaining > 0) pot.lots.set(bundle.lot, remaining)
  else {
    pot.lots.delete(bundle.lot)
    bundle.lot.pots -= 1
  }
  pot.load -= bundle.weight
  bundle.pot = undefined
}

export const placementOf = (bundles: readonly PackedBundle[]): Placement => bundles.map(bundle => bundle.pot)

/** Puts every bundle where the placement says, whatever was there before. */
export function arrange(bundles: readonly PackedBundle[], placement: Placement): void {
  for (const bundle of bundles) takeOut(bundle)
  for (const [index, bundle] of bundles.entries()) {
    const pot = placement[index]
    if (pot !== undefined) put(bundle, pot)
  }
}

/** How many pots more than one the lots are spread over, all lots together. */
export const splitsOf = (lots: Iterable<PackedLot>): number => total(Array.from(lots, lot => Math.max(0, lot.pots - 1)))

/** The lots of these bundles, each once. */
export const lotsOf = (bundles: readonly PackedBundle[]): Set<PackedLot> => new Set(bundles.map(bundle => bundle.lot))

/** The same for a placement, without leaving the bundles in the pots. */
export function splitsIn(bundles: readonly PackedBundle[], placement: Placement): number {
  arrange(bundles, placement)
  const splits = splitsOf(lotsOf(bundles))
  arrange(bundles, [])
  return splits
}
