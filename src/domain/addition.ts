/**
 * "It is not taking": how much more may go into a bath, and how additions count into what was really used.
 * The bounds are common practice, no source: half as much dye again at a time and as much again in all; a quarter at a
 * time and half in all of anything else, since more salt, alum or iron harms more than it helps.
 */
import type { Provenance } from './catalogue.js'
import { commonPractice, measure } from './how.js'
import type { LineRole, Recipe, UsedRate } from './recipe.js'
import { type Read, Refusal, read, unread } from './refusal.js'

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
  const words = `At most ${measure(once, unit)} of ${name} now; ${measure(left, unit)} more in all. Dissolve it first, lift the fibre out, stir it in, and give it half an hour.`
  return { substanceId, name, unit, once, inAll, left, words, provenance: commonPractice }
}

/** The amount to log, or why it is out of bounds. */
export function readAddition(recipe: Recipe, substanceId: string, alreadyAdded: number, amount: number): Read<number> {
  const { name, unit, once, left } = additionBounds(recipe, substanceId, alreadyAdded)
  if (!(amount > 0)) return unread(`How much was added of ${name}, in ${unit}? Type more than nothing.`)
  if (left === 0)
    return unread(
      `This bath has had as much of ${name} as it should get: make a new bath, or leave the shade as it is.`,
    )
  if (amount > once * GRACE)
    return unread(`Add at most ${measure(once, unit)} of ${name} at a time. Wait, then look again.`)
  return read(amount)
}

/** What was really used, per kg of dry fibre, summed by substance: ready for the job that repeats the lot. */
export function usedRatesOf(
  dryWeightG: number,
  used: { substanceId: string; amount: number; unit: 'g' | 'mL' }[],
  from: string,
): UsedRate[] {
  if (!(dryWeightG > 0))
    throw new Refusal('wrong', 'The dry weight of the lot must be more than nothing.', 'dryWeightG')
  const byId = new Map<string, UsedRate>()
  for (const { substanceId, amount, unit } of used) {
    const before = byId.get(substanceId)?.perKg ?? 0
    byId.set(substanceId, { substanceId, perKg: before + amount / (dryWeightG / 1000), unit, from })
  }
  return [...byId.values()]
}
