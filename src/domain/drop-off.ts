/** What is taken in at a drop-off: added up for both to agree on, and held against what the trade knows. */
import type { BundlesLine } from './bundles-line.js'
import { BUNDLE_LIMITS } from './bundles-line.js'
import type { Condition, Severity } from './catalogue.js'
import type { Finding } from './recipe.js'

/** One drop-off is written down in at most so many lots, and a lot in at most so many bundles: both from memory. */
export const MOST_LOTS = 20
export const MOST_BUNDLES = BUNDLE_LIMITS.bundles.max

/** What the client can tell of the fibre itself; the other conditions are of the dyer's own making. */
export const LOT_CONDITIONS = ['split after dyeing', 'dirty or waxy'] as const satisfies readonly Condition[]

/** Three years: a needed-by day after that is a slip of the finger. Common practice, no source. */
export const LONGEST_AHEAD_DAYS = 3 * 365

/** Ties counted, and dry weight in g. */
export type Measured = { tiesIn: number; dryWeightG: number }
export type Totals = { bundles: number; ties: number; dryWeightG: number }

/** How many bundles and ties, and what they weigh together. */
export const totalsOf = (bundles: readonly Measured[]): Totals => ({
  bundles: bundles.length,
  ties: bundles.reduce((sum, { tiesIn }) => sum + tiesIn, 0),
  dryWeightG: bundles.reduce((sum, { dryWeightG }) => sum + dryWeightG, 0),
})

/** One row of the form as it would have been typed: everything is text. */
export type TypedBundle = { ties: string; weight: string; thickness: string; condition: string; howTied: string }

/** The rows that a line of alike bundles stands for, each with the same condition and the same way of tying. */
export const rowsOf = (line: BundlesLine, alike: Pick<TypedBundle, 'condition' | 'howTied'>): TypedBundle[] =>
  Array.from({ length: line.count }, () => ({
    ties: String(line.tiesEach),
    weight: line.weightTyped,
    thickness: line.thicknessTyped ?? '',
    ...alike,
  }))

/** Bundles with these numbers that are alike in everything: each like `one`. */
export type Run<T> = { ns: number[]; one: T }

/**
 * Neighbours that are alike, told together: "bundles 1 to 12" instead of twelve lines. Numbers may leave one out that
 * was withdrawn.
 */
export function alikeRuns<T extends object>(bundles: readonly { n: number; one: T }[]): Run<T>[] {
  const runs: Run<T>[] = []
  for (const { n, one } of bundles) {
    const last = runs.at(-1)
    if (last && JSON.stringify(last.one) === JSON.stringify(one)) last.ns.push(n)
    else runs.push({ ns: [n], one })
  }
  return runs
}

const ASKS_WHY: readonly Severity[] = ['does not take', 'harms the fibre', 'leaves an undyed face']

/** Whether the dyer must say why the lot is taken in all the same; the other findings are only shown. */
export const asksWhy = (findings: readonly Finding[]): boolean =>
  findings.some(({ severity }) => ASKS_WHY.includes(severity))

type FibreAndDye = { fibreId: string; dyeId: string }

/** A colour is only made again from what was used when the fibre and the dye are those of that time. */
export const isRepeat = (lot: FibreAndDye, before: FibreAndDye): boolean =>
  lot.fibreId === before.fibreId && lot.dyeId === before.dyeId
