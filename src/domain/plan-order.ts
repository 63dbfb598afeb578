/** In which order stretches get their turn. What a load does first comes first, whatever the order says of the rest. */

import type { Board } from './plan-board.js'
import type { Chance } from './plan-chance.js'
import type { Minute, PlanLoad } from './plan-input.js'
import type { Stretch } from './plan-stretch.js'

const NEVER = Number.MAX_SAFE_INTEGER

const loadOf = (stretches: readonly Stretch[], index: number): number => stretches[index]?.load ?? 0
const startOf = (board: Board, index: number): Minute => board.placed(index)?.fit.at[0] ?? 0
const endOf = (board: Board, index: number): Minute => board.placed(index)?.fit.at.at(-1) ?? 0
const lengthOf = (stretch: Stretch): number => stretch.least.reduce((sum, minutes) => sum + minutes, 0)

/** Three common rules to begin with: needed first, least slack first, most work first. */
export function firstOrders(
  stretches: readonly Stretch[],
  loads: readonly PlanLoad[],
  free: readonly number[],
): number[][] {
  const neededBy = (index: number): Minute => loads[loadOf(stretches, index)]?.neededByMin ?? NEVER
  const ahead = workAhead(stretches)
  const slack = (index: number): number => neededBy(index) - (ahead[index] ?? 0)
  const keys = [neededBy, slack, (index: number) => -(ahead[index] ?? 0)]
  return keys.map(key => inTurn(stretches, free, key))
}

/** Minutes from the beginning of a stretch to the end of its load, when nothing is in the way. */
function workAhead(stretches: readonly Stretch[]): number[] {
  const ahead: number[] = []
  for (let index = stretches.length - 1; index >= 0; index -= 1) {
    const [own, next] = [stretches[index], stretches[index + 1]]
    if (own === undefined) continue
    const rest = next?.load === own.load ? (ahead[index + 1] ?? 0) + next.shelfMinutes : 0
    ahead[index] = lengthOf(own) + rest
  }
  return ahead
}

/** By key, but the stretches of one load stay in their order: the first turn of a load is for its first stretch. */
export function inTurn(
  stretches: readonly Stretch[],
  list: readonly number[],
  key: (index: number) => number,
): number[] {
  const keys = new Map(list.map(index => [index, key(index)]))
  const sorted = [...list].sort((a, b) => (keys.get(a) ?? 0) - (keys.get(b) ?? 0) || a - b)
  const waiting = new Map<number, number[]>()
  for (const index of [...list].sort((a, b) => a - b)) {
    const load = loadOf(stretches, index)
    const queue = waiting.get(load)
    if (queue === undefined) waiting.set(load, [index])
    else queue.push(index)
  }
  return sorted.map(index => waiting.get(loadOf(stretches, index))?.shift() ?? index)
}

/** What to take out and put back otherwise, in the order in which to put it back. */
export function pickSome(board: Board, loads: readonly PlanLoad[], free: readonly number[], chance: Chance): number[] {
  const { stretches } = board
  const picked =
    stretches.length > loads.length && chance.percent(20)
      ? tail(board, free, chance)
      : chance.percent(50)
        ? neighbours(board, loads, free, chance)
        : chunk(board, free, chance)
  const all = withRest(stretches, picked)
  const starts = all.map(index => startOf(board, index))
  const spread = Math.max(...starts) - Math.min(...starts)
  const noise = Math.ceil(spread * (chance.one(SHAKES) ?? 0))
  const shake = (): number => (noise === 0 ? 0 : chance.whole(2 * noise + 1) - noise)
  const first = chance.percent(50) ? picked[0] : undefined
  const byNeed = chance.percent(40)
  return inTurn(stretches, all, index => {
    if (index === first) return Number.NEGATIVE_INFINITY
    const needed = byNeed ? loads[loadOf(stretches, index)]?.neededByMin : null
    return (needed ?? startOf(board, index)) + shake()
  })
}

const MOST = 8
const SHAKES = [0, 0.03, 0.1, 0.3, 1]
/** So many are worth doing over again at one go. */
const LONGEST_TAIL = 120

/** Everything from some moment on: worth it where loads are many stretches, each in the way of the next. */
function tail(board: Board, free: readonly number[], chance: Chance): number[] {
  const sorted = [...free].sort((a, b) => startOf(board, b) - startOf(board, a))
  return sorted.slice(0, 2 + chance.whole(Math.min(sorted.length, LONGEST_TAIL)))
}

/** Some that begin about the same time. */
function chunk(board: Board, free: readonly number[], chance: Chance): number[] {
  const from = startOf(board, chance.one(free) ?? 0)
  const most = 2 + chance.whole(MOST)
  const after = free.filter(index => startOf(board, index) >= from && startOf(board, index) < from + 4320)
  return after.sort((a, b) => startOf(board, a) - startOf(board, b)).slice(0, most)
}

/** One, if possible a late one, and some that are under way while it waits or is under way. */
function neighbours(board: Board, loads: readonly PlanLoad[], free: readonly number[], chance: Chance): number[] {
  const late = free.filter(index => isLate(board, loads, index))
  const focus = chance.one(chance.percent(70) && late.length > 0 ? late : free)
  if (focus === undefined) return []
  const [from, end] = [startOf(board, focus), endOf(board, focus)]
  const near = free.filter(index => index !== focus && startOf(board, index) < end && endOf(board, index) > from - 2880)
  const pool = near.length > 0 ? near : free
  const some = Array.from({ length: 1 + chance.whole(MOST) }, () => chance.one(pool) ?? focus)
  return [...new Set([focus, ...some])]
}

const isLate = (board: Board, loads: readonly PlanLoad[], index: number): boolean =>
  board.stretches[index]?.last === true &&
  endOf(board, index) > (loads[loadOf(board.stretches, index)]?.neededByMin ?? NEVER)

/** With a stretch goes whatever its load does after it. */
function withRest(stretches: readonly Stretch[], picked: readonly number[]): number[] {
  const all = new Set(picked)
  for (const index of picked)
    for (let next = index + 1; stretches[next]?.load === stretches[index]?.load; next += 1) all.add(next)
  return [...all]
}
