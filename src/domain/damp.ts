/** Fibre that was weighed damp: how damp, as it was told, and what that makes of its weight. Weights in g. */
import type { Fibre } from './catalogue.js'
import {
  basisFor,
  type DryWeight,
  dryWeightFromAir,
  dryWeightFromMoisture,
  type Moisture,
  type ReckonedBasis,
  sayBasis,
} from './dry-weight.js'
import { sayFigure } from './say-quantity.js'

/** Its moisture was measured; or it rested in air of this kind until its weight no longer changed. */
export type Damp =
  | { how: 'moisture'; percent: number; of: Moisture['of'] }
  | { how: 'air'; temperatureC: number; temperatureTyped: string; relativeHumidityPercent: number }

/** The dry weight of what was weighed damp. `words` say how damp it was, `basisWords` what "dry" means. */
export type Dried = DryWeight & { dampG: number; words: string; basisWords: string }

/** "22 % moisture of the dry weight", "rested in air of 18 °C and 70 % humidity". */
export function sayDamp(damp: Damp): string {
  if (damp.how === 'air')
    return `rested in air of ${damp.temperatureTyped} and ${sayFigure(damp.relativeHumidityPercent, 6)} % humidity`
  const of = damp.of === 'damp weight' ? 'damp weight' : 'dry weight'
  return `${sayFigure(damp.percent, 6)} % moisture of the ${of}`
}

/** How a damp weight is written down: "180 g damp, 22 % moisture of the dry weight". A bare figure was in grams. */
export const dampWeightWords = (weightTyped: string, damp: Damp): string =>
  `${/\p{Letter}/u.test(weightTyped) ? weightTyped : `${weightTyped} g`} damp, ${sayDamp(damp)}`

const DAMP = /\b(damp|wet|moist|soaked)\b/i

/** What to say to a weight that calls itself damp without a figure; undefined when it does not. */
export const whyNotDamp = (typed: string): string | undefined =>
  DAMP.test(typed)
    ? 'Only dry weight counts. Enter the weight alone, and say under “Weighed damp” how damp it is: measure its moisture, or the air that it rested in.'
    : undefined

/** The dry weight, on the basis that this workshop calls dry. Refuses what cannot be, in a sentence. */
export function dryOut(
  dampG: number,
  damp: Damp,
  dryBasis: ReckonedBasis['kind'],
  fibre: Pick<Fibre, 'name' | 'regainPercent'>,
): Dried {
  const { basis, notes } = basisFor(dryBasis, fibre)
  const dry = damp.how === 'moisture' ? dryWeightFromMoisture(dampG, damp, basis) : dryWeightFromAir(dampG, damp, basis)
  return { ...dry, notes: [...dry.notes, ...notes], dampG, words: sayDamp(damp), basisWords: sayBasis(basis) }
}
