/**
 * The earliest times for one stretch among what is already planned.
 *
 * Every rule of the plan only ever pushes a moment later: the dyer comes at nine, the pot is free at noon, a bath that
 * may stand an hour begins later when its rinse does. So pushing until nothing pushes any more gives, for every moment
 * at once, the earliest that any plan could give it; and what pushed last is why it is not earlier.
 */
import type { Hours } from './plan-hours.js'
import type { Minute } from './plan-input.js'
import type { Lane } from './plan-lane.js'
import { CHOSEN, type Stretch } from './plan-stretch.js'

export interface Bench {
  now: Minute
  hours: Hours
  hands: Lane
  lanes: Lane[]
}

/** What pushed a moment to where it is. `taken` and `wish` come with their number in `by`. */
export type Why =
  | 'begun'
  | 'now'
  | 'release'
  | 'previous'
  | 'hours'
  | 'heat'
  | 'hands'
  | 'taken'
  | 'limit'
  | 'wish'
  | 'pin'
  | 'room'
  | 'no sooner'

export type Fit = {
  /** False: it cannot be placed; `at` tells how far it came. */
  ok: boolean
  at: Minute[]
  /** undefined where nobody asks: a search looks at thousands of fits, and asks of none why it is so. */
  seen: Seen | undefined
}

/** What pushed the moments, seen on the way. */
export type Seen = {
  why: Why[]
  by: number[]
  /** Of moments that nobody is there for: what had pushed them so far. */
  behind: (Push | undefined)[]
  /** The longest push by something in the way: a place, hands, a wish. */
  longest: (Push & { minutes: Minute }) | undefined
}
/** Moment `k`, pushed to `at`. */
export type Push = { k: number; at: Minute; why: Why; by: number }

/**
 * The earliest times from `start` on, which is left as it is. Gives up when it would be done at `until` or later.
 * What pushes is noted in `start.seen`, where there is one.
 */
export function earliestFit(
  bench: Bench,
  stretch: Stretch,
  pot: number,
  start: Fit,
  until = Number.POSITIVE_INFINITY,
): Fit {
  const { count, least, most, begun, pinned } = stretch
  const { seen } = start
  const at = [...start.at]
  const result: Fit = { ok: false, at, seen }
  const push = (k: number, to: Minute, reason: Why, number = 0): boolean => {
    if (begun[k] !== undefined || to <= (at[k] ?? 0)) return false
    if (seen !== undefined) note(seen, at[k] ?? 0, { k, at: to, why: reason, by: number })
    at[k] = to
    return true
  }
  const attended: Minute[] = []
  const pushForward = (): void => {
    for (let k = 0; k <= count; k += 1) {
      if (begun[k] !== undefined) continue
      if (k > 0) push(k, (at[k - 1] ?? 0) + (least[k - 1] ?? 0), 'previous')
      if (at[k] === attended[k]) continue
      while (pushToHands(bench, stretch, k, at[k] ?? 0, push));
      attended[k] = at[k] ?? 0
    }
  }
  const pushBack = (): boolean => {
    let pushed = false
    for (let k = count; k > 0; k -= 1) if (push(k - 1, (at[k] ?? 0) - (most[k - 1] ?? 0), 'limit')) pushed = true
    for (const [index, hold] of stretch.holds.entries()) {
      const lane = bench.lanes[hold.lane === CHOSEN ? pot : hold.lane]
      if (lane === undefined || begun[hold.from] !== undefined) continue
      const end = lane.inTheWay(at[hold.from] ?? 0, at[hold.to] ?? 0, hold.need, stretch.depth)
      if (push(hold.from, end, 'taken', index)) pushed = true
    }
    return pushed
  }
  const possible = (): boolean => {
    if ((at[count] ?? 0) >= until) return false
    for (let k = 0; k <= count; k += 1) {
      const time = at[k] ?? 0
      if (time > bench.hours.endMin || time > (pinned[k] ?? time)) return false
    }
    return true
  }
  do {
    pushForward()
    if (!possible()) return result
  } while (pushBack())
  result.ok = true
  return result
}

const AWAY: readonly Why[] = ['hours', 'heat']
const IN_THE_WAY: readonly Why[] = ['taken', 'hands', 'wish']

