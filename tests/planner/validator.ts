/**
 * Whether a plan can be carried out, told from the plan and the wish list alone. Shares nothing with the planner but
 * the shapes of its records: its own clock, its own calendar, its own sums, minute by minute where that is plainest.
 */
import type { Plan, PlannedLoad, PlannedStep } from '../../src/domain/plan.js'
import type { PlanLoad, PlanStep, PlanWorkshop } from '../../src/domain/plan-input.js'

export type Figures = { late: number; lateMin: number; crowdedMin: number }

/** Everything that is wrong with a plan, in words; empty for a plan that can be carried out. */
export function faultsOf(workshop: PlanWorkshop, loads: readonly PlanLoad[], now: number, plan: Plan): string[] {
  const wall = wallOf(workshop.timeZone)
  const pairs = plan.loads.map(planned => pairOf(loads, planned))
  return [
    ...countFaults(loads, plan),
    ...pairs.flatMap(pair => [
      ...orderFaults(pair, now),
      ...limitFaults(pair, now),
      ...presenceFaults(workshop, wall, pair, now),
      ...settledFaults(pair),
      ...potFaults(workshop, pair),
      ...latenessFaults(pair),
    ]),
    ...handFaults(workshop, pairs, now),
    ...roomFaults(workshop, pairs, now),
    ...potShareFaults(workshop, wall, pairs),
    ...scoreFaults(workshop, wall, pairs, now, plan),
  ]
}

type Pair = { load: PlanLoad; planned: PlannedLoad; steps: { asked: PlanStep; got: PlannedStep }[] }

function pairOf(loads: readonly PlanLoad[], planned: PlannedLoad): Pair {
  const load = loads.find(one => one.id === planned.loadId)
  if (load === undefined) throw new Error(`the plan has a load that nobody brought: ${planned.loadId}`)
  const steps = load.steps.map(asked => {
    const got = planned.steps.find(step => step.n === asked.n)
    if (got === undefined) throw new Error(`${load.id}: step ${asked.n} is not in the plan`)
    return { asked, got }
  })
  return { load, planned, steps }
}

function countFaults(loads: readonly PlanLoad[], plan: Plan): string[] {
  const planned = plan.loads.map(load => load.loadId)
  const given = new Set([...planned, ...plan.problems.map(problem => problem.loadId)])
  const lost = loads.filter(load => !given.has(load.id)).map(load => `${load.id} is neither planned nor a problem`)
  return new Set(planned).size === planned.length ? lost : [...lost, 'a load is planned twice']
}

function orderFaults({ load, planned, steps }: Pair, now: number): string[] {
  const faults: string[] = []
  let at = steps[0]?.got.startMin ?? 0
  if (load.begunMin.length === 0 && at < Math.max(now, load.releaseMin)) faults.push(`${load.id} begins too early`)
  for (const { asked, got } of steps) {
    if (!Number.isInteger(got.startMin)) faults.push(`${load.id}.${asked.n} begins at ${got.startMin}`)
    if (got.startMin !== at) faults.push(`${load.id}.${asked.n} does not begin when the step before is left`)
    if (got.endMin !== got.startMin + asked.minutes) faults.push(`${load.id}.${asked.n} has a wrong end`)
    at = got.leaveMin
  }
  if (planned.doneMin !== at) faults.push(`${load.id} is done at another time than its last step`)
  return faults
}

function limitFaults({ load, steps }: Pair, now: number): string[] {
  return steps.flatMap(({ asked, got }, index) => {
    const isPast = index < load.begunMin.length - 1
    const isUnderWay = index === load.begunMin.length - 1
    if (isPast) return []
    const stood = got.leaveMin - got.startMin - asked.minutes
    if (stood < 0) return [`${load.id}.${asked.n} is cut short by ${-stood} minutes`]
    if (got.leaveMin < now) return [`${load.id}.${asked.n} is left before now`]
    // What is under way may have stood too long already; then it is only to be lifted out.
    return !isUnderWay && stood > (asked.standAtMostMinutes ?? Number.POSITIVE_INFINITY)
      ? [`${load.id}.${asked.n} stands ${stood} minutes, longer than it may`]
      : []
  })
}

