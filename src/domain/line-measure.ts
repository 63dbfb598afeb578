/**
 * How an amount of a substance reads, on every page alike. It is weighed in grams whatever the fibre is weighed in, and
 * measured in the workshop's own volumes; what stands beside it is the same amount for who measures otherwise.
 */
import { onGlass, sayOnScale } from './on-scale.js'
import type { RecipeLine } from './recipe.js'
import { sayFigure, sayVolume, sayWeight } from './say-quantity.js'
import { GRAMS, type Units } from './unit.js'

export type Measured = Pick<RecipeLine, 'amount' | 'unit' | 'alsoShown'>
export type LineMeasure = { amount: string; also: string[] }

const US_KITCHEN = /\bUS (tea|table)spoons?$|\bUS cups?$/

/**
 * `stepG`: the step of the scale that it is yet to be weighed on; null for what was weighed, which is said as it was.
 * US spoons and cups stand beside grams in a US workshop alone: elsewhere nobody has them in the drawer.
 */
export function measureOf({ amount, unit, alsoShown }: Measured, units: Units, stepG: number | null): LineMeasure {
  const kitchen = unit === 'g' && units.volume === 'us'
  const beside = alsoShown.filter(words => kitchen || !US_KITCHEN.test(words))
  return unit === 'g'
    ? { amount: sayGrams(amount, stepG), also: [...beside, ...inOunces(amount, units)] }
    : inVolume(stepG === null ? amount : onGlass(amount), units, beside)
}

const inVolume = (millilitres: number, units: Units, beside: string[]): LineMeasure => ({
  amount: sayVolume(millilitres, units),
  also: [...inMillilitres(millilitres, units), ...beside],
})

const sayGrams = (amount: number, stepG: number | null): string =>
  stepG === null ? `${sayFigure(amount, 8)} g` : sayOnScale(amount, stepG)

const inOunces = (amount: number, units: Units): string[] =>
  units.weight === 'pounds' && amount >= GRAMS.oz ? [sayWeight(amount, units)] : []

/** A spoon is read to the eighth; the millilitres beside it are nearer. */
const inMillilitres = (amount: number, units: Units): string[] =>
  units.volume === 'metric' || sayVolume(amount, units).endsWith('mL') ? [] : [sayVolume(amount, { volume: 'metric' })]
