import { Refusal } from './refusal.js'

/**
 * Rounding what is weighed out (or measured out) for each load to the scale in use, so that the loads still add up to
 * the total. All amounts are in one unit, the caller's: grams of dye, millilitres of water.
 */

// Keeps a share that is a whole number of steps whole, when the division came out a hair beside it.
const HAIR = 1e-9

/**
 * Shares `totalAmount` over loads by their dry weight, every share a whole number of steps of the scale.
 * The shares add up to the rounded total, and each lies less than one step from its exact share. Steps that are left
 * over after rounding down go to the loads that lost most by it, earlier loads first.
 * Source: the method of largest remainders, which stays within the quota (Balinski & Young 1982, Fair Representation).
 * Worked example: 10 g over 300 g, 300 g and 100 g on a 1 g scale: 4, 4 and 2 (exact: 4.29, 4.29, 1.43).
 */
export function weighOut(totalAmount: number, weightsOfLoads: readonly number[], scaleStep: number): number[] {
  check(totalAmount, scaleStep, weightsOfLoads)
  const totalWeight = weightsOfLoads.reduce((sum, weight) => sum + weight, 0)
  if (!(totalWeight > 0)) throw new Refusal('wrong', 'Give the dry weight of at least one load.')

  const shares = weightsOfLoads.map((weight, index) => {
    const exact = (totalAmount / scaleStep) * (weight / totalWeight)
    const steps = Math.floor(exact + HAIR)
    return { index, steps, lost: exact - steps }
  })
  const given = shares.reduce((sum, share) => sum + share.steps, 0)
  const leftOver = wholeSteps(totalAmount, scaleStep) - given
  const byLoss = [...shares].sort((a, b) => b.lost - a.lost || a.index - b.index)
  for (const share of byLoss.slice(0, leftOver)) share.steps += 1
  return shares.map(share => amountOf(share.steps, scaleStep))
}

/**
 * What to weigh out for a load that starts now, when the loads of a lot start one after another.
 * `weightBefore` is what was dyed already, `weightNow` this load, of `totalWeight` in all. Rounds the running total,
 * not the load, so the loads add up to the rounded total in whatever order they start.
 */
export function nextWeighOut(
  totalAmount: number,
  totalWeight: number,
  weightBefore: number,
  weightNow: number,
  scaleStep: number,
): number {
  check(totalAmount, scaleStep, [totalWeight, weightBefore, weightNow])
  const after = weightBefore + weightNow
  if (!(totalWeight > 0) || after > totalWeight * (1 + HAIR)) {
    throw new Refusal('wrong', 'This load and those before it weigh more than the whole lot: check the dry weights.')
  }
  const stepsUntil = (weight: number) => wholeSteps(totalAmount * Math.min(1, weight / totalWeight), scaleStep)
  return amountOf(stepsUntil(after) - stepsUntil(weightBefore), scaleStep)
}

function check(totalAmount: number, scaleStep: number, weights: readonly number[]): void {
  if (!(scaleStep > 0 && Number.isFinite(scaleStep))) {
    throw new Refusal('wrong', 'Give the smallest step that the scale shows, for example 0.1 g.')
  }
  if (!(totalAmount >= 0 && Number.isFinite(totalAmount))) {
    throw new Refusal('wrong', 'Give the amount to weigh out as a number that is not below zero.')
  }
  if (!weights.every(weight => weight >= 0 && Number.isFinite(weight))) {
    throw new Refusal('wrong', 'Give every dry weight as a number that is not below zero.')
  }
}

const wholeSteps = (amount: number, scaleStep: number): number => Math.floor(amount / scaleStep + 0.5 + HAIR)

// 3 steps of 0.1 make 0.3, not 0.30000000000000004.
const amountOf = (steps: number, scaleStep: number): number => Number((steps * scaleStep).toPrecision(12))
