/** What is taken, and when: the hands, a pot, the sink take one load at a time; tubs and the drying line have room for more. */
import type { Hours } from './plan-hours.js'
import type { Minute } from './plan-input.js'

export interface Lane {
  /**
   * When the last of what is in the way between `from` and `to` is gone, or -1 when nothing is. Whoever cannot leave
   * before `to` can only begin then, or later.
   */
  inTheWay(from: Minute, to: Minute, need: number, depth: number): Minute
  /** The earliest `t` from `from` on with nothing in the way from there for `length` minutes. */
  free(from: Minute, length: number, need: number): Minute
  /** The latest `t` up to `to` with nothing in the way from there for `length` minutes. */
  freeBy(to: Minute, length: number, need: number): Minute
  take(from: Minute, to: Minute, need: number, depth: number): void
  give(from: Minute, to: Minute, need: number): void
}

/** Metres of line are not always whole numbers, and adding them up may miss by less than anyone can see. */
const GRACE = 1e-6

type Held = {
  from: Minute
  to: Minute
  depth: number
  /** The latest moment for something darker to leave before it, and the earliest for something paler after it. */
  cleanBy: Minute
  cleanAt: Minute
}

/** One pair of hands, or one sink. */
export function oneAtATime(): Lane {
  const starts: Minute[] = []
  const ends: Minute[] = []
  return {
    inTheWay(from, to) {
      if (from >= to) return -1
      const end = ends[firstAt(starts, to) - 1] ?? -1
      return end > from ? end : -1
    },
    free(from, length) {
      let at = from
      for (let index = firstAt(ends, from + 1); index < starts.length; index += 1) {
        if ((starts[index] ?? 0) >= at + length) return at
        at = ends[index] ?? at
      }
      return at
    },
    freeBy(to, length) {
      let at = to
      for (let index = firstAt(starts, to + length) - 1; index >= 0; index -= 1) {
        if ((ends[index] ?? 0) <= at) return at
        at = (starts[index] ?? at) - length
      }
      return at
    },
    take(from, to) {
      if (from >= to) return
      const at = firstAt(starts, from)
      starts.splice(at, 0, from)
      ends.splice(at, 0, to)
    },
    give(from, to) {
      if (from >= to) return
      const at = firstAt(starts, from)
      starts.splice(at, 1)
      ends.splice(at, 1)
    },
  }
}

/** Where in a rising list the first is that is `minute` or later. */
function firstAt(list: readonly Minute[], minute: Minute): number {
  let [low, high] = [0, list.length]
  while (low < high) {
    const middle = (low + high) >> 1
    if ((list[middle] ?? 0) < minute) low = middle + 1
    else high = middle
  }
  return low
}

/** A pot. Between a darker load and a paler one lie `scourMinutes` of the dyer's hours. */
export function potLane(hours: Hours, scourMinutes: number): Lane {
  const list: Held[] = []
  /** The first that begins (its scouring counted) at `minute` or later. */
  const firstFrom = (minute: Minute): number => {
    let [low, high] = [0, list.length]
    while (low < high) {
      const middle = (low + high) >> 1
      if ((list[middle]?.cleanBy ?? 0) < minute) low = middle + 1
      else high = middle
    }
    return low
  }
  return {
    inTheWay(from, to, _need, depth) {
      if (from >= to) return -1
      for (let at = firstFrom(to) - 1; at >= 0; at -= 1) {
        const held = list[at]
        if (held === undefined || held.cleanAt <= from) return -1
        const end = depth < held.depth ? held.cleanAt : held.to
        if (end > from && (depth > held.depth ? held.cleanBy : held.from) < to) return end
      }
      return -1
    },
    free: from => from,
    freeBy: to => to,
    take(from, to, _need, depth) {
      if (from >= to) return
      const scour = scourMinutes > 0
      const cleanBy = scour ? hours.before(from, scourMinutes) : from
      const cleanAt = scour ? hours.after(to, scourMinutes) : to
      let at = firstFrom(cleanBy)
      while ((list[at]?.from ?? Number.POSITIVE_INFINITY) < from) at += 1
      list.splice(at, 0, { from, to, depth, cleanBy, cleanAt })
    },
    give(from, to) {
      if (from >= to) return
      let at = Math.max(0, firstFrom(from) - 1)
      while (at > 0 && (list[at]?.from ?? 0) > from) at -= 1
      // What begins with it may be something else: a pot that is out of use from the moment on at which a load went in.
      while (list[at] !== undefined && (list[at]?.from !== from || list[at]?.to !== to)) at += 1
      list.splice(at, 1)
    },
  }
}

/** Room for several: how much of it is used from each moment of change on. */
export function shared(room: number): Lane {
  const at: Minute[] = [Number.NEGATIVE_INFINITY]
  const used: number[] = [0]
  /** The piece of time in which `minute` lies. */
  const pieceOf = (minute: Minute): number => {
    let [low, high] = [0, at.length - 1]
    while (low < high) {
      const middle = (low + high + 1) >> 1
      if ((at[middle] ?? 0) <= minute) low = middle
      else high = middle - 1
    }
    return low
  }
  const cut = (minute: Minute): number => {
    const piece = pieceOf(minute)
    if (at[piece] === minute) return piece
    at.splice(piece + 1, 0, minute)
    used.splice(piece + 1, 0, used[piece] ?? 0)
    return piece + 1
  }
  const mend = (minute: Minute): void => {
    const piece = pieceOf(minute)
    if (piece === 0 || used[piece] !== used[piece - 1]) return
    at.splice(piece, 1)
    used.splice(piece, 1)
  }
  const change = (from: Minute, to: Minute, by: number): void => {
    if (from >= to) return
    const first = cut(from)
    const end = cut(to)
    for (let piece = first; piece < end; piece += 1) used[piece] = (used[piece] ?? 0) + by
    mend(to)
    mend(from)
  }
  return {
    free(from, length, need) {
      let at = from
      for (let end = this.inTheWay(at, at + length, need, 0); end >= 0; end = this.inTheWay(at, at + length, need, 0))
        at = end
      return at
    },
    freeBy(to, length, need) {
      let start = to
      for (let piece = pieceOf(to + length - 1); piece >= 0; piece -= 1) {
        if ((at[piece + 1] ?? Number.POSITIVE_INFINITY) <= start) return start
        if ((used[piece] ?? 0) + need > room + GRACE) start = (at[piece] ?? start) - length
      }
      return start
    },
    inTheWay(from, to, need) {
      if (from >= to) return -1
      for (let piece = pieceOf(to - 1); piece >= 0; piece -= 1) {
        const end = at[piece + 1] ?? Number.POSITIVE_INFINITY
        if (end <= from) return -1
        if ((used[piece] ?? 0) + need > room + GRACE) return end
      }
      return -1
    },
    take: (from, to, need) => change(from, to, need),
    give: (from, to, need) => change(from, to, -need),
  }
}
