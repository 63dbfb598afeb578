import type { Figure } from './catalogue.js'
import { Refusal } from './refusal.js'
import { sayRatio, sayWeight } from './say-quantity.js'
import { given, measured, type Working, working } from './working.js'

/** A dye pot. `usableVolumeMl` already leaves head-room for stirring and for fibre that floats. */
export interface Pot {
  name: string
  usableVolumeMl: number
}

/** How a load sits in a pot. Too heavy comes with a sentence for the dyer. */
export type Fit =
  | { fits: true; holdsG: number; spareG: number }
  | { fits: false; holdsG: number; overG: number; sentence: string }

/**
 * One milligram. Weights typed in ounces are not whole grams, so sums of them may miss a limit by less than any
 * workshop scale can show; nothing is refused for so little.
 */
export const GRACE_G = 0.001

/**
 * The dry weight of fibre, in grams, that a pot takes: usable volume over liquor ratio, since mL divided by litres
 * per kilogram is grams. 15 L at 20 L per kg: 750 g. The ratio counts the whole bath against the dry fibre.
 */
export function potHoldsG(pot: Pot, liquorLPerKg: number): number {
  if (!(liquorLPerKg > 0)) {
    throw new Refusal('wrong', 'Give the liquor ratio as parts of bath to one of dry fibre, for example 1 : 20.')
  }
  if (!(pot.usableVolumeMl > 0)) {
    throw new Refusal('wrong', `Give the usable volume of ${pot.name}, for example 15 L.`)
  }
  return pot.usableVolumeMl / liquorLPerKg
}

/** The same with its formula, for a liquor ratio that says where it comes from. */
export function potRoom(pot: Pot, liquorLPerKg: Figure): { holdsG: number; how: Working } {
  const value = potHoldsG(pot, liquorLPerKg.value)
  const inputs = {
    usable: measured(`usable volume of ${pot.name}`, pot.usableVolumeMl, 'mL'),
    ratio: given('liquor ratio', liquorLPerKg, 'L/kg'),
  }
  const result = { label: 'dry weight that it holds', value, unit: 'g' }
  return { holdsG: value, how: working('{usable} ÷ {ratio}', inputs, result) }
}

/**
 * Whether a load of this dry weight goes into this pot, and if not, by how much it does not.
 * `weight` writes grams in the dyer's own units.
 */
export function fit(dryWeightG: number, pot: Pot, liquorLPerKg: number, weight = grams): Fit {
  const holdsG = potHoldsG(pot, liquorLPerKg)
  const overG = dryWeightG - holdsG
  if (overG <= GRACE_G) return { fits: true, holdsG, spareG: Math.max(0, -overG) }
  const sentence = `${pot.name} holds ${weight(holdsG)} at a liquor ratio of ${sayRatio(liquorLPerKg)}; this load is ${weight(overG)} over.`
  return { fits: false, holdsG, overG, sentence }
}

/** The default way to write a weight: metric. */
export const grams = (weightG: number): string => sayWeight(weightG, { weight: 'metric' })
