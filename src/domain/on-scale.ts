import { sayFigure } from './say-quantity.js'

/** Fewer steps than this and rounding to the scale is more than 5 %: common practice, no source. */
const FEWEST_STEPS = 10

/** Whether the scale shows this weight in steps too coarse to trust. Volumes are measured, not weighed. */
export const isBelowScale = (amount: number, unit: 'g' | 'mL', scaleStepG: number): boolean =>
  unit === 'g' && amount > 0 && amount < FEWEST_STEPS * scaleStepG

/**
 * An amount as it is weighed or measured out: grams to the step of the scale, mL to three figures; what the scale is
 * too coarse for keeps three figures, so that nothing reads as "0 g". 269.43 g on a 1 g scale: "269 g"; 4.56 g: "4.56 g".
 */
export function sayOnScale(amount: number, unit: 'g' | 'mL', scaleStepG: number): string {
  if (unit === 'mL' || isBelowScale(amount, unit, scaleStepG)) return `${sayFigure(amount)} ${unit}`
  return `${sayFigure(Math.round(amount / scaleStepG) * scaleStepG, 12)} ${unit}`
}
