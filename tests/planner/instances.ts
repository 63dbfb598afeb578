/** Invented workshops and loads, the same in every run, shaped like the work of a small dyer. */
import type { PlanLoad, PlanPot, PlanStep, PlanWorkshop } from '../../src/domain/plan-input.js'

/** Mulberry32: a short generator of even throws, public domain. */
export function throws(seed: number): (below: number) => number {
  let state = seed >>> 0
  return below => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) % below
  }
}

/** Monday 2 March 2026, 09:00 in London. */
export const MONDAY = Date.UTC(2026, 2, 2, 9) / 60_000

const pot = (id: string, usableMl: number, more: Partial<PlanPot> = {}): PlanPot => ({
  id,
  name: `Pot ${id}`,
  usableMl,
  metal: 'steel',
  noIron: false,
  onlyBrights: false,
  noHeat: false,
  hotAfterMinutes: null,
  outOfUse: [],
  ...more,
})

const nineToFive = [{ from: '09:00', to: '17:00' }]

export const WORKSHOP: PlanWorkshop = {
  timeZone: 'Europe/London',
  hours: [[], nineToFive, nineToFive, nineToFive, nineToFive, nineToFive, [{ from: '10:00', to: '13:00' }]],
  daysAway: [],
  hands: 1,
  pots: [pot('1', 12_000), pot('2', 20_000, { noIron: true, onlyBrights: true }), pot('3', 30_000)],
  soakTubs: 2,
  sinks: 1,
  lineRoom: 24,
  scourMinutes: 30,
}

export const step = (given: Pick<PlanStep, 'n' | 'title' | 'place' | 'minutes'> & Partial<PlanStep>): PlanStep => ({
  standAtMostMinutes: 0,
  warmUpMinutes: 0,
  handsFirstMinutes: 0,
  handsLastMinutes: 0,
  heat: false,
  ...given,
})

export const load = (id: string, steps: PlanStep[], more: Partial<PlanLoad> = {}): PlanLoad => ({
  id,
  name: `Load ${id}`,
  lot: null,
  releaseMin: 0,
  neededByMin: null,
  steps,
  potIds: null,
  bathMl: 8000,
  iron: false,
  bright: false,
  heated: false,
  neverInMetals: [],
  depth: 1,
  lineNeed: 4,
  wishes: [],
  begunMin: [],
  potId: null,
  pins: [],
  ...more,
})

type Draft = Omit<Parameters<typeof step>[0], 'n'>

export const numbered = (drafts: Draft[]): PlanStep[] => drafts.map((draft, index) => step({ ...draft, n: index + 1 }))

const soak = (minutes: number): Draft => ({
  title: 'Soak',
  place: 'soak tub',
  minutes,
  standAtMostMinutes: 1440,
  handsLastMinutes: 15,
})
const rinse = (minutes: number): Draft => ({ title: 'Rinse', place: 'rinse', minutes, handsFirstMinutes: minutes })
const dry = (minutes: number): Draft => ({
  title: 'Dry',
  place: 'drying line',
  minutes,
  standAtMostMinutes: null,
  handsFirstMinutes: 20,
  handsLastMinutes: 15,
})

/** Soak, mordant, dye, stand overnight, rinse, dry: the steps of most loads. */
export function usualSteps(chance: (below: number) => number): PlanStep[] {
  const heated = (title: string, minutes: number, stand: number): Draft => ({
    title,
    place: 'pot',
    minutes,
    heat: true,
    handsFirstMinutes: 20,
    standAtMostMinutes: stand,
  })
  const mordant = chance(2) === 0 ? [heated('Mordant', 45 + 15 * chance(2), 60)] : []
  const stand: Draft = { title: 'Stand', place: 'pot', minutes: 480, standAtMostMinutes: 960, handsLastMinutes: 5 }
  const overnight = chance(3) > 0 ? [stand] : []
  return numbered([
    soak(60 * (2 + chance(10))),
    ...mordant,
    heated('Dye', 45 + 15 * chance(4), 30),
    ...overnight,
    rinse(30 + 5 * chance(4)),
    dry(60 * (24 + chance(36))),
  ])
}

/** So many loads, needed within a span that is now and then too short for all of them. */
export function workshopLoads(seed: number, count: number): PlanLoad[] {
  const chance = throws(seed)
  const days = Math.ceil(count * (0.6 + 0.2 * chance(5)))
  return Array.from({ length: count }, (_, index) => {
    const bright = chance(3) === 0
    return load(`${index + 1}`, usualSteps(chance), {
      releaseMin: MONDAY + 1440 * chance(Math.ceil(days / 3)),
      neededByMin: MONDAY + 1440 * (4 + chance(days)),
      bathMl: 6000 + 1000 * chance(20),
      iron: !bright && chance(5) === 0,
      bright,
      depth: [0.25, 0.5, 1, 1.5, 2][chance(5)] ?? 1,
      lineNeed: 2 + chance(5),
    })
  })
}

/** Whole in the largest pot only, or in two or three parts for smaller ones. */
export const cutsOf = (lot: PlanLoad): PlanLoad[][] =>
  [1, 2, 3].map(parts =>
    Array.from({ length: parts }, (_, n) => ({
      ...lot,
      id: `${lot.id}:${n + 1}`,
      lot: lot.id,
      bathMl: Math.floor(28_000 / parts),
      bright: false,
      lineNeed: lot.lineNeed / parts,
    })),
  )

/** Sixty workshops of 20 to 60 loads, from roomy to hopeless. */
export const gapInstances = (): { seed: number; loads: PlanLoad[] }[] =>
  Array.from({ length: 60 }, (_, n) => ({ seed: n + 1, loads: workshopLoads(n + 1, 20 + Math.round((40 * n) / 59)) }))
