import { unevennessAhead } from './pot-evenness.js'
import { type PackedBundle, type PackedPot, type Placement, placementOf, put, takeOut } from './pot-packing.js'

/** How good a placement is: weight left out, pots more than one that lots are spread over, unevenness squared. */
export interface Score {
  left: number
  splits: number
  unevenness: number
}

/** Steps that a search may still take. Counted, not timed, so that the answer is the same on every machine. */
export interface Purse {
  steps: number
}

export interface Search {
  bundles: readonly PackedBundle[]
  pots: readonly PackedPot[]
  /** Only placements that are no worse than this, in every respect, count. */
  limits: Score
  /** What to make as small as possible; a placement that reaches `enough` ends the search. */
  goal: keyof Score
  enough: number
  purse: Purse
}

/** `finished`: nothing better exists within the limits. Otherwise the purse was empty before that was sure. */
export interface Outcome {
  placement: Placement | undefined
  finished: boolean
}

/** By how much the next placement must be better to be worth keeping. */
export const FINEST: Score = { left: 1, splits: 1, unevenness: 1e-12 }

/** One bundle's turn, and what must still be placed from here on. */
interface Turn {
  bundle: PackedBundle
  rest: number
  smallest: number
  /** The bundle just before, when it is alike: alike bundles are only tried in the order of the pots. */
  alike: PackedBundle | undefined
  next: Turn | undefined
}

/**
 * Branch and bound: every bundle in its turn into every pot that has room for it, or left out where the limits allow,
 * skipping what would only repeat a placement under other names or can no longer come within the limits.
 * Starts and ends with all bundles out of the pots.
 */
export function search({ bundles, pots: anyOrder, limits, goal, enough, purse }: Search): Outcome {
  const pots = [...anyOrder].sort((a, b) => a.place - b.place)
  const score: Score = { left: 0, splits: 0, unevenness: 0 }
  const bounds = { ...limits }
  let placement: Placement | undefined
  let over = false

  const hopeless = (turn: Turn | undefined): boolean => {
    const rest = turn?.rest ?? 0
    const usable = usableRoom(pots, turn?.smallest ?? 0)
    if (score.splits > bounds.splits || score.left + Math.max(0, rest - usable) > bounds.left) return true
    if (bounds.unevenness === Number.POSITIVE_INFINITY) return false
    score.unevenness = unevennessAhead(pots, rest)
    return score.unevenness > bounds.unevenness
  }

  const keep = (): void => {
    placement = placementOf(bundles)
    bounds[goal] = score[goal] - FINEST[goal]
    over = score[goal] <= enough
  }

  const visit = (turn: Turn | undefined): void => {
    purse.steps -= pots.length
    if (purse.steps < 0) over = true
    if (over || hopeless(turn)) return
    if (turn === undefined) {
      keep()
      return
    }
    for (const pot of choices(turn, pots, goal)) {
      const spreads = turn.bundle.lot.pots > 0 && !pot.lots.has(turn.bundle.lot) ? 1 : 0
      put(turn.bundle, pot)
      score.splits += spreads
      visit(turn.next)
      score.splits -= spreads
      takeOut(turn.bundle)
      if (over) return
    }
    score.left += turn.bundle.weight
    visit(turn.next)
    score.left -= turn.bundle.weight
  }
  visit(turnsOf(bundles))
  return { placement, finished: purse.steps >= 0 }
}

/** Each bundle's turn, chained, so that a turn knows what follows. */
function turnsOf(bundles: readonly PackedBundle[]): Turn | undefined {
  let next: Turn | undefined
  let rest = 0
  let smallest = Number.POSITIVE_INFINITY
  const before = [undefined, ...bundles]
  for (let index = bundles.length - 1; index >= 0; index -= 1) {
    const bundle = bundles[index]
    const previous = before[index]
    if (bundle === undefined) continue
    rest += bundle.weight
    smallest = Math.min(smallest, bundle.weight)
    const alike = previous?.weight === bundle.weight && previous.lot === bundle.lot ? previous : undefined
    next = { bundle, rest, smallest, alike, next }
  }
  return next
}

/** The pots worth trying for a bundle, most promising first. */
function choices({ bundle, alike }: Turn, pots: readonly PackedPot[], goal: keyof Score): PackedPot[] {
  const firstPlace = alike === undefined ? 0 : (alike.pot?.place ?? Number.POSITIVE_INFINITY)
  const different: PackedPot[] = []
  for (const pot of pots) {
    if (pot.place < firstPlace || pot.load + bundle.weight > pot.holds) continue
    if (!different.some(other => interchangeable(other, pot))) different.push(pot)
  }
  if (goal === 'unevenness') return different.sort((a, b) => fillWith(bundle, a) - fillWith(bundle, b))
  const strange = (pot: PackedPot) => (pot.lots.has(bundle.lot) ? 0 : 1)
  return different.sort((a, b) => strange(a) - strange(b) || a.holds - a.load - (b.holds - b.load))
}

const fillWith = (bundle: PackedBundle, pot: PackedPot): number => (pot.load + bundle.weight) / pot.holds

/** Pots between which nothing that follows can tell a difference. */
const interchangeable = (a: PackedPot, b: PackedPot): boolean =>
  a.holds === b.holds &&
  a.load === b.load &&
  a.lots.size === b.lots.size &&
  [...a.lots.keys()].every(lot => b.lots.has(lot))

/** Room that a bundle of at least this weight can still use. */
const usableRoom = (pots: readonly PackedPot[], smallest: number): number =>
  pots.reduce((room, pot) => (pot.holds - pot.load >= smallest ? room + pot.holds - pot.load : room), 0)
