/** Why each moment of a placed stretch is not earlier, asked of the whole plan. */
import type { Board, Placed } from './plan-board.js'
import { earliestFit, type Fit, noSooner, type Push, type Seen, startOf, type Why } from './plan-fit.js'
import type { Minute, PlanLoad, PlanWorkshop } from './plan-input.js'
import type { Reason, TakenPlace } from './plan-reason.js'
import { CHOSEN, FIRST_POT, type Hold, LINE, SINKS, type Stretch } from './plan-stretch.js'

/** Takes a stretch out, sees how early it could be, and puts it back where it was, with its reasons. */
export function seeWhy(board: Board, index: number): void {
  const [stretch, placed] = [board.stretches[index], board.placed(index)]
  if (stretch === undefined || placed === undefined) return
  board.lift(index)
  board.putBack(index, { pot: placed.pot, fit: reasoned(board, index, stretch, placed) })
}

const UNSEEN: Seen = { why: [], by: [], behind: [], longest: undefined }

/** Where it waits on purpose, `room` says so; every other moment has the reason that follows. */
function reasoned(board: Board, index: number, stretch: Stretch, { pot, fit: found }: Placed): Fit {
  const from = shelfEnd(board, index, stretch)
  const floor = found.at.map(() => Number.NEGATIVE_INFINITY)
  for (;;) {
    const seen: Seen = { ...UNSEEN, why: [], by: [], behind: [] }
    const pushed = earliestFit(board.bench, stretch, pot, startOf(board.bench, stretch, from, floor, seen))
    const again = noSooner(board.bench, stretch, pushed)
    const k = again.at.findIndex((at, moment) => at !== found.at[moment])
    if (again.ok && k < 0) return again
    if (k < 0 || floor[k] !== Number.NEGATIVE_INFINITY) return { ...found, seen: again.seen }
    floor[k] = found.at[k] ?? 0
  }
}

export const shelfEnd = ({ bench, placed }: Board, index: number, stretch: Stretch): Minute =>
  ((stretch.first === 0 ? undefined : placed(index - 1)?.fit.at.at(-1)) ?? bench.now) + stretch.shelfMinutes

export type Asked = { workshop: PlanWorkshop; loads: readonly PlanLoad[]; board: Board }

/** The reason of moment `k` of a stretch. */
export function reasonOf(asked: Asked, stretch: Stretch, { pot, fit: found }: Placed, k: number): Reason {
  const at = found.at[k] ?? 0
  const before = stretch.handsBefore[k] ?? 0
  const load = asked.loads[stretch.load]
  const stepN = (moment: number): number => stretch.first + moment + 1
  switch (found.seen?.why[k] ?? 'now') {
    case 'release':
      return { kind: 'release', fromMin: at }
    case 'previous':
      return { kind: 'previous', stepN: stepN(k - 1), untilMin: at }
    case 'hours':
    case 'heat':
      return {
        kind: 'hours',
        fromMin: at - before,
        heat: found.seen?.why[k] === 'heat',
        needMinutes: before + (stretch.thereInOne[k] ?? 0),
        beforeMinutes: before,
        after: behindOf(asked, stretch, { pot, fit: found }, k, at - before),
      }
    case 'hands':
      return { kind: 'hands', ...atHands(asked, stretch, at - before), untilMin: at - before }
    case 'taken':
      return takenBy(asked, stretch, stretch.holds[found.seen?.by[k] ?? 0], pot, at)
    case 'limit': {
      const nextStepN = stepN(k + 1) > (load?.steps.length ?? 0) ? null : stepN(k + 1)
      const because = reasonOf(asked, stretch, { pot, fit: found }, k + 1)
      return { kind: 'limit', nextStepN, atMostMinutes: stretch.most[k] ?? 0, because }
    }
    case 'no sooner':
      return {
        kind: 'no sooner',
        nextStepN: stepN(k + 1),
        because: reasonOf(asked, stretch, { pot, fit: found }, k + 1),
      }
    case 'wish': {
      const wish = stretch.wishes[found.seen?.by[k] ?? 0]
      return { kind: 'wish', words: wish?.words ?? '', untilMin: wish?.toMin ?? at }
    }
    case 'pin':
      return { kind: 'pin', startMin: at, againstWish: stretch.agreed[k] ?? false }
    case 'begun':
    case 'now':
    case 'room':
      return { kind: found.seen?.why[k] === 'begun' ? 'begun' : found.seen?.why[k] === 'room' ? 'room' : 'now' }
  }
}

