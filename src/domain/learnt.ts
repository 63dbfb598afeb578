/** What the workshop's own bath log teaches: how long rinsing, standing and drying take here, by fibre and route. */
import { type LoadStep, type Press, standing } from './load.js'
import type { Water } from './outcome.js'
import type { Route, StepKey } from './recipe.js'
import { type Spread, spreadOf } from './spread.js'

/** The steps whose length shows only in the work. What a recipe prescribes, such as a bath at the simmer, is not learnt. */
export const LEARNT_KEYS = ['stand', 'rinse', 'dry'] as const
export type LearntKey = (typeof LEARNT_KEYS)[number]

/**
 * So many loads before their median counts. The true median lies between the shortest and the longest of n times with a
 * chance of 1 - 2 (1/2)^n; six is the first n with more than 95 in 100 (order statistics: David and Nagaraja, "Order
 * Statistics", 3rd ed. 2003, 7.1).
 */
export const ENOUGH = 6

/** A load as its log tells it: only presses and rinses that were not undone, in the order in which they were entered. */
export type LoggedLoad = {
  fibreId: string
  route: Route
  steps: readonly LoadStep[]
  presses: readonly Press[]
  rinses: readonly { water: Water }[]
}

export type LearntFigure = Spread & {
  fibreId: string
  route: Route
  /** A step's minutes, or how many rinses it took. */
  of: LearntKey | 'rinses'
  /** Whether it stands in the place of the guess. */
  inUse: boolean
}

type Measured = Pick<LearntFigure, 'fibreId' | 'route' | 'of'> & { figure: number }

/** Two presses within less than this were made to catch up with the work: they time nothing. */
const LEAST_MINUTES = 1

/** Water that is good enough to stop: a load that went on from darker water says nothing of how many rinses it takes. */
const RUNS_CLEAR: readonly Water[] = ['clear', 'tinted']

/** Every time that one load teaches. Only steps that have ended count, and no load that was taken out again. */
export function measuredIn(load: LoggedLoad): Measured[] {
  const { fibreId, route, steps, presses } = load
  const times = steps.flatMap((step): Measured[] => {
    const of = LEARNT_KEYS.find(key => key === step.key)
    const [begun, ended] = [presses[step.n - 1], presses[step.n]]
    if (of === undefined || begun === undefined || ended === undefined) return []
    const figure = (Date.parse(ended.at) - Date.parse(begun.at)) / 60_000
    return figure < LEAST_MINUTES ? [] : [{ fibreId, route, of, figure }]
  })
  return [...times, ...rinsesIn(load)]
}

function rinsesIn({ fibreId, route, steps, presses, rinses }: LoggedLoad): Measured[] {
  const last = rinses.at(-1)
  const isDone = standing(steps, presses, '').doneAt !== null && presses.length > 0
  if (!isDone || last === undefined || !RUNS_CLEAR.includes(last.water)) return []
  return [{ fibreId, route, of: 'rinses', figure: rinses.length }]
}

/** One figure for each fibre, route and step of which anything is known. */
export function learn(loads: readonly LoggedLoad[]): LearntFigure[] {
  const groups = new Map<string, Measured[]>()
  for (const measured of loads.flatMap(measuredIn)) {
    const key = `${measured.fibreId}\n${measured.route}\n${measured.of}`
    groups.set(key, [...(groups.get(key) ?? []), measured])
  }
  return [...groups.values()].flatMap(group => {
    const [spread, first] = [spreadOf(group.map(({ figure }) => figure)), group[0]]
    if (spread === null || first === undefined) return []
    const { fibreId, route, of } = first
    return { fibreId, route, of, ...spread, inUse: spread.count >= ENOUGH }
  })
}

export type FibreAndRoute = { fibreId: string; route: Route }

export const learntOf = (
  figures: readonly LearntFigure[],
  { fibreId, route }: FibreAndRoute,
  of: LearntFigure['of'],
): LearntFigure | undefined =>
  figures.find(figure => figure.fibreId === fibreId && figure.route === route && figure.of === of)

/**
 * For `planStepsOf`: what a step takes here, in whole minutes; null while too little is known. Not for a bath that
 * stands: it stood until somebody came, and a plan goes by the least that its recipe asks.
 */
export const learntMinutesFor =
  (figures: readonly LearntFigure[], lot: FibreAndRoute) =>
  ({ key }: { key: StepKey }): number | null => {
    const of = key === 'stand' ? undefined : LEARNT_KEYS.find(one => one === key)
    const figure = of && learntOf(figures, lot, of)
    return figure?.inUse ? Math.round(figure.median) : null
  }