function note(seen: Seen, from: Minute, push: Push): void {
  const { k, at, why, by } = push
  const was = { k, at: from, why: seen.why[k] ?? 'now', by: seen.by[k] ?? 0 }
  if (!AWAY.includes(why)) seen.behind[k] = undefined
  else if (!AWAY.includes(was.why)) seen.behind[k] = was
  const minutes = at - from
  if (IN_THE_WAY.includes(why) && minutes > (seen.longest?.minutes ?? 0)) seen.longest = { ...push, minutes }
  seen.why[k] = why
  seen.by[k] = by
}

/**
 * Where pushing starts: nothing before now, before the load is there, or before it has been on the shelf long enough
 * (`from`). `floor`: no moment before these. `seen`: why is noted there.
 */
export function startOf({ now }: Bench, stretch: Stretch, from: Minute, floor?: readonly Minute[], seen?: Seen): Fit {
  const start: Fit = { ok: false, at: [], seen }
  for (let k = 0; k <= stretch.count; k += 1) {
    const { at, why } = startOfMoment(now, stretch, k, from, floor?.[k])
    start.at.push(at)
    if (seen !== undefined) seen.why[k] = why
  }
  return start
}

function startOfMoment(
  now: Minute,
  stretch: Stretch,
  k: number,
  from: Minute,
  floor?: Minute,
): { at: Minute; why: Why } {
  const begun = stretch.begun[k]
  if (begun !== undefined) return { at: begun, why: 'begun' }
  const lifts: { at: Minute; why: Why }[] = [{ at: now + (stretch.handsBefore[k] ?? 0), why: 'now' }]
  if (k === 0) lifts.push({ at: stretch.releaseMin, why: 'release' }, { at: from, why: 'previous' })
  if (floor !== undefined) lifts.push({ at: floor, why: 'room' })
  const last = lifts.reduce((most, lift) => (lift.at > most.at ? lift : most))
  const pinned = stretch.pinned[k] ?? Number.NEGATIVE_INFINITY
  return pinned >= last.at ? { at: pinned, why: 'pin' } : last
}

type Pushes = (k: number, to: Minute, reason: Why, number?: number) => boolean

/** Pushes a moment to where the dyer is there, with free hands, and no wish is against it. True: look again. */
function pushToHands({ hours, hands }: Bench, stretch: Stretch, k: number, at: Minute, push: Pushes): boolean {
  const before = stretch.handsBefore[k] ?? 0
  const after = stretch.handsInOne[k] ?? 0
  const there = stretch.thereInOne[k] ?? 0
  if (push(k, hours.attend(at, before, there), there > after ? 'heat' : 'hours')) return at <= hours.endMin
  if (stretch.wishes.length > 0 && pushPastWishes(stretch, k, at, push)) return true
  return before + after > 0 && push(k, hands.free(at - before, before + after, 1) + before, 'hands')
}

function pushPastWishes(stretch: Stretch, k: number, at: Minute, push: Pushes): boolean {
  if (stretch.agreed[k]) return false
  const before = stretch.handsBefore[k] ?? 0
  const there = stretch.there[k] ?? 0
  return stretch.wishes.some(
    ({ fromMin, toMin }, index) =>
      at - before < toMin && Math.max(at + there, at + 1) > fromMin && push(k, toMin + before, 'wish', index),
  )
}

/**
 * A load whose first step would only stand (soaking on in a tub that another could use) begins as late as it can without
 * anything after it being later.
 */
export function noSooner({ hours, hands }: Bench, stretch: Stretch, found: Fit): Fit {
  const earliest = found.at[0] ?? 0
  let start = (found.at[1] ?? 0) - (stretch.least[0] ?? 0)
  const settled = stretch.begun[0] !== undefined || stretch.pinned[0] !== undefined
  if (settled || stretch.count < 2 || start <= earliest) return found
  const [after, there] = [stretch.handsAfter[0] ?? 0, stretch.there[0] ?? 0]
  for (let was = start + 1; start < was && start > earliest; ) {
    was = start
    start = hours.attendBy(start, there)
    if (after > 0) start = hands.freeBy(start, after, 1)
    for (const { fromMin, toMin } of stretch.wishes)
      if (start < toMin && start + Math.max(there, 1) > fromMin) start = fromMin - Math.max(there, 1)
  }
  if (start <= earliest) return found
  const { ok, at, seen } = found
  if (seen !== undefined) seen.why[0] = 'no sooner'
  return { ok, at: [start, ...at.slice(1)], seen }
}
