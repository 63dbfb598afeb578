/** The client's wishes about days and hours, held against one step of a plan. */
import type { Minute, PlanLoad, PlanStep, PlanWish } from './plan-input.js'

/** Minutes from its beginning on in which somebody is at a step. */
export const thereFor = ({ handsFirstMinutes, heat, minutes }: PlanStep): number =>
  Math.max(handsFirstMinutes, heat ? minutes : 0)

/** The wishes that a step, or the lift just before it, would go against if it began at `startMin`. */
export function wishesAgainst({ steps, wishes }: PlanLoad, stepN: number, startMin: Minute): PlanWish[] {
  const index = steps.findIndex(({ n }) => n === stepN)
  const [step, before] = [steps[index], steps[index - 1]]
  if (step === undefined) return []
  const from = startMin - (before?.handsLastMinutes ?? 0)
  const to = startMin + Math.max(thereFor(step), 1)
  return wishes.filter(({ fromMin, toMin }) => from < toMin && to > fromMin)
}
