/** Amounts as they are weighed or measured out on the workshop's own scale. */
import { sayFigure } from './say-quantity.js'
import { needsStock, planStock, type Scale, type Strength, smallestWeighed } from './stock-solution.js'
import type { Working } from './working.js'

/** What may be lost at worst to the tare and the reading together, so half of it at each: common practice, no source. */
const ALLOWED_ERROR_PERCENT = 10
export const STOCK_ROUND_ML = 100

/** A scale of this workshop, by the step that it shows. */
export const scaleOf = (stepG: number): Scale => ({ stepG, allowedErrorPercent: ALLOWED_ERROR_PERCENT })

/** Whether the scale shows this weight in steps too coarse to trust. Volumes are measured, not weighed. */
export const isBelowScale = (amount: number, unit: 'g' | 'mL', stepG: number): boolean =>
  unit === 'g' && amount > 0 && amount < smallestWeighed(scaleOf(stepG)).grams * (1 - 1e-9)

/**
 * Grams as they are weighed out, to the step of the scale; what it is too coarse for keeps three figures, so that
 * nothing reads as "0 g". 269.43 g on a 1 g scale: "269 g"; 4.561 g: "4.56 g".
 */
export function sayOnScale(grams: number, stepG: number): string {
  if (isBelowScale(grams, 'g', stepG)) return `${sayFigure(grams)} g`
  return `${sayFigure(Math.round(grams / stepG) * stepG, 12)} g`
}

/** A measuring glass is read to the millilitre, and a small amount in a syringe to three figures: common practice. */
export const GLASS = { stepMl: 1, smallMl: 10 } as const

/** Millilitres as they are measured out: 19.6 is "20 mL" on the recipe as on the load. */
export const onGlass = (millilitres: number): number =>
  millilitres < GLASS.smallMl ? millilitres : Math.round(millilitres / GLASS.stepMl) * GLASS.stepMl

/** `sentence`: why, and what to do. `short`: what to do, for the paper beside the pot. */
export type StockAdvice = { sentence: string; short: string; hows: Working[] }

/**
 * The stock solution to measure from when an amount is too little for the scale, else null. It is made of as much as
 * the scale weighs well, in whole 100 mL: 4.56 g on a 1 g scale is 91.2 mL of 10 g made up to 200 mL (5 %).
 */
export function stockFor(amount: number, unit: 'g' | 'mL', stepG: number): StockAdvice | null {
  if (!isBelowScale(amount, unit, stepG)) return null
  const { sentence, how } = needsStock(amount, scaleOf(stepG))
  const strength = strengthFor(smallestWeighed(scaleOf(stepG)).grams)
  const rounding = { sparePercent: 0, roundUpMl: STOCK_ROUND_ML }
  const { portion, make } = planStock(amount, strength, scaleOf(stepG), rounding)
  const short = `weigh ${sayFigure(make.weighG)} g, make it up with water to ${sayFigure(make.makeMl)} mL, and measure off ${sayFigure(portion.volumeMl)} mL`
  const rest = `Here: ${short}. What does not dissolve needs a finer scale.`
  return { sentence: `${sentence} ${rest}`, short, hows: [how, portion.how, make.weighHow] }
}

/** Weak enough to dissolve, strong enough for a jug. */
const strengthFor = (grams: number): Strength => ({ value: grams > 5 ? 5 : 1, unit: '% w/v' })
