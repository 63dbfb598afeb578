import { fewestPots, inUse, leastLeft, smallestPots } from './fewest-pots.js'
import { lotsTogether } from './lots-together.js'
import { mostEven } from './pot-evening.js'
import { arrange, type PackedBundle, type PackedLot, type PackedPot, splitsIn, weightOf } from './pot-packing.js'
import { grams } from './pots.js'
import { Refusal } from './refusal.js'

/** A bundle that goes into a pot whole. `lotId` tells the bundles that should come out alike. */
export interface BundleToSplit {
  id: string | number
  dryWeightG: number
  lotId: string | number
}

/** A pot that is free, and the dry weight that it takes (`potHoldsG`). */
export interface FreePot {
  id: string | number
  holdsG: number
}

/** One load of the split. `fill` is its weight over what the pot holds. */
export interface FilledPot<B, P> {
  pot: P
  bundles: B[]
  dryWeightG: number
  fill: number
}

/** A figure of the split beside what no split can beat: proven when the two meet. */
export interface Bounded {
  is: number
  atLeast: number
  gap: number
  proven: boolean
}

export interface PotSplit<B, P> {
  /** The pots in use, in the order given, their bundles in the order given. */
  pots: FilledPot<B, P>[]
  /** What does not fit, and why; no sentence when everything does. */
  left: { bundles: B[]; dryWeightG: number; sentence: string | undefined }
  /**
   * In the order in which they count. Each is bounded for splits that keep what was reached before it: that leave the
   * same bundles out, use as many pots, spread the lots no further, use the same pots.
   * `lotSplits`: pots more than one that lots are spread over. `unevenness`: root mean square distance of the pots'
   * fills from their common fill, weighted by size; 0.02 is two hundredths of a pot.
   */
  figures: { leftG: Bounded; pots: Bounded; lotSplits: Bounded; unevenness: Bounded }
  /** Every figure is the best there is. */
  proven: boolean
}

/**
 * Splits bundles over the pots that are free. Bundles are never cut. What counts, in this order: the least weight left
 * out, the fewest pots, each lot in the fewest pots, smaller pots rather than larger, pots filled evenly.
 * Exact for everyday sizes (a dozen or two bundles, alike ones many more); beyond that the figures say how far from
 * the best the split can be at most. The same input always gives the same split.
 * `weight` writes grams in the dyer's own units.
 */
export function splitIntoPots<B extends BundleToSplit, P extends FreePot>(
  bundles: readonly B[],
  pots: readonly P[],
  weight = grams,
): PotSplit<B, P> {
  const packedOf = packBundles(bundles)
  const potOf = packPots(pots)
  const packed = [...packedOf.values()]
  const free = [...potOf.values()]
  const largest = Math.max(0, ...free.map(pot => pot.holds))

  const fitting = whatFits(
    packed.filter(bundle => bundle.weight <= largest),
    free,
  )
  const inPots = fitting.bundles
  const together = lotsTogether(inPots, fitting.fewest.pots, fitting.fewest.placement)
  const smaller = smallestPots(inPots, together, free, together.is)
  const even = mostEven(inPots, smaller.pots, smaller.placement)
  const splits = splitsIn(inPots, even.placement)
  arrange(inPots, even.placement)

  const left = bundles.filter(bundle => packedOf.get(bundle)?.pot === undefined)
  const tooHeavyWeight = weightOf(packed.filter(bundle => bundle.weight > largest))
  const figures = {
    leftG: bounded(inGrams(tooHeavyWeight + fitting.left.is), inGrams(tooHeavyWeight + fitting.left.atLeast)),
    pots: bounded(free.filter(pot => pot.load > 0).length, fitting.fewest.atLeast),
    lotSplits: bounded(splits, Math.min(splits, together.atLeast)),
    unevenness: bounded(Math.sqrt(even.is), Math.sqrt(even.atLeast)),
  }
  return {
    pots: pots.flatMap(pot => filledPot(pot, potOf.get(pot), bundles, packedOf)),
    left: { bundles: left, dryWeightG: figures.leftG.is, sentence: leftInWords(left, pots, weight) },
    figures,
    proven: Object.values(figures).every(each => each.proven),
  }
}

