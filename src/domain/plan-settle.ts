/** What is settled comes onto the board before anything else: what is under way, then what is pinned to a time. */
import type { Picture } from './plan-board.js'
import { type Asked, seeWhy } from './plan-explain.js'
import type { Minute, PlanLoad, PlanStep } from './plan-input.js'

const FREE = 1e9
const FURTHEST_FIRST: readonly PlanStep['place'][] = ['drying line', 'rinse', 'pot', 'soak tub', 'shelf']
const PINNED = 10

const underWay = (load: PlanLoad): PlanStep | undefined => load.steps[load.begunMin.length - 1]

/** Under way before pinned before free: what is further on is in nobody's way. */
function rankOf(load: PlanLoad | undefined): number {
  if (load === undefined) return FREE
  const step = underWay(load)
  if (step !== undefined) return FURTHEST_FIRST.indexOf(step.place)
  const pinned = load.pins.flatMap(pin => pin.startMin ?? [])
  return pinned.length > 0 ? PINNED + Math.min(...pinned) : FREE
}

export const isSettled = (load: PlanLoad | undefined): boolean => rankOf(load) < FREE

/** The last moment at which what is under way may be lifted out. */
function leaveBy(load: PlanLoad): Minute {
  const [step, since] = [underWay(load), load.begunMin.at(-1)]
  if (step === undefined || since === undefined) return Number.POSITIVE_INFINITY
  return since + step.minutes + (step.standAtMostMinutes ?? Number.POSITIVE_INFINITY)
}

/** By how many minutes what is under way stands longer than it may, when it is lifted out at `leaveMin`. */
export const overstoodMin = (load: PlanLoad, leaveMin: Minute | undefined): Minute =>
  leaveMin === undefined ? 0 : Math.max(0, leaveMin - leaveBy(load))

/**
 * Places the settled ones among `able`, and answers those that go nowhere. What is further on comes first, so that nobody
 * is planned where it stands; or else what must be lifted out soonest, or is pinned, where something would stand too long
 * otherwise, or go nowhere, or more would be late, and nobody is in the way then.
 */
export function settleAll(asked: Asked, able: readonly number[]): number[] {
  const { board, loads } = asked
  const loadOf = (index: number): PlanLoad | undefined => loads[board.stretches[index]?.load ?? -1]
  const rank = (index: number): number => rankOf(loadOf(index))
  const limit = (index: number): number => {
    const load = loadOf(index)
    if (load === undefined || rank(index) >= PINNED) return Number.MAX_SAFE_INTEGER
    return Math.min(leaveBy(load), ...load.pins.flatMap(pin => pin.startMin ?? []), 1e15)
  }
  const settled = able.filter(index => rank(index) < FREE)
  const furthestFirst = settled.toSorted((a, b) => rank(a) - rank(b) || a - b)
  const soonestFirst = furthestFirst.toSorted((a, b) => limit(a) - limit(b))
  const isSame = soonestFirst.every((index, n) => index === furthestFirst[n])
  const tried = (isSame ? [furthestFirst] : [furthestFirst, soonestFirst]).map(order => inOrder(asked, order))
  const best = tried.reduce((one, other) => (isLess(other.burden, one.burden) ? other : one))
  for (const index of best.order) {
    const placed = best.picture[index]
    if (placed === undefined) continue
    board.putBack(index, placed)
    seeWhy(board, index)
  }
  return best.failed
}

type Tried = { order: readonly number[]; failed: number[]; picture: Picture; burden: number[] }

function inOrder({ board, loads }: Asked, order: readonly number[]): Tried {
  const failed = order.filter(index => !board.place(index))
  const inTheWay = order.filter(index => board.isInTheWay(index)).length
  const overstood = order.reduce((sum, index) => {
    const stretch = board.stretches[index]
    const load = loads[stretch?.load ?? -1]
    if (stretch === undefined || load === undefined) return sum
    const leave = board.placed(index)?.fit.at[load.begunMin.length - stretch.first]
    return sum + (load.begunMin.length > stretch.first ? overstoodMin(load, leave) : 0)
  }, 0)
  const { late, lateMin } = board.score
  const picture = board.picture()
  for (const index of order) board.lift(index)
  return { order, failed, picture, burden: [failed.length, inTheWay, overstood, late, lateMin] }
}

const isLess = (one: readonly number[], other: readonly number[]): boolean => {
  const k = one.findIndex((figure, index) => figure !== other[index])
  return k >= 0 && (one[k] ?? 0) < (other[k] ?? 0)
}
