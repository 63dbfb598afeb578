/**
 * What may be expected of the weight that comes back: loose fibre is lost, dye and mordant stay on, and air-dry fibre
 * holds more or less water from day to day. By route at first; by what this workshop's own bundles did once enough of
 * them went back.
 */
import type { Route } from './recipe.js'

/** Shares of the dry weight that came in. `of`: from how many bundles that went back it was learned; 0 = from practice. */
export type WeightBand = {
  lightest: number
  heaviest: number
  of: number
  /** What was usual, and how far to each side of it is expected; null when it is not learned. */
  median: number | null
  spread: number | null
}

const practice = (lightest: number, heaviest: number): WeightBand => ({
  lightest,
  heaviest,
  of: 0,
  median: null,
  spread: null,
})

/** For every route but the plant dyes. Common practice, no source. */
export const USUAL_BAND = practice(0.9, 1.15)

/**
 * A bath of plants leaves mordant, tannin and some of the plant itself on the fibre, so that more may come back.
 * Common practice, no source.
 */
const PLANT_BAND = practice(0.9, 1.2)

/** Fewer bundles than this say little: one warm week in the drying shed would make the rule. Our own choice. */
export const ENOUGH_BUNDLES = 20
/** A scale and the weather alone differ by this much; no band is narrower to each side. Common practice, no source. */
const LEAST_SPREAD = 0.04
/** And none is so wide that it asks nothing. Our own choice. */
const MOST_SPREAD = 0.25
/** Three standard deviations to each side, when the middle of the deviations is taken for 0.6745 of one (normal distribution). */
const SPREADS = 3 / 0.6745

/**
 * The band for a route, from the shares of the dry weight that came back from this workshop of the same fibre by the
 * same route. The middle and not the mean, so that one wet or torn bundle does not move it.
 */
export function weightBand(route: Route, shares: readonly number[]): WeightBand {
  if (shares.length < ENOUGH_BUNDLES) return route === 'plant' ? PLANT_BAND : USUAL_BAND
  const median = middle(shares)
  const deviation = middle(shares.map(share => Math.abs(share - median)))
  const spread = Math.min(MOST_SPREAD, Math.max(LEAST_SPREAD, deviation * SPREADS))
  return { lightest: median - spread, heaviest: median + spread, of: shares.length, median, spread }
}

function middle(figures: readonly number[]): number {
  const sorted = [...figures].sort((one, other) => one - other)
  const half = sorted.length / 2
  return ((sorted[Math.ceil(half) - 1] ?? 1) + (sorted[Math.floor(half)] ?? 1)) / 2
}

const percent = (share: number): string => `${Math.round(share * 100)} %`

/** Where the band comes from: "90 % to 115 % of the dry weight (common practice, no source; 3 bundles…)". */
export function sayBand({ lightest, heaviest, of, median, spread }: WeightBand): string {
  const range = `${percent(lightest)} to ${percent(heaviest)} of the dry weight`
  if (of === 0 || median === null || spread === null)
    return `${range}: common practice, no source, until ${ENOUGH_BUNDLES} bundles of this fibre by this route were weighed back here`
  return `${range}: ${percent(median)} is usual for this fibre by this route, give or take ${percent(spread)}, by the last ${of} bundles weighed back here`
}
