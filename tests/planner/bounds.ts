/**
 * What no plan can better: how many loads are late at least, and by how many minutes. Two kinds of bound, the larger
 * counts: each load in a workshop of its own; and one resource shared out as finely as one likes (the hands in the
 * dyer's hours, all pots together, the drying line), where the fewest late is found by taking out the longest (Moore
 * 1968) and the least lateness by the shortest first against the earliest needed.
 */
import { planWork } from '../../src/domain/plan.js'
import type { PlanLoad, PlanPot, PlanStep, PlanWorkshop } from '../../src/domain/plan-input.js'

export type AtLeast = { late: number; lateMin: number }

/** One load's share of a resource, and by when it must have had it. */
type Share = { minutes: number; dueMin: number }

export function atLeast(workshop: PlanWorkshop, loads: readonly PlanLoad[], now: number): AtLeast {
  const alone = loads.map(load => planWork(workshop, [load], now, { effort: 0 }).score)
  const from = Math.max(now, Math.min(...loads.map(load => load.releaseMin)))
  const inHours = workClock(workshop, from)
  const hands = sharesOf(loads, step => step.handsFirstMinutes + step.handsLastMinutes, 'last step')
  const onLine = loads.map(load => ({
    minutes: (minutesOf(load.steps.filter(step => step.place === 'drying line')) * load.lineNeed) / workshop.lineRoom,
    dueMin: load.neededByMin ?? Number.POSITIVE_INFINITY,
  }))
  const soonest = Math.min(...loads.map(load => minutesOf(load.steps.filter(step => step.place !== 'drying line'))))
  const bounds = [
    { late: alone.filter(score => score.late > 0).length, lateMin: sum(alone.map(score => score.lateMin)) },
    shared(hands, inHours),
    ...potGroups(workshop).flatMap(group => potBounds(workshop, group, loads, from)),
    shared(onLine, used => from + soonest + used),
  ]
  return {
    late: Math.max(...bounds.map(one => one.late)),
    lateMin: Math.floor(Math.max(...bounds.map(one => one.lateMin))),
  }
}

const sum = (list: readonly number[]): number => list.reduce((total, one) => total + one, 0)
const minutesOf = (steps: readonly PlanStep[]): number => sum(steps.map(step => step.minutes))

/** What each load wants of a resource before its last step, or before it leaves the pots; and what must follow. */
function sharesOf(
  loads: readonly PlanLoad[],
  use: (step: PlanStep) => number,
  until: 'last step' | 'after pots',
): Share[] {
  return loads.map(load => {
    const lastPot = load.steps.findLastIndex(step => step.place === 'pot')
    const end = until === 'last step' ? load.steps.length - 1 : lastPot + 1
    const rest = minutesOf(load.steps.slice(end))
    return {
      minutes: sum(load.steps.slice(0, end).map(use)),
      dueMin: (load.neededByMin ?? Number.POSITIVE_INFINITY) - rest,
    }
  })
}

/** `at`: the earliest moment at which so many minutes of the resource have gone by. */
function shared(shares: readonly Share[], at: (used: number) => number): AtLeast {
  const kept: number[] = []
  let late = 0
  for (const { minutes, dueMin } of [...shares].sort((a, b) => a.dueMin - b.dueMin)) {
    kept.push(minutes)
    if (at(sum(kept)) <= dueMin) continue
    kept.sort((a, b) => a - b)
    kept.pop()
    late += 1
  }
  const dues = shares.map(share => share.dueMin).sort((a, b) => a - b)
  let used = 0
  const over = [...shares]
    .sort((a, b) => a.minutes - b.minutes)
    .map(({ minutes }, index) => {
      used += minutes
      return Math.max(0, at(used) - (dues[index] ?? Number.POSITIVE_INFINITY))
    })
  return { late, lateMin: sum(over) }
}

/** Every choice of some of the pots: loads that go into no others share these. */
function potGroups({ pots }: PlanWorkshop): PlanPot[][] {
  return Array.from({ length: 2 ** pots.length - 1 }, (_, n) => pots.filter((_pot, bit) => ((n + 1) >> bit) % 2 === 1))
}

function potBounds(workshop: PlanWorkshop, group: PlanPot[], loads: readonly PlanLoad[], from: number): AtLeast[] {
  const bound = loads.filter(load => workshop.pots.every(pot => group.includes(pot) || !takes(pot, load)))
  const minutes = sharesOf(bound, step => (step.place === 'pot' ? step.minutes / group.length : 0), 'after pots')
  const { ends, longestDay } = nightsOf(workshop, from)
  // What is in a pot for longer than any day is in it over a night.
  const overnight = bound.filter(load => minutesOf(load.steps.filter(step => step.place === 'pot')) > longestDay)
  const nights = sharesOf(overnight, () => 0, 'after pots').map(({ dueMin }) => ({ dueMin, minutes: 1 / group.length }))
  return [
    shared(minutes, used => from + used),
    shared(nights, used => ends[Math.ceil(used - 1e-9) - 1] ?? Number.POSITIVE_INFINITY),
  ]
}

const takes = (pot: PlanPot, load: PlanLoad): boolean =>
  load.bathMl <= pot.usableMl && !(load.iron && pot.noIron) && (load.bright || !pot.onlyBrights)

/** The ends of the nights that something can stand through, which is never longer than a day and a night here. */
function nightsOf(workshop: PlanWorkshop, from: number): { ends: number[]; longestDay: number } {
  const there = presence(workshop, from)
  const ends = there.filter(
    (minute, n) => n > 0 && minute - (there[n - 1] ?? 0) > 1 && minute - (there[n - 1] ?? 0) <= 1441,
  )
  const days = Math.max(...workshop.hours.flat().map(({ from: open, to }) => clock(to) - clock(open)))
  return { ends, longestDay: days }
}

/** When the dyer has been there for so many minutes since `from`, in a zone whose clocks stay as they are meanwhile. */
function workClock(workshop: PlanWorkshop, from: number): (used: number) => number {
  const there = presence(workshop, from)
  return used => (used <= 0 ? from : (there[Math.ceil(used) - 1] ?? Number.POSITIVE_INFINITY) + 1)
}

const clock = (text: string): number => Number(text.slice(0, 2)) * 60 + Number(text.slice(3))

const known = new Map<string, number[]>()

/** Every minute of the dyer's hours from then on; looked up once for each beginning. */
function presence(workshop: PlanWorkshop, from: number): number[] {
  const key = JSON.stringify([workshop.hours, from])
  const found = known.get(key)
  if (found !== undefined) return found
  const there: number[] = []
  known.set(key, there)
  for (let minute = from; minute < from + 1440 * 250; minute += 1) {
    const day = new Date(minute * 60_000)
    const time = day.getUTCHours() * 60 + day.getUTCMinutes()
    const hours = workshop.hours[day.getUTCDay()] ?? []
    if (hours.some(span => clock(span.from) <= time && time < clock(span.to))) there.push(minute)
  }
  return there
}
