/** Tiny workshops, every figure a whole number of hours, for trying every plan. */
import type { PlanLoad, PlanWorkshop } from '../../src/domain/plan-input.js'
import { load, numbered, throws, WORKSHOP } from './instances.js'

/** Monday 2 March 2026. */
export const MIDNIGHT = Date.UTC(2026, 2, 2) / 60_000
export const DAYS = 4

/** Everything in whole hours, one or two pots, two or three loads with their wishes, limits and needed-by moments. */
export function tiny(seed: number): { workshop: PlanWorkshop; loads: PlanLoad[] } {
  const chance = throws(seed)
  const day = [
    { from: '08:00', to: '12:00' },
    { from: '13:00', to: chance(2) === 0 ? '16:00' : '18:00' },
  ]
  const workshop: PlanWorkshop = {
    ...WORKSHOP,
    timeZone: 'UTC',
    hours: Array.from({ length: 7 }, () => day),
    pots: WORKSHOP.pots.slice(0, 1 + chance(2)).map(pot => ({ ...pot, onlyBrights: false })),
    soakTubs: 1 + chance(2),
    lineRoom: 2,
    scourMinutes: 60 * chance(3),
  }
  const loads = Array.from({ length: 2 + chance(2) }, (_, index) => {
    const wish = MIDNIGHT + 60 * (8 + chance(48))
    return load(`${index + 1}`, tinySteps(chance), {
      releaseMin: MIDNIGHT + 60 * chance(12),
      neededByMin: MIDNIGHT + 60 * (14 + chance(50)),
      depth: 1 + chance(2),
      iron: chance(4) === 0 && workshop.pots.some(pot => !pot.noIron),
      lineNeed: 1 + chance(2),
      wishes: chance(4) === 0 ? [{ words: 'not then', fromMin: wish, toMin: wish + 60 * (1 + chance(6)) }] : [],
    })
  })
  return { workshop, loads }
}

const tinySteps = (chance: (below: number) => number) =>
  numbered([
    ...(chance(2) === 0
      ? [
          {
            title: 'Soak',
            place: 'soak tub' as const,
            minutes: 60 * (1 + chance(3)),
            standAtMostMinutes: 60 * chance(4),
            handsLastMinutes: 60 * chance(2),
          },
        ]
      : []),
    {
      title: 'Dye',
      place: 'pot',
      minutes: 60 * (1 + chance(3)),
      heat: chance(2) === 0,
      handsFirstMinutes: 60 * chance(2),
      standAtMostMinutes: [0, 60, 960][chance(3)] ?? 0,
    },
    { title: 'Rinse', place: 'rinse', minutes: 60, handsFirstMinutes: 60, standAtMostMinutes: 60 * chance(2) },
    { title: 'Dry', place: 'drying line', minutes: 60 * (2 + chance(16)), standAtMostMinutes: 60 * (12 + chance(12)) },
  ])
