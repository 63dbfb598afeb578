/** The plan while it is being made: what is placed where, and how good that is. */
import { type Bench, earliestFit, type Fit, noSooner, startOf } from './plan-fit.js'
import { hoursOf } from './plan-hours.js'
import type { Minute, PlanLoad, PlanWorkshop } from './plan-input.js'
import { type Lane, oneAtATime, potLane, shared } from './plan-lane.js'
import { CHOSEN, type Stretch } from './plan-stretch.js'

/** The first that differs decides; less is better in each. */
export type PlanScore = {
  /** Lots, and loads by themselves, that are done after their needed-by moment. */
  late: number
  /** By how much, all together. */
  lateMin: number
  /** Done later than in the plan so far, where that is to be kept to: by how much, all together. */
  delayMin: number
  /** Hand work above half of the dyer's hours of a day, all days together: 0 is a calm plan. */
  crowdedMin: number
  /** Done moments added up, counted from now: what can be done early is done early. */
  waitMin: number
}

export const compareScores = (a: PlanScore, b: PlanScore): number =>
  a.late - b.late ||
  a.lateMin - b.lateMin ||
  a.delayMin - b.delayMin ||
  a.crowdedMin - b.crowdedMin ||
  a.waitMin - b.waitMin

export type Placed = { pot: number; fit: Fit }

/** Where everything is, to come back to. */
export type Picture = readonly (Placed | undefined)[]

export interface Board {
  readonly bench: Bench
  readonly stretches: readonly Stretch[]
  readonly score: PlanScore
  /** How often a stretch was looked at: the measure of effort. */
  readonly tries: number
  placed(index: number): Placed | undefined
  /** Places a stretch in the pot where it is done first, no moment before `floor`. False when it goes nowhere. */
  place(index: number, floor?: readonly Minute[], onlyPot?: number): boolean
  /** Exactly as it was. */
  putBack(index: number, placed: Placed): void
  lift(index: number): void
  /** Whether it has begun somewhere where something else is, or is to be before it leaves. */
  isInTheWay(index: number): boolean
  picture(): Picture
}

/** `doneSoFar`: by load number, when each is done in the plan so far. */
export function boardOf(
  workshop: PlanWorkshop,
  loads: readonly PlanLoad[],
  stretches: Stretch[],
  now: Minute,
  doneSoFar: readonly (Minute | undefined)[] = [],
): Board {
  const bench = benchOf(workshop, now)
  const { hours } = bench
  const placed: (Placed | undefined)[] = stretches.map(() => undefined)
  const score: PlanScore = { late: 0, lateMin: 0, delayMin: 0, crowdedMin: 0, waitMin: 0 }
  const handsOnDay: number[] = []
  const parts = partsTogether(loads)
  const lateMin = loads.map(() => 0)
  let tries = 0

  const addHands = (at: Minute, minutes: number): void => {
    const day = hours.dayIndex(at)
    const was = handsOnDay[day] ?? 0
    const enough = hours.dayMinutes(day) / 2
    handsOnDay[day] = was + minutes
    score.crowdedMin += Math.max(0, was + minutes - enough) - Math.max(0, was - enough)
  }
  const addDone = (stretch: Stretch, done: Minute, sign: 1 | -1): void => {
    if (!stretch.last) return
    const over = done - (loads[stretch.load]?.neededByMin ?? Number.POSITIVE_INFINITY)
    score.waitMin += sign * (done - now)
    score.delayMin += sign * Math.max(0, done - (doneSoFar[stretch.load] ?? done))
    if (over <= 0) return
    const was = latest(stretch.load)
    lateMin[stretch.load] = sign > 0 ? over : 0
    const is = latest(stretch.load)
    score.late += Number(is > 0) - Number(was > 0)
    score.lateMin += is - was
  }
  const latest = (load: number): number =>
    parts[load]?.reduce((most, part) => Math.max(most, lateMin[part] ?? 0), 0) ?? lateMin[load] ?? 0
  const put = (index: number, stretch: Stretch, where: Placed): void => {
    const { at } = where.fit
    for (let k = 0; k <= stretch.count; k += 1) {
      const [from, to] = handsSpan(stretch, k, at[k] ?? 0, now)
      if (from >= to) continue
      takeClear(bench.hands, from, to, 1, 0, stretch.begun[k] !== undefined)
      addHands(from, to - from)
    }
    for (const hold of stretch.holds) {
      const lane = bench.lanes[hold.lane === CHOSEN ? where.pot : hold.lane]
      const isBegun = stretch.begun[hold.from] !== undefined
      if (lane !== undefined) takeClear(lane, at[hold.from] ?? 0, at[hold.to] ?? 0, hold.need, stretch.depth, isBegun)
    }
    addDone(stretch, at[stretch.count] ?? 0, 1)
    placed[index] = where
  }
  const lift = (index: number): void => {
    const [stretch, where] = [stretches[index], placed[index]]
    if (stretch === undefined || where === undefined) return
    const { at } = where.fit
    for (let k = 0; k <= stretch.count; k += 1) {
      const [from, to] = handsSpan(stretch, k, at[k] ?? 0, now)
      if (from >= to) continue
      bench.hands.give(from, to, 1)
      addHands(from, from - to)
    }
    for (const hold of stretch.holds)
      bench.lanes[hold.lane === CHOSEN ? where.pot : hold.lane]?.give(at[hold.from] ?? 0, at[hold.to] ?? 0, hold.need)
    addDone(stretch, at[stretch.count] ?? 0, -1)
    placed[index] = undefined
  }
  const earliest = (
    index: number,
    stretch: Stretch,
    floor?: readonly Minute[],
    onlyPot?: number,
  ): Placed | undefined => {
    const before = stretch.first === 0 ? undefined : placed[index - 1]?.fit.at.at(-1)
    const from = (before ?? bench.now) + stretch.shelfMinutes
    const start = startOf(bench, stretch, from, floor)
    // Without a pot first: no pot makes it earlier than that, so that each pot is looked at from there on.
    const potless = earliestFit(bench, stretch, CHOSEN, start)
    tries += 1
    if (!potless.ok || stretch.pots.length === 0)
      return potless.ok ? { pot: CHOSEN, fit: noSooner(bench, stretch, potless) } : undefined
    let best: Placed | undefined
    for (const pot of stretch.pots) {
      if (onlyPot !== undefined && pot !== onlyPot) continue
      const found = earliestFit(bench, stretch, pot, potless, best === undefined ? undefined : doneOf(best.fit))
      if (found.ok) best = { pot, fit: found }
    }
    return best && { pot: best.pot, fit: noSooner(bench, stretch, best.fit) }
  }
  return {
    bench,
    stretches,
    score,
    get tries() {
      return tries
    },
    placed: index => placed[index],
    place(index, floor, onlyPot) {
      const stretch = stretches[index]
      const best = stretch === undefined ? undefined : earliest(index, stretch, floor, onlyPot)
      if (stretch === undefined || best === undefined) return false
      put(index, stretch, best)
      return true
    },
    putBack(index, where) {
      const stretch = stretches[index]
      if (stretch !== undefined) put(index, stretch, where)
    },
    lift,
    isInTheWay(index) {
      const [stretch, where] = [stretches[index], placed[index]]
      if (stretch === undefined || where === undefined) return false
      lift(index)
      const { at } = where.fit
      const isHit = stretch.holds.some(hold => {
        if (stretch.begun[hold.from] === undefined) return false
        const lane = bench.lanes[hold.lane === CHOSEN ? where.pot : hold.lane]
        const from = Math.max(now, at[hold.from] ?? 0)
        return (lane?.inTheWay(from, at[hold.to] ?? 0, hold.need, stretch.depth) ?? -1) >= 0
      })
      put(index, stretch, where)
      return isHit
    },
    picture: () => [...placed],
  }
}

