/**
 * Which bundle an untagged one may be. No fact proves it alone, so that two are needed before a bundle is even offered,
 * and whoever holds it decides. How much a weight may differ is our own guess at what dyeing and damp do to it.
 */
import type { Place } from './place.js'

/** What can be seen of a bundle without its tag; null where nothing was said. */
export type Facts = {
  weightG: number | null
  tiesIn: number | null
  /** '' where nothing was said. */
  fibreId: string
  /** The day it was taken in, YYYY-MM-DD. */
  day: string | null
  place: Place | ''
}

export type Candidate = { dryWeightG: number; tiesIn: number; fibreId: string; day: string; place: Place }

export const FACTS_NEEDED = 2
const WEIGHT_TOLERANCE = 0.15

export type Fact = 'weight' | 'ties' | 'fibre' | 'day' | 'place'

/** The facts that were told at all. */
export const factsTold = (facts: Facts): Fact[] => [
  ...(facts.weightG === null ? [] : (['weight'] as const)),
  ...(facts.tiesIn === null ? [] : (['ties'] as const)),
  ...(facts.fibreId === '' ? [] : (['fibre'] as const)),
  ...(facts.day === null ? [] : (['day'] as const)),
  ...(facts.place === '' ? [] : (['place'] as const)),
]

const agrees: Record<Fact, (facts: Facts, bundle: Candidate) => boolean> = {
  weight: ({ weightG }, { dryWeightG }) =>
    weightG !== null && Math.abs(weightG - dryWeightG) <= dryWeightG * WEIGHT_TOLERANCE,
  ties: ({ tiesIn }, bundle) => tiesIn === bundle.tiesIn,
  fibre: ({ fibreId }, bundle) => fibreId === bundle.fibreId,
  day: ({ day }, bundle) => day === bundle.day,
  place: ({ place }, bundle) => place === bundle.place,
}

/** The told facts that this bundle answers to. */
export const factsMatching = (facts: Facts, bundle: Candidate): Fact[] =>
  factsTold(facts).filter(fact => agrees[fact](facts, bundle))

/** The bundles that answer to two facts or more, those that answer to most of them first, the nearest weight before others. */
export function knownAgain<C extends Candidate>(
  facts: Facts,
  bundles: readonly C[],
): { bundle: C; matching: Fact[] }[] {
  const off = ({ dryWeightG }: Candidate) => (facts.weightG === null ? 0 : Math.abs(facts.weightG - dryWeightG))
  return bundles
    .map(bundle => ({ bundle, matching: factsMatching(facts, bundle) }))
    .filter(({ matching }) => matching.length >= FACTS_NEEDED)
    .sort((a, b) => b.matching.length - a.matching.length || off(a.bundle) - off(b.bundle))
}
