/** A plan as what the dyer does when: each lift in plain words. */
import type { Plan, PlannedLoad, PlannedStep } from './plan.js'
import type { Minute, PlanLoad } from './plan-input.js'
import type { Reason } from './plan-reason.js'

export type PlanAct = {
  loadId: string
  /** The step that begins; null = the load is done. */
  stepN: number | null
  atMin: Minute
  /** "Lift Load 12 out of Pot 2 and rinse it". */
  words: string
  /** The title of the step; '' at the end. */
  title: string
  /** The hand work around it: what the step before wants at its end, and this one at its beginning. */
  handsFromMin: Minute
  handsToMin: Minute
  /** Somebody is there until then, since it is hot; null where nothing is heated. */
  hotUntilMin: Minute | null
  /** When it has had its time, and until when it stands there by the plan; null at the end. */
  endMin: Minute | null
  leaveMin: Minute | null
  why: Reason
}

export type ActNames = { load(loadId: string): string; pot(potId: string): string }

/** What is still to be done, in the order of the clock. */
export function actsOf(plan: Plan, loads: readonly PlanLoad[], names: ActNames): PlanAct[] {
  const asked = new Map(loads.map(load => [load.id, load]))
  return plan.loads
    .flatMap(load => actsOfLoad(load, names).map(act => ({ ...act, ...handsFor(act, asked.get(load.loadId)) })))
    .sort((a, b) => a.atMin - b.atMin)
}

type Hands = Pick<PlanAct, 'handsFromMin' | 'handsToMin' | 'hotUntilMin'>

function handsFor({ stepN, atMin }: Omit<PlanAct, keyof Hands>, load: PlanLoad | undefined): Hands {
  const steps = load?.steps ?? []
  const step = steps.find(({ n }) => n === stepN)
  const before = steps.find(({ n }) => n === (stepN ?? steps.length + 1) - 1)
  return {
    handsFromMin: atMin - (before?.handsLastMinutes ?? 0),
    handsToMin: atMin + (step?.handsFirstMinutes ?? 0),
    hotUntilMin: step?.heat ? atMin + step.minutes : null,
  }
}

function actsOfLoad(load: PlannedLoad, names: ActNames): Omit<PlanAct, keyof Hands>[] {
  const steps = load.steps.flatMap((step, index): Omit<PlanAct, keyof Hands>[] => {
    if (step.state !== 'planned') return []
    const { n, title, startMin, endMin, leaveMin, why } = step
    const words = actWords(load.loadId, load.steps[index - 1], step, names)
    return [{ loadId: load.loadId, stepN: n, atMin: startMin, words, title, endMin, leaveMin, why }]
  })
  const last = load.steps.at(-1)
  const words = `${out(load.loadId, last, names)} and lay it on the ready shelf`
  const end = { stepN: null, atMin: load.doneMin, words, title: '', endMin: null, leaveMin: null, why: load.whyDone }
  return [...steps, { loadId: load.loadId, ...end }]
}

function actWords(loadId: string, before: PlannedStep | undefined, step: PlannedStep, names: ActNames): string {
  const name = names.load(loadId)
  const pot = step.potId === null ? 'its pot' : names.pot(step.potId)
  const stays = before !== undefined && before.place === step.place && before.potId === step.potId
  if (stays) return `${name}${step.place === 'pot' ? `, in ${pot}` : ''}: ${step.title}`
  const taken = before === undefined ? `Take ${name}` : out(loadId, before, names)
  switch (step.place) {
    case 'soak tub':
      return `Put ${name} in to soak${step.potId === null ? '' : `, in ${pot}`}`
    case 'pot':
      return before === undefined
        ? `Lower ${name} into ${pot}: ${step.title}`
        : `${taken} and lower it into ${pot}: ${step.title}`
    case 'rinse':
      return `${taken} and take it to the sink: ${step.title}`
    case 'drying line':
      return `${taken} and hang it on the line: ${step.title}`
    case 'shelf':
      return `${taken} and let it lie on the shelf`
  }
}

/** "Lift Load 12 out of Pot 2". */
function out(loadId: string, from: PlannedStep | undefined, names: ActNames): string {
  const name = names.load(loadId)
  if (from === undefined || from.place === 'shelf') return `Take ${name}`
  if (from.place === 'rinse') return `Take ${name} out of the rinse`
  if (from.place === 'drying line') return `Take ${name} down from the line`
  return `Lift ${name} out of ${from.potId === null ? 'the soak tub' : names.pot(from.potId)}`
}
