/**
 * The middle and the spread of a few measured figures, and which of them stand too far out to count.
 *
 * Quantiles: NIST/SEMATECH e-Handbook of Statistical Methods 7.2.6.2, the figure at p(N + 1), which is definition 6 of
 * Hyndman and Fan, "Sample quantiles in statistical packages", The American Statistician 50 (1996), pp. 361-365.
 * Figures too far out: the same handbook, 1.3.5.17, after Iglewicz and Hoaglin 1993: 0.6745 (x - median) / MAD beyond 3.5.
 */

export type Spread = {
  median: number
  /** A quarter of the figures lie at or below this one, and a quarter at or above `upper`. */
  lower: number
  upper: number
  /** How many figures it rests on, and how many were left out as too far out. */
  count: number
  leftOut: number
}

/** The figure below which the share `p` (0 to 1) lies; NaN of no figures. */
export function quantile(figures: readonly number[], p: number): number {
  const sorted = figures.toSorted((one, other) => one - other)
  const at = p * (sorted.length + 1)
  const below = Math.floor(at)
  const nth = (n: number): number => sorted[Math.min(Math.max(n, 1), sorted.length) - 1] ?? Number.NaN
  return nth(below) + (at - below) * (nth(below + 1) - nth(below))
}

const median = (figures: readonly number[]): number => quantile(figures, 0.5)

const FURTHEST = 3.5

/** The figures without those that stand too far out. Where more than half are alike there is no measure of "far": all stay. */
export function withoutOutliers(figures: readonly number[]): number[] {
  const middle = median(figures)
  const mad = median(figures.map(figure => Math.abs(figure - middle)))
  return mad > 0 ? figures.filter(figure => (0.6745 * Math.abs(figure - middle)) / mad <= FURTHEST) : [...figures]
}

/** Null of no figures. */
export function spreadOf(figures: readonly number[]): Spread | null {
  if (figures.length === 0) return null
  const kept = withoutOutliers(figures)
  return {
    median: median(kept),
    lower: quantile(kept, 0.25),
    upper: quantile(kept, 0.75),
    count: kept.length,
    leftOut: figures.length - kept.length,
  }
}
