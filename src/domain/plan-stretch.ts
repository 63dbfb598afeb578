/**
 * A load as the engine sees it: stretches of steps that follow one another within limits. Between two stretches it can
 * lie on the shelf as long as it likes, so that each stretch is placed by itself; most loads are one stretch.
 */
import type { Minute, PlanLoad, PlanPin, PlanPot, PlanStep, PlanWish, PlanWorkshop } from './plan-input.js'
import { whyNotFor } from './plan-traits.js'
import { thereFor } from './plan-wish.js'

/** Lanes by number: these three, and the pots from `FIRST_POT` on in the workshop's order. */
export const TUBS = 0
export const SINKS = 1
export const LINE = 2
export const FIRST_POT = 3
/** Stands for the one pot that is still to be chosen. */
export const CHOSEN = -1

/** A lane is taken from the beginning of step `from` until the load goes on to step `to`. */
export type Hold = { lane: number; from: number; to: number; need: number }

/** Lists by moment: 0 is the beginning of its first step, and the one past the last step its end. */
export type Stretch = {
  load: number
  /** Index of its first step in the load, and how many there are. */
  first: number
  count: number
  /** Minutes between a moment and the next: at least and at most. */
  least: number[]
  most: number[]
  /** Minutes of hand work up to and from the moment; from it on, minutes with the dyer there. */
  handsBefore: number[]
  handsAfter: number[]
  there: number[]
  /** The same two, with all that must follow at once: work that no wait may break is looked for in one piece. */
  handsInOne: number[]
  thereInOne: number[]
  holds: Hold[]
  /** Pot lanes to choose from; empty when nothing is to be chosen. */
  pots: number[]
  depth: number
  wishes: PlanWish[]
  releaseMin: Minute
  /** Moments that have already been. */
  begun: (Minute | undefined)[]
  pinned: (Minute | undefined)[]
  /** The client has agreed to the moment, so that no wish of theirs moves it. */
  agreed: boolean[]
  /** Minutes on the shelf before it, after the stretch before it. */
  shelfMinutes: number
  /** Whether it is the last of its load. */
  last: boolean
}

/** The stretches of a load, in order. `pots` are the lanes of the pots that take it. */
export function stretchesOf(load: PlanLoad, number: number, workshop: PlanWorkshop, pots: number[]): Stretch[] {
  const holds = holdsOf(load, workshop)
  const { steps } = load
  const breaks = steps.flatMap((step, index) => (isBreak(step, index, load, holds) ? [index] : []))
  const firsts = [0, ...breaks.map(index => index + 1)]
  return firsts.map((first, part) => {
    const end = breaks[part] ?? steps.length
    const inside = holds.filter(hold => hold.from >= first && hold.to <= end)
    return {
      ...momentsOf(load, first, end),
      load: number,
      first,
      count: end - first,
      holds: inside.map(hold => ({ ...hold, from: hold.from - first, to: hold.to - first })),
      pots: inside.some(hold => hold.lane === CHOSEN) ? pots : [],
      depth: load.depth,
      wishes: load.wishes,
      releaseMin: load.releaseMin,
      shelfMinutes: steps[first - 1]?.minutes ?? 0,
      last: end === steps.length,
    }
  })
}

type Moments = Pick<
  Stretch,
  | 'least'
  | 'most'
  | 'handsBefore'
  | 'handsAfter'
  | 'there'
  | 'handsInOne'
  | 'thereInOne'
  | 'begun'
  | 'pinned'
  | 'agreed'
>

function momentsOf({ steps, begunMin, pins }: PlanLoad, first: number, end: number): Moments {
  const inside = steps.slice(first, end)
  const next = steps[end]
  const starting = next === undefined ? inside : [...inside, next]
  const pad = next === undefined ? [0] : []
  const least = inside.map(step => step.minutes)
  const most = inside.map(step => step.minutes + (step.standAtMostMinutes ?? Number.POSITIVE_INFINITY))
  const handsAfter = [...starting.map(step => step.handsFirstMinutes), ...pad]
  const there = [...starting.map(thereFor), ...pad]
  return {
    least,
    most,
    handsBefore: [0, ...inside.map(step => step.handsLastMinutes)],
    handsAfter,
    there,
    handsInOne: inOne(handsAfter, least, most),
    thereInOne: inOne(there, least, most),
    begun: Array.from({ length: inside.length + 1 }, (_, at) => begunMin[first + at]),
    pinned: Array.from({ length: inside.length + 1 }, (_, at) => pinnedStart(pins, steps[first + at])),
    agreed: Array.from({ length: inside.length + 1 }, (_, at) => isAgreed(pins, steps[first + at])),
  }
}

