/**
 * "It is not taking": how much more may go into a bath, and how additions count into what was really used.
 * The bounds are common practice, no source: half as much dye again at a time and as much again in all; a quarter at a
 * time and half in all of anything else, since more salt, alum or iron harms more than it helps.
 */
import type { Provenance } from './catalogue.js'
import { commonPractice } from './how.js'
import type { LineRole, Recipe, UsedRate } from './recipe.js'
import { Refusal } from './refusal.js'
import { sayFigure } from './say-quantity.js'

/** Amounts in the line's unit: `once` at one time, `inAll` over the whole bath, `left` after what was added already. */
export type AdditionBounds = {
  substanceId: string
  name: string
  unit: 'g' | 'mL'
  once: number
  inAll: number
  left: number
  words: string
  provenance: Provenance
}

/** Rounding in the scale's last digit is not a breach of the bounds. */
const GRACE = 1 + 1e-9

const partsFor = (role: LineRole) => (role === 'dye' ? { once: 0.5, inAll: 1 } : { once: 0.25, inAll: 0.5 })

/** Three figures, rounded down, so that what is said may be added as it is said. */
function sayBound(amount: number, unit: 'g' | 'mL'): string {
  const step = amount > 0 ? 10 ** (Math.floor(Math.log10(amount)) - 2) : 1
  return `${sayFigure(Math.floor(amount / step + 1e-9) * step)} ${unit}`
}

/** Refuses a substance that is not in the recipe. `alreadyAdded` is the sum of the earlier additions. */
export function additionBounds(recipe: Recipe, substanceId: string, alreadyAdded: number): AdditionBounds {
  const lines = recipe.lines.filter(line => line.substanceId === substanceId)
  const [first] = lines
  if (first === undefined)
    throw new Refusal('wrong', 'That is not in this recipe: choose one of its lines.', 'substanceId')
  const amount = lines.reduce((sum, line) => sum + line.amount, 0)
  const parts = partsFor(first.role)
  const inAll = amount * parts.inAll
  const left = Math.max(0, inAll - alreadyAdded)
  const once = Math.min(amount * parts.once, left)
  const { name, unit } = first
  const words = `At most ${sayBound(once, unit)} of ${name} now; ${sayBound(left, unit)} more in all.`
  return { substanceId, name, unit, once, inAll, left, words, provenance: commonPractice }
}

/** How anything goes into a bath in which fibre lies: common practice, no source. */
export const ADDING_CARE = 'Dissolve it first, lift the fibre out, stir it in, and give it half an hour.'

/** What goes in: its amount in the unit that it is measured in. */
export type Addition = { substanceId: string; name: string; amount: number; unit: 'g' | 'mL' }

/**
 * Why an addition needs a word from the dyer, in a sentence: there is none of it in the recipe, or it is more than the
 * bounds. Null when it is within them. `alreadyAdded` is the sum of the earlier additions.
 */
export function asksWhyAdded(
  recipe: Recipe,
  { substanceId, name, amount, unit }: Addition,
  alreadyAdded: number,
): string | null {
  if (!recipe.lines.some(line => line.substanceId === substanceId)) return `There is no ${name} in this recipe.`
  const { once, left, ...bounds } = additionBounds(recipe, substanceId, alreadyAdded)
  if (unit === bounds.unit && amount <= once * GRACE) return null
  if (left === 0) return `This bath has had as much of ${name} as it should get.`
  return `At most ${sayBound(once, bounds.unit)} of ${name} should go in at a time.`
}

/** `asComputed`: nobody said what was weighed out, so what was computed stands in for it, or for a part of it. */
type AsComputed = { asComputed: boolean }
export type UsedAmount = Partial<AsComputed> & { substanceId: string; amount: number; unit: 'g' | 'mL' }

/** What was really used, per kg of dry fibre, summed by substance: ready for the job that repeats the lot. */
export function usedRatesOf(dryWeightG: number, used: UsedAmount[], from: string): (UsedRate & AsComputed)[] {
  if (!(dryWeightG > 0))
    throw new Refusal('wrong', 'The dry weight of the lot must be more than nothing.', 'dryWeightG')
  const byId = new Map<string, UsedRate & AsComputed>()
  for (const { substanceId, amount, unit, asComputed = false } of used) {
    const before = byId.get(substanceId) ?? { perKg: 0, asComputed: false }
    const perKg = before.perKg + amount / (dryWeightG / 1000)
    byId.set(substanceId, { substanceId, perKg, unit, from, asComputed: before.asComputed || asComputed })
  }
  return [...byId.values()].map(rate => (rate.asComputed ? { ...rate, from: `${from}, taken as computed` } : rate))
}