/** The minutes in which somebody must be there: lifts, hand work, heat; and the step with which they begin. */
function presenceOf({ load, steps, planned }: Pair): { from: number; to: number; what: string; n: number }[] {
  const begun = load.begunMin.length
  const coming = steps.filter((_, index) => index >= begun)
  const starts = coming.flatMap(({ asked, got }) => [
    {
      from: got.startMin,
      to: got.startMin + asked.handsFirstMinutes,
      what: `${load.id}.${asked.n} begins`,
      n: asked.n,
    },
    ...(asked.heat ? [{ from: got.startMin, to: got.endMin, what: `${load.id}.${asked.n} is hot`, n: asked.n }] : []),
  ])
  const notLeft = steps.filter((_, index) => index >= begun - 1)
  const ends = notLeft.map(({ asked, got }) => ({
    from: got.leaveMin - asked.handsLastMinutes,
    to: got.leaveMin,
    what: `${load.id}.${asked.n} ends`,
    n: asked.n + 1,
  }))
  return [...starts, ...ends, { from: planned.doneMin, to: planned.doneMin, what: `${load.id} is done`, n: 0 }]
}

function presenceFaults(workshop: PlanWorkshop, wall: Wall, pair: Pair, now: number): string[] {
  return presenceOf(pair).flatMap(({ from, to, what, n }) => {
    const minutes = from === to ? [from] : Array.from({ length: to - from }, (_, n) => from + n)
    // A lift at closing time itself is still in hours, as one at opening time is.
    const away = minutes.find(
      minute => !isThere(workshop, wall, minute) && !(from === to && isThere(workshop, wall, minute - 1)),
    )
    const wish = pair.load.wishes.find(
      span =>
        (from === to ? [from] : minutes).some(minute => span.fromMin <= minute && minute < span.toMin) &&
        !what.endsWith('is done') &&
        !pair.load.pins.some(pin => pin.stepN === n && pin.startMin !== null && pin.againstWish),
    )
    return [
      ...(away === undefined ? [] : [`${what} at ${new Date(away * 60_000).toISOString()}, when nobody is there`]),
      ...(wish === undefined ? [] : [`${what} against a wish: ${wish.words}`]),
      ...(from < now && from !== to ? [`${what} before now`] : []),
    ]
  })
}

type Wall = (minute: number) => { day: string; weekday: number; clock: number }

/** The wall clock: the offset is looked up once for each quarter of an hour, since zones only change at those. */
function wallOf(timeZone: string): Wall {
  const format = new Intl.DateTimeFormat('en-GB', {
    timeZone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  })
  const offsets = new Map<number, number>()
  const offsetAt = (quarter: number): number => {
    const known = offsets.get(quarter)
    if (known !== undefined) return known
    const parts = Object.fromEntries(
      format.formatToParts(quarter * 900_000).map(part => [part.type, Number(part.value)]),
    )
    const { year = 0, month = 0, day = 0, hour = 0, minute = 0 } = parts
    const offset = Date.UTC(year, month - 1, day, hour, minute) / 60_000 - quarter * 15
    offsets.set(quarter, offset)
    return offset
  }
  return minute => {
    const local = minute + offsetAt(Math.floor(minute / 15))
    const date = new Date(local * 60_000)
    return { day: date.toISOString().slice(0, 10), weekday: date.getUTCDay(), clock: ((local % 1440) + 1440) % 1440 }
  }
}

const clockMinutes = (clock: string): number => Number(clock.slice(0, 2)) * 60 + Number(clock.slice(3))

function isThere(workshop: PlanWorkshop, wall: Wall, minute: number): boolean {
  const { day, weekday, clock } = wall(minute)
  if (workshop.daysAway.some(away => away.from <= day && day <= away.to)) return false
  return (workshop.hours[weekday] ?? []).some(({ from, to }) => clockMinutes(from) <= clock && clock < clockMinutes(to))
}

function settledFaults({ load, steps }: Pair): string[] {
  const begun = load.begunMin.flatMap((at, index) =>
    steps[index]?.got.startMin === at ? [] : [`${load.id}.${index + 1} has begun at another time`],
  )
  const pins = load.pins.flatMap(pin => {
    const step = steps.find(({ asked }) => asked.n === pin.stepN)?.got
    const start = pin.startMin === null || step?.startMin === pin.startMin
    const pot = pin.potId === null || step?.potId === pin.potId
    return start && pot ? [] : [`${load.id}.${pin.stepN} is not where it is pinned`]
  })
  return [...begun, ...pins]
}