/** What had kept moment `k` until nobody was there at `from`; null where it is only that. */
function behindOf(asked: Asked, stretch: Stretch, placed: Placed, k: number, from: Minute): Reason | null {
  const behind = placed.fit.seen?.behind[k]
  return behind === undefined || behind.at > from || !TELLS.includes(behind.why)
    ? null
    : reasonOfPush(asked, stretch, placed, behind)
}

const TELLS: readonly Why[] = ['previous', 'release', 'hands', 'taken', 'wish', 'pin']

/** What was longest in the way of a stretch, and for how long. */
export function longestInTheWay(asked: Asked, stretch: Stretch, placed: Placed) {
  const longest = placed.fit.seen?.longest
  return longest && { minutes: longest.minutes, reason: reasonOfPush(asked, stretch, placed, longest) }
}

/** As if the moment were still where it was pushed to then. */
function reasonOfPush(asked: Asked, stretch: Stretch, { pot, fit: found }: Placed, push: Push): Reason {
  const set = <T>(list: readonly T[], item: T): T[] => list.map((was, moment) => (moment === push.k ? item : was))
  const { at } = found
  const seen = found.seen ?? UNSEEN
  const why = at.map((_, k) => (k === push.k ? push.why : (seen.why[k] ?? 'now')))
  const by = at.map((_, k) => (k === push.k ? push.by : (seen.by[k] ?? 0)))
  const fit = { ok: true, at: set(at, push.at), seen: { ...UNSEEN, why, by } }
  return reasonOf(asked, stretch, { pot, fit }, push.k)
}

/** Whose hand work ends at this minute. */
function atHands({ board, loads }: Asked, own: Stretch, minute: Minute): { loadId: string; stepN: number } {
  for (const [index, stretch] of board.stretches.entries()) {
    const at = board.placed(index)?.fit.at ?? []
    const k = at.findIndex((time, moment) => time + (stretch.handsAfter[moment] ?? 0) === minute)
    const works = (stretch.handsAfter[k] ?? 0) + (stretch.handsBefore[k] ?? 0) > 0
    if (stretch !== own && k >= 0 && works) {
      const begins = (stretch.handsAfter[k] ?? 0) > 0
      return { loadId: loads[stretch.load]?.id ?? '', stepN: stretch.first + k + (begins ? 1 : 0) }
    }
  }
  return { loadId: loads[own.load]?.id ?? '', stepN: own.first + 1 }
}

/** Who leaves the lane at this minute; or, when nobody does, after whom the pot was scoured. */
function takenBy(asked: Asked, own: Stretch, hold: Hold | undefined, pot: number, minute: Minute): Reason {
  const lane = hold === undefined || hold.lane === CHOSEN ? pot : hold.lane
  const ends = endsIn(asked.board, lane, own)
  const loadId = (number: number): string => asked.loads[number]?.id ?? ''
  const potId = asked.workshop.pots[lane - FIRST_POT]?.id ?? null
  const leaving = ends.filter(end => end.minute === minute).map(end => loadId(end.load))
  const isOut = asked.workshop.pots[lane - FIRST_POT]?.outOfUse.some(span => span.toMin === minute) ?? false
  const last = ends.filter(end => end.minute < minute).sort((a, b) => b.minute - a.minute)[0]
  if (leaving.length === 0 && !isOut && last !== undefined && potId !== null)
    return { kind: 'scour', potId, loadId: loadId(last.load), fromMin: minute }
  return { kind: 'taken', place: placeOf(lane), potId, loadIds: [...new Set(leaving)], untilMin: minute }
}

const placeOf = (lane: number): TakenPlace =>
  lane >= FIRST_POT ? 'pot' : lane === LINE ? 'drying line' : lane === SINKS ? 'sink' : 'soak tub'

function endsIn(board: Board, lane: number, own: Stretch): { load: number; minute: Minute }[] {
  return board.stretches.flatMap((stretch, index) => {
    const placed = board.placed(index)
    if (placed === undefined || stretch === own) return []
    const there = stretch.holds.filter(hold => (hold.lane === CHOSEN ? placed.pot : hold.lane) === lane)
    return there.map(hold => ({ load: stretch.load, minute: placed.fit.at[hold.to] ?? 0 }))
  })
}
