/** What cannot be planned at all, and why, in words for the dyer. */
import { sayLapse } from './calendar.js'
import type { Bench } from './plan-fit.js'
import { earliestFit, startOf } from './plan-fit.js'
import type { Minute, PlanLoad, PlanPin, PlanWorkshop } from './plan-input.js'
import { CHOSEN, type Stretch } from './plan-stretch.js'
import { thereFor, wishesAgainst } from './plan-wish.js'

export type PlanProblem = {
  kind:
    | 'no steps'
    | 'no pot'
    | 'line too short'
    | 'no sink'
    | 'no hours'
    | 'too long'
    | 'never fits'
    | 'pin'
    | 'stands too long'
  loadId: string
  stepN: number | null
  words: string
  /** Of a pin, the next time at which it could be; null where there is none, or for another problem. */
  nextMin: Minute | null
}

/** What can be seen before anything is placed; null when nothing is wrong. */
export function problemBefore(load: PlanLoad, workshop: PlanWorkshop, bench: Bench, pots: Pots): PlanProblem | null {
  const problem = (kind: PlanProblem['kind'], stepN: number | null, words: string): PlanProblem => ({
    kind,
    loadId: load.id,
    stepN,
    words: `${load.name} cannot be planned: ${words}`,
    nextMin: null,
  })
  if (load.steps.length === 0) return problem('no steps', null, 'it has no steps.')
  if (bench.hours.attend(bench.now, 0, 0) === Number.POSITIVE_INFINITY)
    return problem('no hours', null, 'no working hours are set. Give the hours of at least one weekday.')
  const todo = load.steps.slice(load.begunMin.length)
  const inPot = todo.find(step => step.place === 'pot' || (step.place === 'soak tub' && workshop.soakTubs === 0))
  if (inPot !== undefined && pots.needed && pots.lanes.length === 0) {
    const why = pots.refused.length === 0 ? 'there are no pots' : `no pot takes it: ${pots.refused.join('; ')}`
    return problem('no pot', inPot.n, `${why}.`)
  }
  const rinse = todo.find(step => step.place === 'rinse')
  if (rinse !== undefined && workshop.sinks < 1) return problem('no sink', rinse.n, 'there is no sink to rinse it in.')
  const dry = todo.find(step => step.place === 'drying line')
  if (dry !== undefined && load.lineNeed > workshop.lineRoom)
    return problem(
      'line too short',
      dry.n,
      `it needs ${load.lineNeed} of the drying line, which has room for ${workshop.lineRoom}.`,
    )
  const long = todo.find(step => neverThere(bench, step.handsLastMinutes, 0) || neverThere(bench, 0, thereFor(step)))
  if (long !== undefined) {
    const minutes = Math.max(long.handsLastMinutes, thereFor(long))
    const need = long.heat ? 'somebody there while it is hot' : 'hands'
    return problem(
      'too long',
      long.n,
      `“${long.title}” needs ${need} for ${sayLapse(minutes)}, longer than any of your working hours.`,
    )
  }
  return null
}

export type Pots = { lanes: number[]; refused: string[]; needed: boolean }

const neverThere = ({ hours, now }: Bench, before: number, length: number): boolean =>
  before + length > 0 && hours.attend(now + before, before, length) === Number.POSITIVE_INFINITY

/** Why a stretch goes nowhere, not even in an empty workshop: the first step after which nothing fits any more. */
export function whyNowhere(load: PlanLoad, stretch: Stretch, empty: Bench): PlanProblem {
  const failing = Array.from({ length: stretch.count }, (_, at) => at + 1).find(
    count =>
      !(stretch.pots.length === 0 ? [CHOSEN] : stretch.pots).some(
        pot => earliestFit(empty, upTo(stretch, count), pot, startOf(empty, upTo(stretch, count), empty.now)).ok,
      ),
  )
  const pin = load.pins.find(one => one.startMin !== null)
  const stepN = stretch.first + (failing ?? stretch.count)
  if (pin !== undefined) {
    const title = load.steps[pin.stepN - 1]?.title ?? 'A step'
    const [wish] = pin.againstWish ? [] : wishesAgainst(load, pin.stepN, pin.startMin ?? empty.now)
    const against = wish === undefined ? '' : `: a wish of the client is against it (${wish.words.replace(/\.$/, '')})`
    const words = `${load.name} cannot be planned: “${title}” is pinned to a time at which it cannot begin${against}. Move the pin or take it away.`
    return { kind: 'pin', loadId: load.id, stepN: pin.stepN, words, nextMin: nextFor(pin, stretch, empty) }
  }
  const step = load.steps[stepN - 1]
  const stand = step?.standAtMostMinutes ?? 0
  const wish = stretch.wishes.length === 0 ? '' : ', or a wish of the client is in the way'
  const words = `${load.name} cannot be planned: “${step?.title ?? ''}” takes ${sayLapse(step?.minutes ?? 0)} and may then stand ${sayLapse(stand)}, and nobody is there when it must be lifted out${wish}. Let it stand longer or change your hours.`
  return { kind: 'never fits', loadId: load.id, stepN, words, nextMin: null }
}

/** The first time from the pin on at which the step could begin, in any pot that it may come into. */
function nextFor({ stepN, startMin }: PlanPin, stretch: Stretch, bench: Bench): Minute | null {
  const k = stepN - 1 - stretch.first
  if (startMin === null || k < 0 || k > stretch.count) return null
  const free = { ...stretch, pinned: stretch.pinned.map((at, moment) => (moment === k ? undefined : at)) }
  const floor = free.pinned.map((_, moment) => (moment === k ? startMin : Number.NEGATIVE_INFINITY))
  const fits = (free.pots.length === 0 ? [CHOSEN] : free.pots).map(pot =>
    earliestFit(bench, free, pot, startOf(bench, free, bench.now, floor)),
  )
  const next = Math.min(...fits.flatMap(({ ok, at }) => (ok ? [at[k] ?? Number.POSITIVE_INFINITY] : [])))
  return Number.isFinite(next) ? next : null
}

const upTo = (stretch: Stretch, count: number): Stretch => ({
  ...stretch,
  count,
  holds: stretch.holds.flatMap(hold => (hold.from < count ? [{ ...hold, to: Math.min(hold.to, count) }] : [])),
})

/** A step under way that cannot be lifted out in time any more. */
export const standsTooLong = (load: PlanLoad, stepN: number, byMinutes: number): PlanProblem => ({
  kind: 'stands too long',
  loadId: load.id,
  stepN,
  words: `${load.name}: “${load.steps[stepN - 1]?.title ?? ''}” will stand ${sayLapse(byMinutes)} longer than it may. See to it first.`,
  nextMin: null,
})
