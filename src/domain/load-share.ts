/** A load's own share of its lot's recipe: what is weighed out for it, and how much room its bath takes. */
import { GLASS, isBelowScale } from './on-scale.js'
import type { Recipe, RecipeLine } from './recipe.js'
import { nextWeighOut } from './weigh-out.js'

/** What is weighed out for one load, on the scale in use; `key` is that of the recipe's line. */
export type WeighOutLine = Pick<RecipeLine, 'key' | 'substanceId' | 'name' | 'bathKey' | 'amount' | 'unit'>

/** Dry weights in grams: of the lots' whole recipes, of what was put into pots from them before, and of this load. */
export type SharedWeights = { totalG: number; beforeG: number; nowG: number }

/** Nearer than this, two amounts are the same: they differ by the last digits of the division alone. */
const SAME = 1e-9

/**
 * The lines of a load, which is laid by the recipes of its lots. What goes by weight of fibre is the lots' amount rounded
 * as a running total, so that the loads add up to it; what goes by the bath is rounded alone; what the scale cannot show
 * well is given to three figures.
 */
export function weighOutLines(
  lots: readonly Recipe[],
  load: Recipe,
  weights: SharedWeights,
  scaleStepG: number,
): WeighOutLine[] {
  return load.lines.map(({ key, substanceId, name, bathKey, unit, amount }) => {
    const whole = lots.reduce((sum, lot) => sum + (lot.lines.find(line => line.key === key)?.amount ?? 0), 0)
    const step = unit === 'g' ? scaleStepG : GLASS.stepMl
    const tooFine = isBelowScale(amount, unit, scaleStepG) || (unit === 'mL' && amount < GLASS.smallMl)
    const rounded = tooFine ? Number(amount.toPrecision(3)) : weighed(amount, whole, weights, step)
    return { key, substanceId, name, bathKey, unit, amount: rounded }
  })
}

function weighed(amount: number, whole: number, { totalG, beforeG, nowG }: SharedWeights, step: number): number {
  const byWeight = Math.abs(amount - (whole * nowG) / totalG) <= SAME * amount
  const withinLot = beforeG + nowG <= totalG * (1 + SAME)
  return byWeight && withinLot
    ? nextWeighOut(whole, totalG, beforeG, nowG, step)
    : nextWeighOut(amount, nowG, 0, nowG, step)
}

/** Litres for each kilogram of dry fibre in the largest bath; a stock is mixed apart from the pot. */
export function bathLPerKg(recipe: Recipe): number {
  const litres = recipe.baths.filter(bath => bath.key !== 'stock').map(bath => bath.waterL)
  return Math.max(recipe.waterL, ...litres) / (recipe.job.dryWeightG / 1000)
}

/**
 * What would come out otherwise if the kept recipe were reckoned today, in words; empty when nothing would. The
 * catalogue may have been corrected in between, and then loads of one lot would not match.
 */
export function changedSince(kept: Recipe, today: Recipe): string[] {
  const names = new Map([...kept.lines, ...today.lines].map(line => [line.key, line.name]))
  const amountIn = (recipe: Recipe, key: string) => recipe.lines.find(line => line.key === key)?.amount
  const changed = [...names].filter(([key]) => !near(amountIn(kept, key), amountIn(today, key))).map(([, name]) => name)
  const order = (recipe: Recipe) => recipe.steps.map(step => `${step.key} ${step.place}`).join()
  const steps = order(kept) === order(today) ? [] : ['the order of the steps']
  const water = near(kept.waterL, today.waterL) ? [] : ['the water']
  return [...new Set(changed), ...water, ...steps]
}

/**
 * What keeps two lots out of one bath, in words, when both recipes are reckoned for the same weight; empty when nothing
 * does. The colour is a matter of the dyes and their depth, whatever it is called.
 */
export function differsAsBath(one: Recipe, other: Recipe): string[] {
  const facts: [string, (recipe: Recipe) => unknown][] = [
    ['the depth', ({ job }) => job.depth],
    ['what counts as dry', ({ job }) => job.dryBasis],
    [
      'the times and the heat of the steps',
      ({ steps }) => steps.map(step => [step.minutes, step.atLeastMinutes, step.atMostMinutes, step.temperatureC]),
    ],
  ]
  const differ = facts.filter(([, of]) => JSON.stringify(of(one)) !== JSON.stringify(of(other)))
  return [...changedSince(one, other), ...differ.map(([words]) => words)]
}

/** Where a lot stands in its load by dry weight: the lots before it, itself, and all of it. */
export type PartOfLoad = { beforeG: number; lotG: number; loadG: number }

/**
 * The part of an amount that falls to a lot by dry weight, as it is told: to a ten-thousandth of the whole, which is finer
 * than the scale, and rounded as a running total, so that the parts add up to the amount.
 */
export function shareOf(amount: number, { beforeG, lotG, loadG }: PartOfLoad): number {
  if (lotG === loadG || amount === 0) return amount
  return nextWeighOut(amount, loadG, beforeG, lotG, stepOf(amount))
}

/** A power of ten of which the amount is a whole number. */
function stepOf(amount: number): number {
  const digits = (count: number) => 10 ** (Math.floor(Math.log10(amount)) + 1 - count)
  const isWhole = (step: number) => near(amount / step, Math.round(amount / step))
  return [4, 5, 6, 7, 8].map(digits).find(isWhole) ?? digits(9)
}

const near = (one: number | undefined, other: number | undefined): boolean =>
  one !== undefined && other !== undefined && Math.abs(one - other) <= SAME * Math.max(one, other)
