/**
 * The steps of a load, as a machine without a clock. Where a load stands follows from its steps and from the presses
 * that still count, and from nothing else: so to undo a press is to leave it out, and everything is as it was before.
 */
import type { Water } from './outcome.js'
import type { Place } from './place.js'
import type { Step, StepPlace } from './recipe.js'

/** One step of a load; `n` counts from 1 without gaps. `minutes` null = until it is done. */
export type LoadStep = {
  n: number
  key: string
  title: string
  place: StepPlace
  minutes: number | null
  /** Of these, for its bath to get hot. */
  warmUpMinutes: number
  /** Of these, by how much it runs over, as it was said. */
  overMinutes: number
  /** Minutes after which it is late: a bath left overnight may stand on past its planned time. */
  lateAfterMinutes: number | null
  temperatureC: number | null
  heat: boolean
  tiesComeOff: boolean
}

/** The press that began step `n` at `at` (ISO 8601 UTC); one past the last step laid the bundles on the ready shelf. */
export type Press = { n: number; at: string }

export type Standing = {
  /** The step that runs; the last one when the load is done, the first when it was taken out again. */
  stepN: number
  stepSince: string
  /** Where its bundles are; null when the load was taken out again: each is where it came from. */
  place: Place | null
  tiesAreOff: boolean
  potFreeAt: string | null
  doneAt: string | null
}

/**
 * Where a load stands after the presses that count, oldest first. Press 1 laid the load; without any it was taken out
 * of the pot again, at `takenOutAt`.
 */
export function standing(steps: readonly LoadStep[], presses: readonly Press[], takenOutAt: string): Standing {
  const begun = presses.length
  const current = presses.at(-1)
  if (current === undefined) {
    return {
      stepN: 1,
      stepSince: takenOutAt,
      place: null,
      tiesAreOff: false,
      potFreeAt: takenOutAt,
      doneAt: takenOutAt,
    }
  }
  const done = begun > steps.length
  const freeing = presses.find(press => leavesPot(steps, press.n))
  return {
    stepN: Math.min(begun, steps.length),
    stepSince: current.at,
    place: done ? 'ready shelf' : (steps[begun - 1]?.place ?? 'ready shelf'),
    tiesAreOff: !done && steps.some(step => step.tiesComeOff && step.n < begun),
    potFreeAt: freeing?.at ?? null,
    doneAt: done ? current.at : null,
  }
}

/** A clock shows no seconds: a step counts for the whole of the minutes in which it began and ended. */
const minuteOf = (at: string): string => at.slice(0, 'yyyy-mm-ddThh:mm'.length)

/** Whether its bundles were at a place at `at`, in the step of a press that counts. */
export const wasAt = (place: StepPlace, steps: readonly LoadStep[], presses: readonly Press[], at: string): boolean =>
  presses.some((press, index) => {
    const left = presses[index + 1]
    const hadBegun = minuteOf(press.at) <= minuteOf(at)
    return steps[press.n - 1]?.place === place && hadBegun && (!left || minuteOf(at) <= minuteOf(left.at))
  })

/** Whether a load was done before `at`. */
export const wasDone = ({ doneAt }: { doneAt: string | null }, at: string): boolean =>
  doneAt !== null && minuteOf(doneAt) < minuteOf(at)

const NEEDS_POT: readonly StepPlace[] = ['soak tub', 'pot']

/** Whether the pot is free once step `n` begins: nothing soaks for it, and no later step goes into it. */
function leavesPot(steps: readonly LoadStep[], n: number): boolean {
  const step = steps[n - 1]
  if (step === undefined) return true
  return !NEEDS_POT.includes(step.place) && !steps.slice(n).some(later => later.place === 'pot')
}

/** Whether a press that begins step `n` takes the bundles out: out of the pot for good, or out of the load. */
export function takesOut(steps: readonly LoadStep[], n: number): boolean {
  const wasFree = steps.slice(0, n - 1).some(step => leavesPot(steps, step.n))
  return n > steps.length || (!wasFree && leavesPot(steps, n))
}

/** What may stand overnight may stand a day, unless its recipe says how long at most: common practice, no source. */
const STANDING_MINUTES = 1440

/** Minutes after which a step of a recipe is late; null when it lasts until it is done. */
export function lateAfter(step: Pick<Step, 'minutes' | 'atMostMinutes' | 'mayStandOvernight'>): number | null {
  if (step.minutes === null) return null
  const atMost = step.atMostMinutes ?? (step.mayStandOvernight ? STANDING_MINUTES : 0)
  return Math.max(step.minutes, atMost)
}

const minutesAfter = (since: string, minutes: number | null): string | null =>
  minutes === null ? null : new Date(Date.parse(since) + minutes * 60_000).toISOString()

/** When a step is due out; null when it lasts until it is done. */
export const dueAt = (step: Pick<LoadStep, 'minutes'>, since: string): string | null =>
  minutesAfter(since, step.minutes)

/** Until when it may stand, when that is longer than its planned time; null otherwise. */
export const mayStandUntil = (step: Pick<LoadStep, 'minutes' | 'lateAfterMinutes'>, since: string): string | null =>
  step.lateAfterMinutes === step.minutes ? null : minutesAfter(since, step.lateAfterMinutes)

/** Minutes past the time it may stand; 0 when it is not late. */
export function minutesLate(step: Pick<LoadStep, 'minutes' | 'lateAfterMinutes'>, since: string, now: string): number {
  const last = minutesAfter(since, step.lateAfterMinutes ?? step.minutes)
  return last === null ? 0 : Math.max(0, (Date.parse(now) - Date.parse(last)) / 60_000)
}

/**
 * What the next press does, in words that can stand on its button: "Lift into the rinse", "Lower into Pot 2: Dye".
 * The last one lays the bundles on the ready shelf.
 */
export function nextWords(now: LoadStep, next: LoadStep | undefined, potName: string): string {
  if (next === undefined) return 'Lay on the ready shelf'
  if (next.place === now.place)
    return next.place === 'pot' && OWN_BATH.includes(next.key) ? `Into the next bath: ${next.title}` : next.title
  if (next.place === 'pot') return `Lower into ${potName}: ${next.title}`
  if (next.place === 'rinse') return 'Lift into the rinse'
  return next.place === 'soak tub' ? `Into the soak tub: ${next.title}` : hangWords(next)
}

/** Steps that have a bath of their own; the others go on in the one before. */
const OWN_BATH = ['mordant', 'dye', 'iron']

const hangWords = (next: LoadStep): string => (next.key === 'dry' ? 'Hang up to dry' : `Lift out: ${next.title}`)

/** Water that says that the colour still comes out. */
const STILL_RUNS: readonly Water[] = ['dark', 'coloured']

/** Whether going on asks for a reason: the load leaves the rinse for good while the last rinse still ran with colour. */
export function asksWhy(now: LoadStep, next: LoadStep | undefined, lastWater: Water | null): boolean {
  const leaves = now.place === 'rinse' && (next === undefined || next.place === 'drying line')
  return leaves && lastWater !== null && STILL_RUNS.includes(lastWater)
}
