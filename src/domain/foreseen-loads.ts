/** The loads that a recipe foresees for bundles that are not in a pot yet. */
import { bathLPerKg } from './load-share.js'
import { GRACE_G } from './pots.js'
import type { Recipe } from './recipe.js'
import { splitIntoPots } from './split-into-pots.js'

type Weighed = { id: number; dryWeightG: number }

/**
 * The ways to cut bundles into loads, never none, fewest loads first: one for the largest of the pots that may take
 * them (`potsMl`, any order), and one for each smaller pot that takes every bundle whole and needs more loads than that.
 */
export function waysToCut<B extends Weighed>(
  bundles: readonly B[],
  recipe: Recipe,
  potsMl: readonly number[],
): B[][][] {
  const [largest = 0, ...smaller] = [...new Set(potsMl)].sort((a, b) => b - a)
  const ways = [foreseenLoads(bundles, recipe, largest)]
  for (const potMl of smaller) {
    const holdsG = potMl / bathLPerKg(recipe)
    if (bundles.some(bundle => !fitsIn(bundle.dryWeightG, holdsG))) break
    const way = foreseenLoads(bundles, recipe, potMl)
    if (way.length > (ways.at(-1)?.length ?? 0)) ways.push(way)
  }
  return ways
}

const fitsIn = (dryWeightG: number, holdsG: number): boolean => dryWeightG <= holdsG + GRACE_G

/**
 * One load when a pot (`potMl`, 0 when there is none) takes everything, else as few as that pot allows, filled alike.
 * A bundle that it does not take is in a load by itself, so that somebody is told of it.
 */
function foreseenLoads<B extends Weighed>(bundles: readonly B[], recipe: Recipe, potMl: number): B[][] {
  const holdsG = potMl / bathLPerKg(recipe)
  if (potMl === 0 || fitsIn(weightOf(bundles), holdsG)) return bundles.length === 0 ? [] : [[...bundles]]
  const fitting = bundles.filter(bundle => fitsIn(bundle.dryWeightG, holdsG))
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
