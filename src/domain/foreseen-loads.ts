/** The loads that a recipe foresees for bundles that are not in a pot yet. */
import { bathLPerKg } from './load-share.js'
import { GRACE_G } from './pots.js'
import type { Recipe } from './recipe.js'
import { splitIntoPots } from './split-into-pots.js'

type Weighed = { id: number; dryWeightG: number }

/**
 * One load when the largest pot (`largestMl`, 0 when there is none) takes everything, else as few as that pot allows,
 * filled alike. A bundle that no pot takes is in a load by itself, so that somebody is told of it.
 */
export function foreseenLoads<B extends Weighed>(bundles: readonly B[], recipe: Recipe, largestMl: number): B[][] {
  const holdsG = largestMl / bathLPerKg(recipe)
  if (largestMl === 0 || weightOf(bundles) <= holdsG + GRACE_G) return bundles.length === 0 ? [] : [[...bundles]]
  const fitting = bundles.filter(bundle => bundle.dryWeightG <= holdsG + GRACE_G)
  const tooHeavy = bundles.filter(bundle => !fitting.includes(bundle)).map(bundle => [bundle])
  return [...alike(fitting, holdsG), ...tooHeavy]
}

const weightOf = (bundles: readonly Weighed[]): number => bundles.reduce((sum, { dryWeightG }) => sum + dryWeightG, 0)

/** Twice as many pots as the weight needs always take bundles that each fit in one. */
function alike<B extends Weighed>(bundles: readonly B[], holdsG: number): B[][] {
  const pots = Math.min(bundles.length, Math.ceil((2 * weightOf(bundles)) / holdsG))
  const inOneLot = bundles.map(bundle => ({ ...bundle, lotId: 'this lot', bundle }))
  const free = Array.from({ length: pots }, (_, id) => ({ id, holdsG }))
  return splitIntoPots(inOneLot, free).pots.map(pot => pot.bundles.map(({ bundle }) => bundle))
}
