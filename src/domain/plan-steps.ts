/** The steps of a recipe or a load as a plan needs them. */
import type { PlanStep } from './plan-input.js'
import type { StepKey, StepPlace } from './recipe.js'

/** What a plan asks of a step; a recipe's steps have all of it. */
export type TimedStep = {
  key: StepKey
  title: string
  place: StepPlace
  minutes: number | null
  /** Of these, for its bath to get hot. */
  warmUpMinutes: number
  atLeastMinutes: number | null
  atMostMinutes: number | null
  hands: boolean
  handsMinutes: number
  heat: boolean
  mayStandOvernight: boolean
}

/** What may stand overnight may stand a day in all, unless its recipe says otherwise: common practice, no source. */
const STANDING_MINUTES = 1440

/** Minutes to put something in to soak: common practice, no source. */
const PUT_IN_MINUTES = 5

/** A step that lasts until it is done, with nothing learnt about it yet: a guess, from nobody. */
export const GUESS_MINUTES: Record<StepKey, number> = {
  soak: 240,
  mordant: 60,
  dye: 60,
  stand: 720,
  iron: 20,
  vat: 60,
  dip: 10,
  air: 20,
  rinse: 60,
  dry: 2880,
}

/** `learntMinutes`: what the workshop's own log says of a step, in the place of the recipe's time; null = nothing yet. */
export function planStepsOf(
  steps: readonly TimedStep[],
  learntMinutes: (step: TimedStep) => number | null,
): PlanStep[] {
  return steps.map((step, index) => {
    const planned = learntMinutes(step) ?? step.minutes ?? GUESS_MINUTES[step.key]
    // An overnight bath is planned with the least that it needs, so that it can be lifted out in the morning.
    const minutes = Math.ceil(step.key === 'stand' ? Math.min(planned, step.atLeastMinutes ?? planned) : planned)
    return {
      n: index + 1,
      title: step.title,
      place: step.place,
      minutes,
      warmUpMinutes: Math.min(minutes, step.warmUpMinutes),
      standAtMostMinutes: standOf(step, minutes),
      ...handsOf(step, minutes),
      heat: step.heat,
    }
  })
}

/** What is dry may go on hanging. */
function standOf(step: TimedStep, minutes: number): number | null {
  if (step.key === 'dry') return null
  const most = step.atMostMinutes ?? (step.mayStandOvernight ? STANDING_MINUTES : 0)
  return Math.max(0, Math.floor(most - minutes))
}

/**
 * When the hands are wanted within a step: throughout, or at its beginning; but ties come off at the end of the soak,
 * after the moments that it takes to put it in, and half of the work of drying is tying up again.
 */
function handsOf(step: TimedStep, minutes: number): Pick<PlanStep, 'handsFirstMinutes' | 'handsLastMinutes'> {
  const work = Math.min(minutes, Math.ceil(step.hands ? minutes : step.handsMinutes))
  if (step.key === 'soak')
    return { handsFirstMinutes: Math.max(0, Math.min(PUT_IN_MINUTES, minutes - work)), handsLastMinutes: work }
  if (step.key === 'dry') return { handsFirstMinutes: Math.ceil(work / 2), handsLastMinutes: Math.floor(work / 2) }
  return { handsFirstMinutes: work, handsLastMinutes: 0 }
}