function potFaults(workshop: PlanWorkshop, { load, steps }: Pair): string[] {
  return steps.flatMap(({ asked, got }) => {
    const inPot = asked.place === 'pot' || (asked.place === 'soak tub' && workshop.soakTubs === 0)
    if (!inPot) return got.potId === null ? [] : [`${load.id}.${asked.n} is in a pot and should not be`]
    const pot = workshop.pots.find(one => one.id === got.potId)
    if (pot === undefined) return [`${load.id}.${asked.n} has no pot`]
    if (load.potId !== null) return load.potId === pot.id ? [] : [`${load.id} changes its pot`]
    if (load.pins.some(pin => pin.potId !== null)) return []
    const wrong =
      (load.potIds !== null && !load.potIds.includes(pot.id)) ||
      pot.usableMl < load.bathMl ||
      (pot.noIron && load.iron) ||
      (pot.onlyBrights && !load.bright) ||
      (pot.noHeat && load.heated) ||
      load.neverInMetals.includes(pot.metal)
    return wrong ? [`${load.id} must not go into ${pot.name}`] : []
  })
}

const latenessFaults = ({ load, planned }: Pair): string[] =>
  planned.lateMin === Math.max(0, planned.doneMin - (load.neededByMin ?? planned.doneMin))
    ? []
    : [`${load.id} tells a wrong lateness`]

type Use = { from: number; to: number; amount: number; load: PlanLoad; isBegun: boolean }

/** Never more than there is, at any moment at which something begins. */
function overuse(what: string, room: number, uses: readonly Use[]): string[] {
  return uses.flatMap(({ from, isBegun }) => {
    const there = uses.filter(use => use.from <= from && from < use.to)
    const sum = there.reduce((total, use) => total + use.amount, 0)
    // What has really begun is as it is.
    const all = there.every(use => use.isBegun) && isBegun
    return sum <= room + 1e-6 || all ? [] : [`${what}: ${there.map(use => use.load.id).join(', ')} at ${from}`]
  })
}

const handUses = (pairs: readonly Pair[], now: number): Use[] =>
  pairs.flatMap(({ load, steps }) =>
    steps.flatMap(({ asked, got }, index) => {
      const begun = load.begunMin.length
      const first = { from: got.startMin, to: got.startMin + asked.handsFirstMinutes }
      const last = { from: got.leaveMin - asked.handsLastMinutes, to: got.leaveMin }
      const spans = [...(index < begun - 1 ? [] : [first]), ...(index < begun - 1 ? [] : [last])]
      return spans
        .map(({ from, to }) => ({ from: Math.max(from, now), to, amount: 1, load, isBegun: index < begun }))
        .filter(({ from, to }) => from < to)
    }),
  )

const handFaults = (workshop: PlanWorkshop, pairs: readonly Pair[], now: number): string[] =>
  overuse('hands', workshop.hands, handUses(pairs, now))

function roomFaults(workshop: PlanWorkshop, pairs: readonly Pair[], now: number): string[] {
  const usesOf = (place: PlanStep['place'], amount: (load: PlanLoad) => number): Use[] =>
    pairs.flatMap(({ load, steps }) =>
      steps.flatMap(({ asked, got }, index) =>
        asked.place === place && got.leaveMin > now && got.leaveMin > got.startMin
          ? [
              {
                from: got.startMin,
                to: got.leaveMin,
                amount: amount(load),
                load,
                isBegun: index < load.begunMin.length,
              },
            ]
          : [],
      ),
    )
  return [
    ...(workshop.soakTubs === 0
      ? []
      : overuse(
          'soak tubs',
          workshop.soakTubs,
          usesOf('soak tub', () => 1),
        )),
    ...overuse(
      'sinks',
      workshop.sinks,
      usesOf('rinse', () => 1),
    ),
    ...overuse(
      'drying line',
      workshop.lineRoom,
      usesOf('drying line', load => load.lineNeed),
    ),
  ]
}

