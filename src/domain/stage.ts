/** One stage of the work: a step before it gets its place in the order and its cautions. */
import type { BathHabit, Figure } from './catalogue.js'
import type { Step } from './recipe.js'

export type Stage = Omit<Step, 'index' | 'cautions'>

/** Above hand-warm the burner is on. */
export const HAND_WARM_C = 40

const NO_STEP: Omit<Stage, 'key' | 'title' | 'words' | 'place'> = {
  minutes: null,
  atLeastMinutes: null,
  atMostMinutes: null,
  temperatureC: null,
  hands: false,
  handsMinutes: 0,
  heat: false,
  mayStandOvernight: false,
  tiesComeOff: false,
  bathKey: null,
}

/** A stage with the usual blanks filled in; hand work is never longer than the stage itself. */
export function stage(given: Pick<Stage, 'key' | 'title' | 'words' | 'place'> & Partial<Stage>): Stage {
  const whole = { ...NO_STEP, ...given }
  const handsMinutes = whole.minutes === null ? whole.handsMinutes : Math.min(whole.handsMinutes, whole.minutes)
  return { ...whole, handsMinutes, heat: whole.heat || (whole.temperatureC ?? 0) > HAND_WARM_C }
}

export type Habit = { minutes: number | null; temperatureC: number | null; standsOvernight: boolean }

/** Several substances in one bath: the longest time, and the lowest temperature so that none is overheated. */
export function habitOf(substances: { bath: BathHabit }[]): Habit {
  const minutes = substances.map(one => valueOrNull(one.bath.minutes)).filter(value => value !== null)
  const temperatures = substances.map(one => valueOrNull(one.bath.temperatureC)).filter(value => value !== null)
  return {
    minutes: minutes.length === 0 ? null : Math.max(...minutes),
    temperatureC: temperatures.length === 0 ? null : Math.min(...temperatures),
    standsOvernight: substances.some(one => one.bath.standsOvernight),
  }
}

export function valueOrNull(figure: Figure | null): number | null {
  return figure === null ? null : figure.value
}
