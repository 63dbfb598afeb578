/** What can come next for a lot, by where its bundles are and what is written down of it. */
import { isHere, LOAD_PLACES, type Place } from './place.js'

/** "lot 3", "lots 3 and 5", "lots 3, 5 and 9". */
export function sayLots(ids: readonly number[]): string {
  const last = ids.at(-1) ?? ''
  return ids.length < 2 ? `lot ${last}` : `lots ${ids.slice(0, -1).join(', ')} and ${last}`
}

/** The same at the beginning of a line: "Lot 3", "Lots 3 and 5". */
export const sayLotsFirst = (ids: readonly number[]): string => sayLots(ids).replace(/^l/, 'L')

export type LotStep = 'recipe' | 'pot' | 'today' | 'outcome' | 'hand-back' | 'repeat'

export type LotStanding = {
  places: readonly Place[]
  hasRecipe: boolean
  wasLaid: boolean
  hasOutcome: boolean
}

const inAPot = (place: Place): boolean => (LOAD_PLACES as readonly Place[]).includes(place)

/** What can be done with the lot now, the most pressing first. */
export function comesNext({ places, hasRecipe, wasLaid, hasOutcome }: LotStanding): LotStep[] {
  const here = places.filter(isHere)
  const [waits, works, ready] = [here.includes('arrivals shelf'), here.some(inAPot), here.includes('ready shelf')]
  const steps: [LotStep, boolean][] = [
    ['pot', waits && hasRecipe],
    ['recipe', waits && !hasRecipe],
    ['today', works],
    ['outcome', wasLaid && !works && !hasOutcome],
    ['hand-back', ready],
    ['repeat', !waits && !works],
    ['recipe', here.length > 0],
    ['outcome', true],
  ]
  return [...new Set(steps.filter(([, can]) => can).map(([step]) => step))]
}