/** From the first step in a pot to the last one in it, the pot is kept. */
function potShareFaults(workshop: PlanWorkshop, wall: Wall, pairs: readonly Pair[]): string[] {
  return workshop.pots.flatMap(pot => {
    const stays = pairs
      .flatMap(({ load, steps }) => {
        const inside = steps.filter(({ got }) => got.potId === pot.id)
        const [first, last] = [inside[0]?.got, inside.at(-1)?.got]
        const isBegun = first !== undefined && first.n <= load.begunMin.length
        return first === undefined || last === undefined
          ? []
          : [{ from: first.startMin, to: last.leaveMin, amount: 1, load, isBegun }]
      })
      .filter(({ from, to }) => from < to)
      .sort((a, b) => a.from - b.from)
    const out = stays.flatMap(stay =>
      !stay.isBegun && pot.outOfUse.some(span => span.fromMin < stay.to && stay.from < span.toMin)
        ? [`${stay.load.id} is in ${pot.name}, which is out of use`]
        : [],
    )
    const dirty = stays.flatMap((stay, index) => {
      const before = stays[index - 1]
      if (before === undefined || before.load.depth <= stay.load.depth || stay.isBegun) return []
      const idle = Array.from({ length: Math.max(0, stay.from - before.to) }, (_, n) => before.to + n)
      const working = idle.filter(minute => isThere(workshop, wall, minute)).length
      return working >= workshop.scourMinutes
        ? []
        : [`${pot.name} is not scoured between ${before.load.id} and ${stay.load.id}`]
    })
    return [...overuse(pot.name, 1, stays), ...out, ...dirty]
  })
}

/** Lots and loads by themselves that are late, how late with their last part, and hand work beyond half of a day's hours; work counts for the day on which it begins. */
export function figuresOf(workshop: PlanWorkshop, loads: readonly PlanLoad[], now: number, plan: Plan): Figures {
  const pairs = plan.loads.map(planned => pairOf(loads, planned))
  return figuresOfPairs(workshop, wallOf(workshop.timeZone), pairs, now)
}

function figuresOfPairs(workshop: PlanWorkshop, wall: Wall, pairs: readonly Pair[], now: number): Figures {
  const latenessOf = new Map<string, number>()
  for (const { load, planned } of pairs) {
    const whole = load.lot === null ? `load ${load.id}` : `lot ${load.lot}`
    const own = Math.max(0, planned.doneMin - (load.neededByMin ?? planned.doneMin))
    latenessOf.set(whole, Math.max(own, latenessOf.get(whole) ?? 0))
  }
  const lateness = [...latenessOf.values()]
  const hands = new Map<string, number>()
  for (const use of handUses(pairs, now)) {
    const { day } = wall(use.from)
    hands.set(day, (hands.get(day) ?? 0) + use.to - use.from)
  }
  const crowded = [...hands].map(([day, minutes]) => Math.max(0, minutes - hoursOn(workshop, day) / 2))
  const sum = (list: number[]): number => list.reduce((total, one) => total + one, 0)
  return { late: lateness.filter(minutes => minutes > 0).length, lateMin: sum(lateness), crowdedMin: sum(crowded) }
}

/** Only for days on which the clocks stay as they are; the tests of those two days count for themselves. */
function hoursOn(workshop: PlanWorkshop, day: string): number {
  if (workshop.daysAway.some(away => away.from <= day && day <= away.to)) return 0
  const hours = workshop.hours[new Date(`${day}T00:00:00Z`).getUTCDay()] ?? []
  return hours.reduce((sum, { from, to }) => sum + clockMinutes(to) - clockMinutes(from), 0)
}

function scoreFaults(workshop: PlanWorkshop, wall: Wall, pairs: readonly Pair[], now: number, plan: Plan): string[] {
  const { late, lateMin, crowdedMin } = figuresOfPairs(workshop, wall, pairs, now)
  const same = plan.score.late === late && plan.score.lateMin === lateMin && plan.score.crowdedMin === crowdedMin
  return same ? [] : [`the score says ${JSON.stringify(plan.score)}, and it is ${late} ${lateMin} ${crowdedMin}`]
}
