/** What a workshop does otherwise than its recipes say, for each kind of step. */
import type { TimedStep } from './plan-steps.js'
import { sayMinutes } from './read-lapse.js'
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

export const STEP_KIND_WORDS: Record<StepKey, string> = {
  soak: 'Soaking',
  mordant: 'Mordanting',
  dye: 'Dyeing',
  stand: 'Left in the bath overnight',
  iron: 'Iron bath',
  vat: 'Making a vat',
  dip: 'Each dip',
  air: 'Each airing',
  rinse: 'Rinsing',
  dry: 'Drying',
}

/** "hands for 15 min, may stand overnight, no less than 8 h, no longer than 24 h"; '' when it is as recipes say. */
export function sayHabit({ hands, handsMinutes, mayStandOvernight, atLeastMinutes, atMostMinutes }: StepHabit): string {
  const work =
    hands === true ? 'hands all the while' : handsMinutes === null ? '' : `hands for ${sayMinutes(handsMinutes)}`
  const night = mayStandOvernight === null ? '' : mayStandOvernight ? 'may stand overnight' : 'never overnight'
  const least = atLeastMinutes === null ? '' : `no less than ${sayMinutes(atLeastMinutes)}`
  const most = atMostMinutes === null ? '' : `no longer than ${sayMinutes(atMostMinutes)}`
  return [work, night, least, most].filter(words => words !== '').join(', ')
}

export const isHabit = (habit: StepHabit): boolean => sayHabit(habit) !== ''
