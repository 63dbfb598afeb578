/** What a workshop does otherwise than its recipes say, for each kind of step. */
import type { TimedStep } from './plan-steps.js'
import type { StepKey } from './recipe.js'

/** null = as the recipe says. `hands`: the work fills the whole step; `handsMinutes`: it takes so long. */
export type StepHabit = {
  key: StepKey
  hands: boolean | null
  handsMinutes: number | null
  mayStandOvernight: boolean | null
  atLeastMinutes: number | null
  atMostMinutes: number | null
}

/** The workshop's habits go before the recipe's. */
export function withHabits(step: TimedStep, habits: readonly StepHabit[]): TimedStep {
  const habit = habits.find(({ key }) => key === step.key)
  if (habit === undefined) return step
  const overnight = habit.mayStandOvernight ?? step.mayStandOvernight
  const least = habit.atLeastMinutes ?? step.atLeastMinutes
  // What may no longer stand overnight stands no longer than its time, unless the workshop says how long.
  const most = habit.atMostMinutes ?? (habit.mayStandOvernight === false ? null : step.atMostMinutes)
  return {
    ...step,
    hands: habit.hands ?? step.hands,
    handsMinutes: habit.handsMinutes ?? step.handsMinutes,
    mayStandOvernight: overnight,
    atLeastMinutes: least,
    atMostMinutes: most,
    minutes:
      habit.atLeastMinutes === null || step.minutes === null ? step.minutes : lasting(step, habit.atLeastMinutes),
  }
}

/** A least time of the workshop's makes a step no shorter than that. */
const lasting = ({ minutes }: TimedStep, least: number): number => Math.max(minutes ?? 0, least)