/** The bundles that go into the pots, the fewest pots for them, and the weight that stays out. */
function whatFits(bundles: readonly PackedBundle[], free: readonly PackedPot[]) {
  const all = fewestPots(bundles, free)
  if (all !== undefined) return { bundles, fewest: all, left: { is: 0, atLeast: 0 } }
  const left = leastLeft(bundles, free)
  const inPots = bundles.filter((_, index) => left.placement[index] !== undefined)
  const known = left.placement.filter(pot => pot !== undefined)
  return { bundles: inPots, fewest: fewestPots(inPots, free) ?? inUse(free, known, 0), left }
}

// Whole micrograms make sums exact. What a bundle loses by it no scale shows, and since it only ever loses, sixteen
// bundles of an ounce still go into a pot for a pound.
const MICROGRAMS = 1e6
const HAIR = 1e-3
const inMicrograms = (weightG: number): number => Math.floor(weightG * MICROGRAMS + HAIR)
const inGrams = (micrograms: number): number => micrograms / MICROGRAMS

function packBundles<B extends BundleToSplit>(bundles: readonly B[]): Map<B, PackedBundle> {
  const lots = new Map<string | number, PackedLot>()
  const packed = new Map<B, PackedBundle>()
  for (const bundle of bundles) {
    if (!(bundle.dryWeightG > 0 && Number.isFinite(bundle.dryWeightG))) {
      throw new Refusal('wrong', 'Give the dry weight of every bundle before they are split over pots.')
    }
    const lot = lots.get(bundle.lotId) ?? { pots: 0 }
    lots.set(bundle.lotId, lot)
    packed.set(bundle, { weight: Math.max(1, inMicrograms(bundle.dryWeightG)), lot, pot: undefined })
  }
  return packed
}

function packPots<P extends FreePot>(pots: readonly P[]): Map<P, PackedPot> {
  const packed = new Map<P, PackedPot>()
  for (const [place, pot] of pots.entries()) {
    if (!(pot.holdsG >= 0 && Number.isFinite(pot.holdsG))) {
      throw new Refusal('wrong', 'Give the dry weight that every free pot holds.')
    }
    packed.set(pot, { place, holds: inMicrograms(pot.holdsG), load: 0, lots: new Map() })
  }
  return packed
}

function filledPot<B, P extends FreePot>(
  pot: P,
  packed: PackedPot | undefined,
  bundles: readonly B[],
  packedOf: ReadonlyMap<B, PackedBundle>,
): FilledPot<B, P>[] {
  if (packed === undefined || packed.load === 0) return []
  const dryWeightG = inGrams(packed.load)
  const inIt = bundles.filter(bundle => packedOf.get(bundle)?.pot === packed)
  return [{ pot, bundles: inIt, dryWeightG, fill: dryWeightG / pot.holdsG }]
}

function bounded(is: number, atLeast: number): Bounded {
  return { is, atLeast, gap: is - atLeast, proven: is <= atLeast }
}

function leftInWords(
  left: readonly BundleToSplit[],
  pots: readonly FreePot[],
  weight: (weightG: number) => string,
): string | undefined {
  if (left.length === 0) return undefined
  const heaviestG = Math.max(...left.map(bundle => bundle.dryWeightG))
  const largestG = Math.max(0, ...pots.map(pot => pot.holdsG))
  const leftG = left.reduce((sum, bundle) => sum + bundle.dryWeightG, 0)
  const what = left.length === 1 ? `1 bundle (${weight(leftG)}) does` : `${left.length} bundles (${weight(leftG)}) do`
  if (pots.length === 0) return `${what} not fit: no pot is free.`
  if (inMicrograms(heaviestG) > inMicrograms(largestG)) {
    return `${what} not fit: the heaviest weighs ${weight(heaviestG)}, the largest free pot holds ${weight(largestG)}.`
  }
  const roomG = pots.reduce((sum, pot) => sum + pot.holdsG, 0)
  return `${what} not fit: the free pots hold ${weight(roomG)} in all.`
}
