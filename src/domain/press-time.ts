/** When a press was made that could not be sent at once: a page tells it by the server's clock, as it knew it. */
import { type Read, read, unread } from './refusal.js'

const INSTANT = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,3})?Z$/
/** Sent within this time, a press was made as it came. */
const AT_ONCE_MS = 30_000
/** By so much may a phone be wrong about the beginning of a step. */
const SLACK_MS = 60_000

/** `now` and `earliest` are ISO 8601 UTC; `since` names what began at `earliest`: "this step began". */
export type PressBounds = { now: string; earliest: string; since: string }

/**
 * The instant of a press, or undefined when it counts as made now: it came at once, says nothing of its time, or says one
 * that is still to come. A press from before `earliest` is refused in a sentence.
 */
export function pressedAt(told: string, { now, earliest, since }: PressBounds): Read<string | undefined> {
  if (told === '') return read(undefined)
  const at = INSTANT.test(told) ? Date.parse(told) : Number.NaN
  if (Number.isNaN(at)) return unread('The time of this press cannot be read. Open the page and press again.')
  if (Date.parse(now) - at < AT_ONCE_MS) return read(undefined)
  const before = Date.parse(earliest) - at
  if (before > SLACK_MS)
    return unread(`This was pressed before ${since}. Look at where it stands now, and press again.`)
  return read(before > 0 ? earliest : new Date(at).toISOString())
}
