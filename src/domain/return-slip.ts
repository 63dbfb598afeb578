/** The return slip: what came against what went, the differences in words, and how the fibre is to be used. */
import { type BundleCheck, type BundleIn, bundleName, sayShare, sayTies, tiesMissing, weighUp } from './bundle-check.js'

export type Checked = { bundle: BundleIn; check: BundleCheck }

/** Weights in g. Only what was weighed can be held against what came: `weightInOfWeighedG` beside `weightBackG`. */
export type Accounts = {
  bundlesIn: number
  bundlesBack: number
  tiesIn: number
  tiesBack: number
  tiesReplaced: number
  tiesMissing: number
  weightInG: number
  bundlesWeighed: number
  weightInOfWeighedG: number
  /** null = nothing was weighed. */
  weightBackG: number | null
}

const sum = <T>(items: readonly T[], of: (item: T) => number): number =>
  items.reduce((total, item) => total + of(item), 0)

export function accounts(all: readonly Checked[]): Accounts {
  const weighed = all.filter(({ check }) => check.weightG !== null)
  return {
    bundlesIn: all.length,
    bundlesBack: all.filter(({ check }) => check.found).length,
    tiesIn: sum(all, ({ bundle }) => bundle.tiesIn),
    tiesBack: sum(all, ({ check }) => check.tiesBack),
    tiesReplaced: sum(all, ({ check }) => check.tiesReplaced),
    tiesMissing: sum(all, ({ bundle, check }) => tiesMissing(bundle, check)),
    weightInG: sum(all, ({ bundle }) => bundle.dryWeightG),
    bundlesWeighed: weighed.length,
    weightInOfWeighedG: sum(weighed, ({ bundle }) => bundle.dryWeightG),
    weightBackG: weighed.length === 0 ? null : sum(weighed, ({ check }) => check.weightG ?? 0),
  }
}

/** How a bundle that goes back differs from the bundle that came, in short phrases; [] when it does not. */
export function differences(bundle: BundleIn, check: BundleCheck): string[] {
  if (!check.found) return ['not found']
  const missing = tiesMissing(bundle, check)
  const weight = weighUp(bundle, check)
  return [
    missing > 0 ? `${missing} of ${sayTies(bundle.tiesIn)} missing` : '',
    check.tiesReplaced > 0 ? `${sayTies(check.tiesReplaced)} replaced from the strip’s own end` : '',
    check.tiedAgain ? '' : 'not tied up as it came',
    weight === 'light' || weight === 'heavy'
      ? `${weight}: ${sayShare(bundle, check.weightG ?? 0)} of the dry weight`
      : '',
    check.condition === 'as it came' ? '' : check.condition,
  ].filter(phrase => phrase !== '')
}

/** One line of the slip: which bundle, what differs, and the explanation word for word ('' when none was needed). */
export type SlipLine = { lotId: number; n: number; name: string; differences: string[]; explanation: string }

/** A line for each bundle that differs or carries words; the rest went back as it came. */
export const slipLines = (all: readonly Checked[]): SlipLine[] =>
  all
    .map(({ bundle, check }) => ({
      lotId: bundle.lotId,
      n: bundle.n,
      name: bundleName(bundle),
      differences: differences(bundle, check),
      explanation: check.explanation.trim(),
    }))
    .filter(line => line.differences.length > 0 || line.explanation !== '')

/** A substance that went into a bath: an amount in `unit`. */
export type Used = { substanceId: string; name: string; amount: number; unit: 'g' | 'mL' }

/** What the fibre was treated with: what was weighed out for its baths and what was added to them, one entry each. */
export function treatments(used: readonly Used[]): Used[] {
  const all = new Map<string, Used>()
  for (const one of used) {
    const before = all.get(one.substanceId)
    all.set(one.substanceId, before ? { ...before, amount: before.amount + one.amount } : one)
  }
  return [...all.values()]
}

/** How dyed fibre is to be used. Common practice, no source. */
export const USE_WORDS = [
  'Soak again in warm water before working; it dries stiff.',
  'The first wetting may bleed a little: soak it by itself, away from pale fibre, and change that water.',
] as const
