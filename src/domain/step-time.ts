/** The time that a step has had and has left. All of it is told between instants, so no change of clocks comes into it. */
import { dueAt, type LoadStep, mayStandUntil } from './load.js'
import { clockShift } from './wall-clock.js'

/**
 * Minutes that a step has had, and what is told beside them: the minutes left until it is due out; until it may stand no
 * longer, once it is due; or by how much it is over. `toGo` is null when the step lasts until it is done.
 */
export type StepTime = {
  hadMinutes: number
  toGo: { words: 'left' | 'may stand on' | 'over by'; minutes: number } | null
}

const minutesBetween = (from: string, to: string): number => (Date.parse(to) - Date.parse(from)) / 60_000

/** `since` and `now` are ISO 8601 UTC. */
export function stepTime(step: Pick<LoadStep, 'minutes' | 'lateAfterMinutes'>, since: string, now: string): StepTime {
  const hadMinutes = Math.max(0, minutesBetween(since, now))
  const due = dueAt(step, since)
  if (due === null) return { hadMinutes, toGo: null }
  const left = minutesBetween(now, due)
  if (left > 0) return { hadMinutes, toGo: { words: 'left', minutes: left } }
  const last = minutesBetween(now, mayStandUntil(step, since) ?? due)
  return { hadMinutes, toGo: { words: last > 0 ? 'may stand on' : 'over by', minutes: Math.abs(last) } }
}

/** Why two times on the wall lie further apart, or nearer, than the time between them; '' on all but two days a year. */
export function clocksChangeWords(since: string, until: string, timeZone: string): string {
  const minutes = clockShift(since, until, timeZone)
  if (minutes === 0) return ''
  const by = Math.abs(minutes) === 60 ? 'an hour' : `${Math.abs(minutes)} min`
  return `The clocks go ${minutes < 0 ? 'back' : 'forward'} by ${by} in between.`
}
