import { type Plan, planWork, usualEffort } from '../../src/domain/plan.js'
import { planCuts } from '../../src/domain/plan-cuts.js'
import { atLeast } from '../planner/bounds.js'
import { cutsOf, gapInstances, MONDAY, WORKSHOP, workshopLoads } from '../planner/instances.js'
import { asLoads, asWorkshop, JOB_SHOPS, type JobShop } from '../planner/job-shop.js'
import { cpuMs, median } from './cpu.js'

const SEEDS = [1, 2, 3, 4, 5]

/** Time for plans of 60 and 250 loads, the gap to the lower bound on 60 instances, and job shops from the literature. */
export async function plans(): Promise<void> {
  for (const count of [60, 250]) {
    const timed = async (seed: number) => {
      const loads = workshopLoads(seed, count)
      return cpuMs(() => planWork(WORKSHOP, loads, MONDAY))
    }
    // The compiler works along at first, and a server plans many times: both are told.
    const first: number[] = []
    const again: number[] = []
    for (const seed of SEEDS) first.push(await timed(seed))
    for (const seed of SEEDS) again.push(await timed(seed))
    console.log(
      `plan of ${count} loads: ${median(again).toFixed(0)} ms of one core, ${median(first).toFixed(0)} ms the first time (medians of 5 workshops; effort ${usualEffort(count)})`,
    )
  }
  await cuts()
  gaps()
  jobShops()
}

/** Sixty lots, of which each third may be cut into two or three loads. */
async function cuts(): Promise<void> {
  const times: number[] = []
  const late = { whole: 0, cut: 0 }
  for (const seed of [1, 2, 3, 4, 5]) {
    const loads = workshopLoads(seed, 60)
    const settled = loads.filter((_, n) => n % 3 > 0)
    const lots = loads.filter((_, n) => n % 3 === 0).map(cutsOf)
    times.push(await cpuMs(() => planCuts(WORKSHOP, settled, lots, MONDAY)))
    late.cut += planCuts(WORKSHOP, settled, lots, MONDAY).plan.score.late
    late.whole += planWork(WORKSHOP, [...settled, ...lots.flatMap(([whole = []]) => whole)], MONDAY).score.late
  }
  console.log(
    `plan of 60 lots of which 20 can be cut: ${median(times).toFixed(0)} ms; late ${late.cut}, uncut ${late.whole} (all 5 workshops)`,
  )
}

function gaps(): void {
  console.log('\nseed loads   late: by rule  plan  at least   late hours: by rule  plan  at least   crowded min')
  const sums = { ruleLate: 0, late: 0, least: 0, rule: 0, is: 0, min: 0, proven: 0, provenLate: 0 }
  for (const { seed, loads } of gapInstances()) {
    const rule = planWork(WORKSHOP, loads, MONDAY, { effort: 0 }).score
    const plan = planWork(WORKSHOP, loads, MONDAY).score
    const least = atLeast(WORKSHOP, loads, MONDAY)
    const hours = (minutes: number) => (minutes / 60).toFixed(0)
    const cells = [
      rule.late,
      plan.late,
      least.late,
      hours(rule.lateMin),
      hours(plan.lateMin),
      hours(least.lateMin),
      plan.crowdedMin,
    ]
    const widths = [15, 6, 10, 22, 6, 10, 14]
    console.log(
      `${String(seed).padStart(4)}${String(loads.length).padStart(6)}${cells.map((cell, n) => String(cell).padStart(widths[n] ?? 0)).join('')}`,
    )
    sums.ruleLate += rule.late
    sums.late += plan.late
    sums.least += least.late
    sums.rule += rule.lateMin
    sums.is += plan.lateMin
    sums.min += least.lateMin
    if (plan.late === least.late) sums.provenLate += 1
    if (plan.late === least.late && plan.lateMin === least.lateMin) sums.proven += 1
  }
  console.log(
    `all: late by rule ${sums.ruleLate}, plan ${sums.late}, at least ${sums.least}; hours late ${(sums.rule / 60).toFixed(0)}, ${(sums.is / 60).toFixed(0)}, at least ${(sums.min / 60).toFixed(0)}; as few late as can be in ${sums.provenLate} of 60, proven best in ${sums.proven}`,
  )
}

function jobShops(): void {
  console.log('\njob shop   published optimum   shortest found   over')
  for (const shop of JOB_SHOPS) {
    const span = shortest(shop, 100_000)
    const over = ((span / shop.optimum - 1) * 100).toFixed(1)
    console.log(
      `${shop.name.padEnd(11)}${String(shop.optimum).padStart(17)}${String(span).padStart(17)}${`${over} %`.padStart(10)}`,
    )
  }
}

/** Asks for the optimum, then for a little more until nothing is late; and from there for less, until that fails. */
function shortest(shop: JobShop, effort: number): number {
  const workshop = asWorkshop(shop)
  const spanOf = (plan: Plan) => Math.max(...plan.loads.map(load => load.doneMin))
  const planFor = (minutes: number, from?: Plan) =>
    planWork(workshop, asLoads(shop, minutes), 0, from === undefined ? { effort } : { effort, from })
  let asked = shop.optimum
  let plan = planFor(asked)
  while (plan.score.late > 0) {
    asked = Math.ceil(asked * 1.01)
    plan = planFor(asked)
  }
  for (;;) {
    const next = planFor(spanOf(plan) - 1, plan)
    if (spanOf(plan) <= shop.optimum || next.score.late > 0) return spanOf(plan)
    plan = next
  }
}
