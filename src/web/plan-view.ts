/** The plan as a page shows it: ISO times, and every reason as a sentence. */
import { sayLapse } from '../domain/calendar.js'
import type { PlannedLoad } from '../domain/plan.js'
import { actsOf, type PlanAct } from '../domain/plan-acts.js'
import { type Help, helpForLate, helpForProblem, keptBy } from '../domain/plan-help.js'
import { instantAt, type PlanStep } from '../domain/plan-input.js'
import type { PlanProblem } from '../domain/plan-problem.js'
import { type Reason, type ReasonWords, sayReason } from '../domain/plan-reason.js'
import { clockOf, dayOf, sayTime } from '../domain/wall-clock.js'
import type { LoadWords, PlanFacts } from '../store/plan-facts.js'
import type { WorkPlan } from '../store/work-plan.js'

/** Names for everything that a reason speaks of. */
export function reasonWords({ facts }: WorkPlan, at: string): ReasonWords {
  const { timeZone } = facts.workshop
  const steps = new Map(facts.loads.map(load => [load.id, load.steps]))
  return {
    loadName: loadId => facts.words.loads[loadId]?.name ?? loadId,
    potName: potId => facts.words.pots[potId] ?? 'a pot',
    stepTitle: (stepN, loadId) => steps.get(loadId ?? '')?.find(({ n }) => n === stepN)?.title ?? `step ${stepN}`,
    timeZone,
    today: dayOf(at, timeZone),
  }
}

/** A sentence for why something of a load is not earlier. */
export const sayWhy = (reason: Reason, loadId: string, words: ReasonWords): string =>
  sayReason(reason, { ...words, stepTitle: (stepN, other) => words.stepTitle(stepN, other ?? loadId) })

const namedOf = ({ words }: PlanFacts, loadId: string): LoadWords => {
  const named = words.loads[loadId]
  if (named === undefined) throw new Error(`the plan has a load without a name: ${loadId}`)
  return named
}

/** The page of one step: `lots/7/1/steps/2` or `loads/12/steps/3`. */
export const stepHref = ({ loadId, lotId, part }: LoadWords, stepN: number): string =>
  loadId === null ? `/plan/lots/${lotId}/${part}/steps/${stepN}` : `/plan/loads/${loadId}/steps/${stepN}`

export function planView(work: WorkPlan, at: string) {
  const { facts, plan } = work
  const words = reasonWords(work, at)
  const days = new Map<string, ReturnType<typeof actView>[]>()
  const names = { load: words.loadName, pot: words.potName }
  for (const act of actsOf(plan, facts.loads, names)) {
    const day = dayOf(instantAt(act.atMin), words.timeZone)
    const acts = days.get(day) ?? []
    acts.push(actView(act, facts, words))
    days.set(day, acts)
  }
  return {
    at,
    today: words.today,
    hoursAreGuessed: facts.hoursAreGuessed,
    problems: plan.problems.map(problem => problemView(problem, facts, words)),
    late: plan.loads.filter(({ lateMin }) => lateMin > 0).map(load => lateView(load, facts, words)),
    notPlanned: facts.notPlanned,
    days: [...days].map(([day, acts]) => ({ day, acts })),
    loads: plan.loads.map(load => loadView(load, facts, words)),
  }
}

function actView(act: PlanAct, facts: PlanFacts, words: ReasonWords) {
  const named = namedOf(facts, act.loadId)
  const at = instantAt(act.atMin)
  const { stepN } = act
  return {
    at,
    clock: clockOf(at, words.timeZone),
    words: act.words,
    why: sayWhy(act.why, act.loadId, words),
    planLoadId: act.loadId,
    stepN,
    /** When it has had its time there, and when it goes on. */
    hadAt: act.endMin === null ? null : instantAt(act.endMin),
    goesOnAt: act.leaveMin === null ? null : instantAt(act.leaveMin),
    /** Null where it is only a lift. */
    handsFromAt: act.handsFromMin === act.handsToMin ? null : instantAt(act.handsFromMin),
    handsToAt: act.handsFromMin === act.handsToMin ? null : instantAt(act.handsToMin),
    hotUntilAt: act.hotUntilMin === null ? null : instantAt(act.hotUntilMin),
    settled: stepN !== null && facts.pins.some(pin => pin.planLoadId === act.loadId && pin.stepN === stepN),
    settleHref: stepN === null ? null : stepHref(named, stepN),
    load: named,
  }
}

type Helped = { words: string; href: string; link: string }

function helpHref(help: Pick<Help, 'to'>, named: LoadWords, stepN: number): string {
  if (help.to === 'working days') return '/settings/working-days'
  if (help.to === 'pots') return '/pots'
  if (help.to === 'otherwise') return '/plan/otherwise'
  if (help.to === 'plan step') return stepHref(named, stepN)
  return help.to === 'client' ? `/commissions/${named.commissionId}` : named.href
}

/** With the next time at which something that is pinned could be. */
export const sayProblem = ({ words, nextMin }: PlanProblem, { timeZone, today }: ReasonWords): string =>
  nextMin === null ? words : `${words} It could begin ${sayTime(instantAt(nextMin), timeZone, today)}.`

function problemView(problem: PlanProblem, facts: PlanFacts, words: ReasonWords) {
  const named = namedOf(facts, problem.loadId)
  const help = helpForProblem(problem)
  const helped: Helped = { words: '', href: helpHref(help, named, problem.stepN ?? 1), link: help.link }
  return { ...problem, words: sayProblem(problem, words), load: named, help: helped }
}

function lateView(planned: PlannedLoad, facts: PlanFacts, words: ReasonWords) {
  const named = namedOf(facts, planned.loadId)
  const reason = keptBy(planned)
  const help = helpForLate(planned)
  const pinned = facts.pins.find(pin => pin.planLoadId === planned.loadId)?.stepN ?? 1
  return {
    load: named,
    doneAt: instantAt(planned.doneMin),
    lateMinutes: planned.lateMin,
    why: reason === null ? '' : sayWhy(reason, planned.loadId, words),
    help: { words: help.words, href: helpHref(help, named, pinned), link: help.link } satisfies Helped,
  }
}

function loadView(planned: PlannedLoad, facts: PlanFacts, words: ReasonWords) {
  return {
    planLoadId: planned.loadId,
    load: namedOf(facts, planned.loadId),
    potName: planned.potId === null ? null : words.potName(planned.potId),
    startsAt: instantAt(planned.startMin),
    doneAt: instantAt(planned.doneMin),
    neededByAt: planned.neededByMin === null ? null : instantAt(planned.neededByMin),
    lateMinutes: planned.lateMin,
    steps: planned.steps.map(step => ({
      n: step.n,
      title: step.title,
      place: step.place,
      potName: step.potId === null ? null : words.potName(step.potId),
      state: step.state,
      startsAt: instantAt(step.startMin),
      hadAt: instantAt(step.endMin),
      goesOnAt: instantAt(step.leaveMin),
      why: sayWhy(step.why, planned.loadId, words),
    })),
  }
}

/** How long a step takes of the dyer, in words. */
export function sayHands(step: PlanStep): string {
  const work = step.handsFirstMinutes + step.handsLastMinutes
  if (step.heat) return 'Somebody is there all the while, since it is hot.'
  return work === 0 ? 'It wants no hands.' : `It wants hands for ${sayLapse(work)}.`
}
