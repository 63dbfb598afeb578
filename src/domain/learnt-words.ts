/** What is learnt, beside what it replaces, in words: which of the two is in use, and on how much it rests. */
import { sayLapse } from './calendar.js'
import type { Figure } from './catalogue.js'
import { ENOUGH, type FibreAndRoute, type LearntFigure } from './learnt.js'
import { GUESS_MINUTES } from './plan-steps.js'
import { ROUTE_WORDS } from './recipe.js'

export type LearntLine = LearntFigure & {
  title: string
  routeWords: string
  /** What a plan goes by, and how sure that is; then the other of the two. */
  inUseWords: string
  besideWords: string
}

const TITLES: Record<LearntFigure['of'], string> = {
  stand: 'Standing in the bath',
  rinse: 'Rinsing',
  rinses: 'Rinses until it ran clear',
  dry: 'Drying',
}

const ORDER: readonly LearntFigure['of'][] = ['stand', 'rinse', 'rinses', 'dry']

/** One line for each figure of one fibre, in the order of the work; `dryingHours` is the catalogue's. */
export function learntLines(figures: readonly LearntFigure[], dryingHours: Figure | null): LearntLine[] {
  const sorted = figures.toSorted(
    (a, b) => ROUTE_WORDS[a.route].localeCompare(ROUTE_WORDS[b.route]) || ORDER.indexOf(a.of) - ORDER.indexOf(b.of),
  )
  return sorted.map(figure => ({
    ...figure,
    title: TITLES[figure.of],
    routeWords: ROUTE_WORDS[figure.route],
    ...wordsOf(figure, insteadOf(figure.of, dryingHours)),
  }))
}

export const linesOf = (lines: readonly LearntLine[], { fibreId, route }: FibreAndRoute): LearntLine[] =>
  lines.filter(line => line.fibreId === fibreId && line.route === route)

function insteadOf(of: LearntFigure['of'], dryingHours: Figure | null): string {
  if (of === 'rinses') return ''
  if (of === 'stand') return 'what the recipe says; a plan goes by the least that it asks'
  if (of === 'dry' && dryingHours !== null) return `${sayLapse(dryingHours.value * 60)}, the catalogue's figure`
  return `${sayLapse(GUESS_MINUTES[of])}, a guess`
}

function wordsOf(figure: LearntFigure, instead: string): Pick<LearntLine, 'inUseWords' | 'besideWords'> {
  const learnt = sayLearnt(figure)
  // A bath stood until somebody came: that is worth knowing, and no reason to plan so.
  if (figure.of === 'stand') return { inUseWords: instead, besideWords: `${learnt} so far` }
  if (figure.inUse) return { inUseWords: learnt, besideWords: instead === '' ? '' : `in the place of ${instead}` }
  const more = ENOUGH - figure.count
  const until = `${learnt} so far; counts after ${more} more`
  return { inUseWords: instead === '' ? 'not known yet' : instead, besideWords: until }
}

/** "50 min, learnt from 8 loads here, half of them between 44 min and 1 h 1 min". */
export function sayLearnt(figure: LearntFigure): string {
  const say = (value: number): string => (figure.of === 'rinses' ? oneDecimal(value) : sayLapse(value))
  const loads = figure.count === 1 ? '1 load' : `${figure.count} loads`
  const [from, to] = [say(figure.lower), say(figure.upper)]
  const half =
    figure.count < 3 ? '' : from === to ? `, at least half of them ${from}` : `, half of them between ${from} and ${to}`
  const odd = figure.leftOut === 0 ? '' : `, without ${figure.leftOut} far from the rest`
  return `${say(figure.median)}, learnt from ${loads} here${half}${odd}`
}

const oneDecimal = (value: number): string => String(Math.round(value * 10) / 10)
