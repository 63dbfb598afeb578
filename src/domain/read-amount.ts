/** Reads how much of a substance went into a bath: "30 mL", "12 g", "1 tsp", in the unit it is measured in. */
import type { Substance } from './catalogue.js'
import { readVolume, readWeight, type Units } from './quantity.js'
import { type Read, read, unread } from './refusal.js'
import { US_ML } from './unit.js'

export type TypedAmount = { amount: number; unit: 'g' | 'mL'; typed: string }
type Measured = Pick<Substance, 'name' | 'unit' | 'gramsPerTeaspoon'>

/**
 * A powder given in spoons is turned into grams when the catalogue knows what a US teaspoon of it holds; a liquid is
 * never weighed into mL, since nobody knows its density here.
 */
export function readAmount(typed: string, substance: Measured, units: Units): Read<TypedAmount> {
  const label = `amount of ${substance.name}`
  if (substance.unit === 'mL') {
    const volume = readVolume(typed, units, { label })
    return volume.ok ? above(volume.value.millilitres, 'mL', typed, label) : volume
  }
  const weight = readWeight(typed, units, { label })
  if (weight.ok) return above(weight.value.grams, 'g', typed, label)
  const spoons = readVolume(typed, units, { label })
  return spoons.ok ? inGrams(spoons.value.millilitres, typed, label, substance) : weight
}

function inGrams(millilitres: number, typed: string, label: string, substance: Measured): Read<TypedAmount> {
  const perTeaspoon = substance.gramsPerTeaspoon?.value ?? 0
  if (perTeaspoon > 0) return above((millilitres / US_ML.tsp) * perTeaspoon, 'g', typed, label)
  return unread(
    `What a spoon of ${substance.name} weighs is not known here. Enter the ${label} in grams, for example 12 g.`,
  )
}

function above(amount: number, unit: 'g' | 'mL', typed: string, label: string): Read<TypedAmount> {
  return amount > 0 ? read({ amount, unit, typed: typed.trim() }) : unread(`Enter an ${label} above zero.`)
}