/** For each load the numbers of all that are of its lot; undefined for one by itself. */
function partsTogether(loads: readonly PlanLoad[]): (number[] | undefined)[] {
  const ofLot = new Map<string, number[]>()
  for (const [number, { lot }] of loads.entries()) if (lot !== null) ofLot.set(lot, [...(ofLot.get(lot) ?? []), number])
  return loads.map(({ lot }) => (lot === null ? undefined : ofLot.get(lot)))
}

const doneOf = ({ at }: Fit): Minute => at.at(-1) ?? 0

/** Hand work around a moment; what has been is not counted, nor what was to be done in a step that is over. */
function handsSpan(stretch: Stretch, k: number, at: Minute, now: Minute): [Minute, Minute] {
  const to = at + (stretch.handsAfter[k] ?? 0)
  if (stretch.begun[k] === undefined) return [at - (stretch.handsBefore[k] ?? 0), to]
  return [Math.max(now, at), Math.min(to, stretch.begun[k + 1] ?? to)]
}

/** What has already begun may be where something else is, by mistake: it then takes what comes after that. */
function takeClear(lane: Lane, from: Minute, to: Minute, need: number, depth: number, isBegun: boolean): void {
  const clear = isBegun ? Math.max(from, lane.inTheWay(from, to, need, depth)) : from
  if (clear < to) lane.take(clear, to, need, depth)
}

function benchOf(workshop: PlanWorkshop, now: Minute): Bench {
  const hours = hoursOf(workshop, now)
  const laneFor = (room: number): Lane => (room === 1 ? oneAtATime() : shared(room))
  const pots = workshop.pots.map(pot => {
    const lane = potLane(hours, workshop.scourMinutes)
    const spans = [...pot.outOfUse].sort((a, b) => a.fromMin - b.fromMin)
    for (const { fromMin, toMin } of spans) takeClear(lane, fromMin, toMin, 1, Number.NaN, true)
    return lane
  })
  const lanes = [shared(workshop.soakTubs), laneFor(workshop.sinks), shared(workshop.lineRoom), ...pots]
  return { now, hours, hands: laneFor(workshop.hands), lanes }
}
