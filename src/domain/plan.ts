/**
 * The plan of the workshop: when each step of each load begins, where, and why not earlier.
 *
 * First nothing late, then least lateness, then the calmest days: no more hand work on any day than half of the dyer's
 * hours leaves room for. Steps under way and pins stay. A load stays in its tub, pot or sink until the next step takes
 * it, and keeps its pot until it has left it for good.
 */
import { type Board, boardOf, type PlanScore } from './plan-board.js'
import { type Asked, longestInTheWay, reasonOf, seeWhy } from './plan-explain.js'
import type { Minute, PlanLoad, PlanStep, PlanWorkshop } from './plan-input.js'
import { type PlanProblem, problemBefore, standsTooLong, whyNowhere } from './plan-problem.js'
import type { Reason } from './plan-reason.js'
import { search } from './plan-search.js'
import { isSettled, overstoodMin, settleAll } from './plan-settle.js'
import { FIRST_POT, pinnedPots, potsFor, type Stretch, stretchesOf } from './plan-stretch.js'

export type PlannedStep = {
  n: number
  title: string
  place: PlanStep['place']
  /** The pot that it is in; null when it is in none. */
  potId: string | null
  startMin: Minute
  /** When it has had its time; it may stand on until `leaveMin`, when the next step takes it. */
  endMin: Minute
  leaveMin: Minute
  state: 'done' | 'under way' | 'planned'
  /** Why it does not begin earlier. */
  why: Reason
}

export type PlannedLoad = {
  loadId: string
  potId: string | null
  steps: PlannedStep[]
  startMin: Minute
  doneMin: Minute
  whyDone: Reason
  /** A place, hands or a wish that kept one of its moments waiting longest; null when nothing did. */
  longestInTheWay: { reason: Reason; minutes: Minute } | null
  neededByMin: Minute | null
  lateMin: number
}

export type Plan = {
  nowMin: Minute
  /** In the order in which they were given; without those that cannot be planned. */
  loads: PlannedLoad[]
  problems: PlanProblem[]
  score: PlanScore
  /** How often a place was tried for something: the effort, which is the same in every run. */
  tries: number
}

/** How much effort a plan is worth: enough for some tens of loads, within some tenths of a second. */
export const usualEffort = (loads: number): number => 2000 + 40 * loads

/** What of a plan the next one needs to know. */
export type PlanSoFar = {
  loads: (Pick<PlannedLoad, 'loadId' | 'potId' | 'startMin' | 'doneMin' | 'neededByMin' | 'lateMin'> & {
    steps: Pick<PlannedStep, 'n' | 'title' | 'startMin' | 'potId'>[]
  })[]
  problems: Pick<PlanProblem, 'loadId'>[]
}

/**
 * `from`: the plan so far. It is followed where it can be, so that no more moves than must. `keepTo`: nothing is to be
 * done later than there but for what would be late otherwise. `reasons` false: nobody will ask this one why something is
 * not earlier.
 */
export type PlanOptions = { effort?: number; from?: PlanSoFar; keepTo?: PlanSoFar; reasons?: boolean }

export function planWork(
  workshop: PlanWorkshop,
  loads: readonly PlanLoad[],
  now: Minute,
  options: PlanOptions = {},
): Plan {
  const draft = draftOf(workshop, loads, now, options.keepTo)
  if (options.from !== undefined) follow(draft, options.from)
  search(draft.board, loads, draft.free, options.effort ?? usualEffort(loads.length))
  if (options.reasons !== false) for (const index of draft.free) seeWhy(draft.board, index)
  return planFrom(draft)
}

type Draft = Asked & { problems: PlanProblem[]; now: Minute; free: number[] }

/** What is under way or pinned is on the board, first what is furthest on; `free` is what is still to be placed. */
function draftOf(workshop: PlanWorkshop, loads: readonly PlanLoad[], now: Minute, keepTo?: PlanSoFar): Draft {
  const pots = loads.map(load => ({ ...potsFor(load, workshop), needed: pinnedPots(load).length < 2 }))
  const stretches = loads.flatMap((load, number) => stretchesOf(load, number, workshop, pots[number]?.lanes ?? []))
  const doneSoFar = new Map(keepTo?.loads.map(({ loadId, doneMin }) => [loadId, doneMin]))
  const done = loads.map(({ id }) => doneSoFar.get(id))
  const board = boardOf(workshop, loads, stretches, now, done)
  const problems = loads.flatMap((load, number) => {
    const problem = problemBefore(
      load,
      workshop,
      board.bench,
      pots[number] ?? { lanes: [], refused: [], needed: false },
    )
    return problem ?? []
  })
  const draft: Draft = { workshop, loads, board, problems, now, free: [] }
  for (const stretch of board.stretches) if (isPlannable(draft, stretch)) tryAlone(draft, stretch)
  settle(draft)
  return draft
}

const isPlannable = ({ problems, loads }: Draft, stretch: Stretch): boolean =>
  !problems.some(problem => problem.loadId === loads[stretch.load]?.id)