/** What fills its whole step goes on with what the next one begins with, when the next one must begin at once. */
function inOne(minutes: readonly number[], least: readonly number[], most: readonly number[]): number[] {
  const whole = [...minutes]
  for (let k = least.length - 1; k >= 0; k -= 1)
    if (most[k] === least[k] && minutes[k] === least[k]) whole[k] = (minutes[k] ?? 0) + (whole[k + 1] ?? 0)
  return whole
}

const pinnedStart = (pins: readonly PlanPin[], step: PlanStep | undefined): Minute | undefined =>
  pins.find(pin => pin.stepN === step?.n && pin.startMin !== null)?.startMin ?? undefined

const isAgreed = (pins: readonly PlanPin[], step: PlanStep | undefined): boolean =>
  pins.some(pin => pin.stepN === step?.n && pin.startMin !== null && pin.againstWish)

/** Steps that wait on the shelf without limit, but not while a pot is kept for what comes after. */
const isBreak = (step: PlanStep, index: number, { steps }: PlanLoad, holds: readonly Hold[]): boolean =>
  step.place === 'shelf' &&
  step.standAtMostMinutes === null &&
  !step.heat &&
  step.handsFirstMinutes + step.handsLastMinutes === 0 &&
  index > 0 &&
  index < steps.length - 1 &&
  !holds.some(hold => hold.from < index && hold.to > index + 1)

function holdsOf(load: PlanLoad, workshop: PlanWorkshop): Hold[] {
  const lanes = load.steps.map(step => laneOf(step, load, workshop))
  const potLanes = [...new Set(lanes.filter(lane => lane === CHOSEN || (lane ?? 0) >= FIRST_POT))]
  const potHolds = potLanes.flatMap(lane =>
    lane === undefined ? [] : [{ lane, from: lanes.indexOf(lane), to: lanes.lastIndexOf(lane) + 1, need: 1 }],
  )
  const others = lanes.flatMap((lane, from): Hold[] => {
    if (lane === undefined || lane === CHOSEN || lane >= FIRST_POT || lanes[from - 1] === lane) return []
    const away = lanes.findIndex((other, index) => index > from && other !== lane)
    return [{ lane, from, to: away < 0 ? lanes.length : away, need: lane === LINE ? load.lineNeed : 1 }]
  })
  return [...potHolds, ...others].sort((a, b) => a.from - b.from)
}

function laneOf(step: PlanStep, load: PlanLoad, workshop: PlanWorkshop): number | undefined {
  if (step.place === 'shelf') return undefined
  if (step.place === 'rinse') return SINKS
  if (step.place === 'drying line') return LINE
  if (step.place === 'soak tub' && workshop.soakTubs > 0) return TUBS
  const pinned = pinnedPots(load)
  const own = load.pins.find(pin => pin.stepN === step.n && pin.potId !== null)?.potId
  return pinned.length > 1 && own ? potLane(workshop, own) : CHOSEN
}

const potLane = ({ pots }: PlanWorkshop, potId: string): number => FIRST_POT + pots.findIndex(pot => pot.id === potId)

/** The pots that the dyer has pinned steps to. One of them is the pot of the whole load. */
export const pinnedPots = ({ pins }: PlanLoad): string[] => [
  ...new Set(pins.flatMap(pin => (pin.potId === null ? [] : [pin.potId]))),
]

/** The pots that take a load, the smallest first so that the large ones stay free; and why the others do not. */
export function potsFor(load: PlanLoad, workshop: PlanWorkshop): { lanes: number[]; refused: string[] } {
  const [pinned, ...more] = pinnedPots(load)
  const settled = load.potId ?? (more.length === 0 ? pinned : undefined)
  const refused: string[] = []
  const taken: { lane: number; usableMl: number }[] = []
  for (const [index, pot] of workshop.pots.entries()) {
    const against =
      settled === undefined ? refusal(load, pot) : settled === pot.id ? null : 'is not the one that was chosen'
    if (against === null) taken.push({ lane: FIRST_POT + index, usableMl: pot.usableMl })
    else refused.push(`${pot.name} ${against}`)
  }
  return { lanes: taken.sort((a, b) => a.usableMl - b.usableMl).map(({ lane }) => lane), refused }
}

/** Why a pot does not take a load, to be read after the pot's name; null when it does. */
function refusal(load: PlanLoad, pot: PlanPot): string | null {
  if (load.potIds !== null && !load.potIds.includes(pot.id)) return 'is not one of those chosen for it'
  if (pot.usableMl < load.bathMl) return 'is too small'
  return whyNotFor(load, pot)
}
