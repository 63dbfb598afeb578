/**
 * Makes the plan: each stretch in its turn as early as it goes, by a few rules of thumb; then again and again some are
 * taken out and put back in another order, and what is no worse than a while ago is kept ("late acceptance", Burke and
 * Bykov 2017; taking out and putting back, Shaw 1998). Effort is counted, not timed: the plan is the same everywhere.
 */
import { type Board, compareScores, type Picture, type PlanScore } from './plan-board.js'
import { type Chance, chanceFrom } from './plan-chance.js'
import type { Minute, PlanLoad } from './plan-input.js'
import { firstOrders, pickSome } from './plan-order.js'

const MEMORY = 40

/**
 * Places everything that is `able` to be placed; where all of it is on the board already, that is what must be bettered.
 * Stops after `effort` tries, or when nothing is left to gain.
 */
export function search(board: Board, loads: readonly PlanLoad[], able: readonly number[], effort: number): void {
  const end = board.tries + effort
  let best = bestOf(board, firstOrders(board.stretches, loads, able), able, keptFrom(board, able))
  show(board, able, best.picture)
  const chance = chanceFrom(20_261_125)
  const memory = Array.from({ length: MEMORY }, () => best.score)
  for (let round = 0; board.tries < end && !isCalm(best.score) && able.length > 1; round += 1) {
    const was = { ...board.score }
    const order = pickSome(board, loads, able, chance)
    const before = order.map(index => board.placed(index))
    const slot = round % MEMORY
    const remembered = memory[slot] ?? was
    const bar = compareScores(remembered, was) > 0 ? remembered : was
    if (!rearrange(board, order, floorFor(board, able, order, chance), bar)) {
      for (const index of order) board.lift(index)
      for (const [n, index] of order.entries()) {
        const old = before[n]
        if (old !== undefined) board.putBack(index, old)
      }
    } else if (compareScores(board.score, best.score) < 0) {
      best = { score: { ...board.score }, picture: board.picture() }
    }
    memory[slot] = { ...board.score }
  }
  show(board, able, best.picture)
  pullForward(board, able)
}

/** Nothing late and no day too full. What is left, how early, is not worth a search. */
const isCalm = (score: PlanScore): boolean => score.late === 0 && score.crowdedMin === 0

type Kept = { score: PlanScore; picture: Picture }

const keptFrom = (board: Board, able: readonly number[]): Kept | undefined =>
  able.every(index => board.placed(index) !== undefined)
    ? { score: { ...board.score }, picture: board.picture() }
    : undefined

function bestOf(board: Board, orders: readonly number[][], free: readonly number[], start: Kept | undefined): Kept {
  let best = start
  for (const index of free) board.lift(index)
  for (const order of orders) {
    for (const index of order) board.place(index)
    const kept = { score: { ...board.score }, picture: board.picture() }
    if (best === undefined || compareScores(kept.score, best.score) < 0) best = kept
    for (const index of free) board.lift(index)
  }
  return best ?? { score: { ...board.score }, picture: board.picture() }
}

/** Brings the free stretches to where they are in a picture. */
function show(board: Board, free: readonly number[], picture: Picture): void {
  for (const index of free) board.lift(index)
  for (const index of free) {
    const placed = picture[index]
    if (placed !== undefined) board.putBack(index, placed)
  }
}

type Floor = { index: number; moments: Minute[] }

/** False as soon as the plan is worse than `bar`: what is still to be placed never makes it better. */
function rearrange(board: Board, order: readonly number[], floor: Floor | undefined, bar: PlanScore): boolean {
  for (const index of order) board.lift(index)
  return order.every(
    index =>
      board.place(index, floor?.index === index ? floor.moments : undefined) && compareScores(board.score, bar) <= 0,
  )
}

/** Now and then one waits on purpose: until something else begins or ends, or until another day. */
function floorFor(board: Board, free: readonly number[], order: readonly number[], chance: Chance): Floor | undefined {
  const index = chance.one(order)
  const own = index === undefined ? undefined : board.placed(index)?.fit.at
  if (index === undefined || own === undefined || !chance.percent(35)) return undefined
  const k = chance.percent(50) ? 0 : chance.whole(own.length)
  const other = board.placed(chance.one(free) ?? index)?.fit.at ?? own
  const wait = chance.percent(50) ? (chance.one(other) ?? 0) : (own[k] ?? 0) + 1440 * (chance.whole(7) - 3)
  return { index, moments: own.map((_, moment) => (moment === k ? wait : Number.NEGATIVE_INFINITY)) }
}

/** Everything as early as it goes where that makes nothing worse: what is left waiting on purpose has a reason. */
function pullForward(board: Board, free: readonly number[]): void {
  const start = (index: number): Minute => board.placed(index)?.fit.at[0] ?? 0
  for (let pass = 0, moved = true; moved && pass < 4; pass += 1) {
    moved = false
    for (const index of [...free].sort((a, b) => start(a) - start(b))) {
      const old = board.placed(index)
      if (old === undefined) continue
      const was = { ...board.score }
      board.lift(index)
      if (board.place(index) && compareScores(board.score, was) <= 0) {
        const { at } = board.placed(index)?.fit ?? old.fit
        if (at.some((time, k) => time < (old.fit.at[k] ?? 0))) moved = true
        continue
      }
      board.lift(index)
      board.putBack(index, old)
    }
  }
}
