import { type PackedPot, roomOf } from './pot-packing.js'

/**
 * Unevenness, squared: the mean over the pots, weighted by size, of (fill - common fill) squared, where a fill is
 * load over what the pot holds. 0 when every pot is filled alike; for pots of one size that means alike by weight.
 */
export function unevennessOf(pots: readonly PackedPot[]): number {
  const room = roomOf(pots)
  const common = pots.reduce((load, pot) => load + pot.load, 0) / room
  return pots.reduce((sum, pot) => sum + deviation(pot.load, pot.holds, common), 0) / room
}

/** One pot's part in the unevenness. */
const deviation = (load: number, holds: number, common: number): number => holds * (load / holds - common) ** 2

/** The least unevenness that can still come out when `rest` is added to the pots, as if it could be poured. */
export function unevennessAhead(pots: readonly PackedPot[], rest: number): number {
  const room = roomOf(pots)
  const common = (pots.reduce((load, pot) => load + pot.load, 0) + rest) / room
  const emptiestFirst = [...pots].sort((a, b) => a.load / a.holds - b.load / b.holds)
  let size = 0
  let load = rest
  let sum = 0
  for (const pot of emptiestFirst) {
    // What is poured reaches this pot only if the level so far stands above it.
    if (size === 0 || pot.load / pot.holds < load / size) {
      size += pot.holds
      load += pot.load
    } else sum += deviation(pot.load, pot.holds, common)
  }
  return (sum + deviation(load, size, common)) / room
}
