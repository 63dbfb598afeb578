/** What a new plan changes, and who must be told. */
import type { Day } from './calendar.js'
import type { PlanSoFar } from './plan.js'
import { instantAt, type Minute } from './plan-input.js'
import { dayOf } from './wall-clock.js'

type LoadSoFar = PlanSoFar['loads'][number]

export type MovedStep = {
  n: number
  title: string
  fromMin: Minute
  toMin: Minute
  fromPotId: string | null
  toPotId: string | null
}

export type LoadChange = {
  loadId: string
  /** `dropped`: it was in the plan and cannot be planned any more. */
  kind: 'moved' | 'new' | 'dropped'
  steps: MovedStep[]
  doneDayWas: Day | null
  doneDay: Day | null
  neededByMin: Minute | null
  /** Its client waits for a day that will not be kept, or will be missed by another day than was said. */
  tell: boolean
}

/** Only what changes, in the order of the new plan; what is dropped comes last. */
export function planChanges(before: PlanSoFar, after: PlanSoFar, timeZone: string): LoadChange[] {
  const was = new Map(before.loads.map(load => [load.loadId, load]))
  const changes = after.loads.flatMap(load => changeOf(was.get(load.loadId), load, timeZone) ?? [])
  const still = new Set(after.loads.map(load => load.loadId))
  const failed = new Set(after.problems.map(problem => problem.loadId))
  const dropped = before.loads.filter(load => !still.has(load.loadId) && failed.has(load.loadId))
  return [...changes, ...dropped.map(load => droppedFrom(load, timeZone))]
}

function changeOf(was: LoadSoFar | undefined, is: LoadSoFar, timeZone: string): LoadChange | null {
  const doneDay = dayAt(is.doneMin, timeZone)
  const doneDayWas = was === undefined ? null : dayAt(was.doneMin, timeZone)
  const steps = was === undefined ? [] : movedSteps(was, is)
  if (was !== undefined && steps.length === 0 && was.doneMin === is.doneMin) return null
  return {
    loadId: is.loadId,
    kind: was === undefined ? 'new' : 'moved',
    steps,
    doneDayWas,
    doneDay,
    neededByMin: is.neededByMin,
    tell: is.lateMin > 0 && doneDay !== doneDayWas,
  }
}

const dayAt = (minute: Minute, timeZone: string): Day => dayOf(instantAt(minute), timeZone)

function movedSteps(was: LoadSoFar, is: LoadSoFar): MovedStep[] {
  return is.steps.flatMap(step => {
    const old = was.steps.find(one => one.n === step.n)
    if (old === undefined || (old.startMin === step.startMin && old.potId === step.potId)) return []
    const { n, title } = step
    return { n, title, fromMin: old.startMin, toMin: step.startMin, fromPotId: old.potId, toPotId: step.potId }
  })
}

const droppedFrom = (load: LoadSoFar, timeZone: string): LoadChange => ({
  loadId: load.loadId,
  kind: 'dropped',
  steps: [],
  doneDayWas: dayAt(load.doneMin, timeZone),
  doneDay: null,
  neededByMin: load.neededByMin,
  tell: true,
})
