/**
 * Into how many loads a lot that waits is cut: as few as can be, since what shares a bath comes out alike; more and
 * smaller ones only where that saves a day. A large pot that is taken or out of use for long is not waited for then.
 */
import { type Plan, type PlanOptions, type PlanSoFar, planWork, usualEffort } from './plan.js'
import type { Minute, PlanLoad, PlanWorkshop } from './plan-input.js'

/** The ways to cut one lot: each has the loads of it, fewest loads first; never none. */
export type Ways = readonly (readonly PlanLoad[])[]

/** `chosen`: for each lot, which of its ways, from 0. */
export type CutPlan = { plan: Plan; chosen: number[] }

export const loadsOf = (lots: readonly Ways[], chosen: readonly number[]): PlanLoad[] =>
  lots.flatMap((ways, index) => ways[chosen[index] ?? 0] ?? [])

/**
 * The plan of loads that are `settled` and of lots that can be cut in several ways. As long as something is late or
 * cannot be planned, another way is tried for one lot after the other, and kept where that is so of fewer, or they are
 * less late. Half of the effort goes before that, half after it; the tries in between have their own.
 */
export function planCuts(
  workshop: PlanWorkshop,
  settled: readonly PlanLoad[],
  lots: readonly Ways[],
  now: Minute,
  options: PlanOptions = {},
): CutPlan {
  const planOf = (chosen: readonly number[], how: PlanOptions): Cut => {
    const loads = [...settled, ...loadsOf(lots, chosen)]
    return { loads, chosen: [...chosen], plan: planWork(workshop, loads, now, how) }
  }
  const asFewAsCanBe = lots.map(() => 0)
  if (lots.every(ways => ways.length === 1)) return planOf(asFewAsCanBe, options)
  const usual = usualEffort(settled.length + lots.length)
  const effort = (options.effort ?? usual) / 2
  let best = planOf(asFewAsCanBe, { ...options, effort })
  if (!isAmiss(best.plan) && best.plan.score.crowdedMin === 0) return best
  let triesLeft = usual / 2
  for (const { lot, way } of furtherWays(lots, best)) {
    if (triesLeft <= 0 || !isAmiss(best.plan)) break
    const chosen = best.chosen.map((was, index) => (index === lot ? way : was))
    const from = withLotAsIn(best.plan, options.from, lots[lot] ?? [], way)
    const trial = planOf(chosen, { ...options, effort: 0, from, reasons: false })
    triesLeft -= trial.plan.tries
    if (isBetter(trial, best)) best = trial
  }
  return planOf(best.chosen, { ...options, effort, from: best.plan })
}

const isAmiss = ({ score, problems }: Plan): boolean => score.late > 0 || problems.length > 0

/** The lots that are late or cannot be planned first; of each, few loads before many. */
function furtherWays(lots: readonly Ways[], { plan }: CutPlan): { lot: number; way: number }[] {
  const amiss = new Set([
    ...plan.problems.map(({ loadId }) => loadId),
    ...plan.loads.filter(({ lateMin }) => lateMin > 0).map(({ loadId }) => loadId),
  ])
  const isFirst = (lot: number): boolean => lots[lot]?.[0]?.some(({ id }) => amiss.has(id)) ?? false
  return lots
    .map((_, lot) => lot)
    .sort((a, b) => Number(isFirst(b)) - Number(isFirst(a)) || a - b)
    .flatMap(lot => (lots[lot] ?? []).slice(1).map((_, index) => ({ lot, way: index + 1 })))
}

/** The lot starts afresh in a plan, unless the plan so far had it cut in the same way: then it stays where it was. */
function withLotAsIn(plan: Plan, soFar: PlanSoFar | undefined, ways: Ways, way: number): PlanSoFar {
  const ids = new Set(ways.flat().map(({ id }) => id))
  const was = (soFar?.loads ?? []).filter(({ loadId }) => ids.has(loadId))
  const own = was.length === ways[way]?.length ? was : []
  return { ...plan, loads: [...plan.loads.filter(({ loadId }) => !ids.has(loadId)), ...own] }
}

type Cut = CutPlan & { loads: readonly PlanLoad[] }

function isBetter(one: Cut, other: Cut): boolean {
  const [is, was] = [one.plan.score, other.plan.score]
  return (unplanned(one) - unplanned(other) || is.late - was.late || is.lateMin - was.lateMin) < 0
}

/** How many lots cannot be planned: not how many loads, lest a way be better for having fewer of them. */
function unplanned({ plan, loads }: Cut): number {
  const lotOf = new Map(loads.map(({ id, lot }) => [id, lot ?? id]))
  return new Set(plan.problems.map(({ loadId }) => lotOf.get(loadId))).size
}
