/** What the spent baths hold: all the metal that went in, as if none had stayed on the fibre. */
import { type Catalogue, METALS, type Metal } from './catalogue.js'
import { findSubstance } from './catalogue-look-up.js'
import { plainNumber } from './how.js'
import type { RecipeLine, SpentBath } from './recipe.js'

const ASK = 'Ask the local sewer authority before a spent bath is poured anywhere, and tell them what it holds.'

const METAL_WORDS: Partial<Record<Metal, string>> = {
  copper: 'Copper is very toxic to life in water, with long lasting effects: it does not go down a drain.',
  chromium: 'Chromium is poisonous: give the bath to a collector of hazardous waste.',
  tin: 'Tin salts harm life in water: give the bath to a collector of hazardous waste.',
}

export function spentBathOf(lines: RecipeLine[], catalogue: Catalogue): SpentBath {
  const held = lines.map(line => ({ line, substance: findSubstance(catalogue, line.substanceId, 'catalogue') }))
  const metals = METALS.flatMap(metal => {
    const known = held.filter(one => one.substance.metal === metal && one.substance.metalFraction !== null)
    const grams = known.reduce(
      (sum, { line, substance }) => sum + line.amount * (substance.metalFraction?.value ?? 0),
      0,
    )
    return known.length === 0 ? [] : [{ metal, grams }]
  })
  const unknown = held.filter(({ substance }) => substance.metal !== null && substance.metalFraction === null)
  const holds = metals.map(({ metal, grams }) => `At most ${plainNumber(Number(grams.toPrecision(3)))} g of ${metal}.`)
  const notKnown = unknown.map(({ substance }) => `${substance.name} holds ${substance.metal}: how much is not known.`)
  const present = METALS.filter(metal => held.some(({ substance }) => substance.metal === metal))
  const none = present.length === 0 ? ['No metal mordant is in it.'] : []
  const reducers = held.some(({ substance }) => substance.kind === 'reducing agent') ? [LET_IT_AIR] : []
  return { metals, words: [...none, ...holds, ...notKnown, ...present.flatMap(wordsOn), ...reducers, ASK] }
}

const LET_IT_AIR = 'Let a spent vat stand open and stir air into it until it no longer turns; never add acid to it.'

function wordsOn(metal: Metal): string[] {
  const words = METAL_WORDS[metal]
  return words === undefined ? [] : [words]
}