/** In an empty workshop: what goes nowhere there goes nowhere at all. */
function tryAlone(draft: Draft, stretch: Stretch): void {
  const { board, loads, problems } = draft
  const index = board.stretches.indexOf(stretch)
  const load = loads[stretch.load]
  if (load !== undefined && !board.place(index)) problems.push(whyNowhere(load, stretch, board.bench))
  board.lift(index)
}

function settle(draft: Draft): void {
  const { board, loads } = draft
  const all = board.stretches.flatMap((stretch, index) => (isPlannable(draft, stretch) ? [index] : []))
  draft.free = all.filter(index => !isSettled(loads[board.stretches[index]?.load ?? 0]))
  for (const index of settleAll(draft, all)) {
    const stretch = board.stretches[index]
    const load = loads[stretch?.load ?? 0]
    if (stretch === undefined || load === undefined || !isPlannable(draft, stretch)) continue
    draft.problems.push(whyNowhere(load, stretch, board.bench))
  }
}

/** Puts everything where a plan has it, or as soon after that as it goes; what the plan does not know comes last. */
function follow({ board, loads, workshop, free }: Draft, plan: PlanSoFar): void {
  const known = new Map(plan.loads.map(load => [load.loadId, load]))
  const planned = (index: number): PlanSoFar['loads'][number] | undefined =>
    known.get(loads[board.stretches[index]?.load ?? 0]?.id ?? '')
  const start = (index: number): Minute => planned(index)?.startMin ?? Number.MAX_SAFE_INTEGER
  for (const index of [...free].sort((a, b) => start(a) - start(b) || a - b)) {
    const [stretch, old] = [board.stretches[index], planned(index)]
    if (stretch === undefined) continue
    const moments = old === undefined ? [] : [...old.steps.map(step => step.startMin), old.doneMin]
    const floor = moments.slice(stretch.first, stretch.first + stretch.count + 1)
    const pot = FIRST_POT + workshop.pots.findIndex(one => one.id === old?.potId)
    if (pot < FIRST_POT || !board.place(index, floor, pot)) board.place(index, floor)
  }
}

/** The board as plain records. */
function planFrom(draft: Draft): Plan {
  const { board, loads, now } = draft
  const problems = [...draft.problems]
  const planned = loads.flatMap((load, number) => {
    const own = board.stretches.flatMap((stretch, index) => (stretch.load === number ? [index] : []))
    if (own.length === 0 || own.some(index => board.placed(index) === undefined)) return []
    const record = recordOf(draft, load, own)
    const begun = load.begunMin.length
    const over = overstoodMin(load, record.steps[begun - 1]?.leaveMin)
    if (over > 0) problems.push(standsTooLong(load, begun, over))
    return record
  })
  return { nowMin: now, loads: planned, problems, score: { ...board.score }, tries: board.tries }
}

function recordOf(draft: Draft, load: PlanLoad, own: readonly number[]): PlannedLoad {
  const { board, workshop } = draft
  const moments = own.flatMap(index => momentsOf(draft, board, index))
  const at = (moment: number): Minute => moments[moment]?.at ?? draft.now
  const why = (moment: number): Reason => moments[moment]?.why ?? { kind: 'now' }
  const chosen = own.map(index => board.placed(index)?.pot ?? -1).find(pot => pot >= FIRST_POT)
  const potId = chosen === undefined ? load.potId : (workshop.pots[chosen - FIRST_POT]?.id ?? null)
  const begun = load.begunMin.length
  const steps = load.steps.map((step, index): PlannedStep => {
    const pinned = pinnedPots(load).length > 1 ? load.pins.find(pin => pin.stepN === step.n)?.potId : undefined
    const inPot = step.place === 'pot' || (step.place === 'soak tub' && workshop.soakTubs === 0)
    return {
      n: step.n,
      title: step.title,
      place: step.place,
      potId: inPot ? (pinned ?? potId) : null,
      startMin: at(index),
      endMin: at(index) + step.minutes,
      leaveMin: at(index + 1),
      state: index < begun - 1 ? 'done' : index === begun - 1 ? 'under way' : 'planned',
      why: why(index),
    }
  })
  const doneMin = at(load.steps.length)
  const lateMin = Math.max(0, doneMin - (load.neededByMin ?? doneMin))
  return {
    loadId: load.id,
    potId,
    steps,
    startMin: at(0),
    doneMin,
    whyDone: why(load.steps.length),
    longestInTheWay: longestOf(draft, own),
    neededByMin: load.neededByMin,
    lateMin,
  }
}

function longestOf(draft: Draft, own: readonly number[]): PlannedLoad['longestInTheWay'] {
  const all = own.flatMap(index => {
    const [stretch, placed] = [draft.board.stretches[index], draft.board.placed(index)]
    return (stretch && placed && longestInTheWay(draft, stretch, placed)) ?? []
  })
  return all.sort((a, b) => b.minutes - a.minutes)[0] ?? null
}

/** One moment for each step, and the end of the load. */
function momentsOf(draft: Draft, board: Board, index: number): { at: Minute; why: Reason }[] {
  const [stretch, placed] = [board.stretches[index], board.placed(index)]
  if (stretch === undefined || placed === undefined) return []
  return placed.fit.at.map((at, k) => ({ at, why: reasonOf(draft, stretch, placed, k) }))
}
