/**
 * Job shops from the literature, told as a workshop: every machine is a pot, every operation a step in that pot, and
 * between two pots a load lies on the shelf as long as it likes. Nobody's hands or hours are in the way.
 *
 * Each line is a job: machine and minutes in turn. ft06, ft10: H. Fisher and G. L. Thompson, in Muth and Thompson (eds.),
 * Industrial Scheduling, Prentice-Hall 1963. la01, la02, la06, la16: S. Lawrence, Resource constrained project scheduling
 * (supplement), Carnegie-Mellon University 1984. The optima are published and proved.
 */
import type { PlanLoad, PlanWorkshop } from '../../src/domain/plan-input.js'
import { load, numbered, WORKSHOP } from './instances.js'

export type JobShop = { name: string; optimum: number; jobs: [machine: number, minutes: number][][] }

const shop = (name: string, optimum: number, lines: string): JobShop => ({
  name,
  optimum,
  jobs: lines
    .trim()
    .split('\n')
    .map(line => {
      const figures = line.trim().split(/\s+/).map(Number)
      return Array.from({ length: figures.length / 2 }, (_, n) => [figures[2 * n] ?? 0, figures[2 * n + 1] ?? 0])
    }),
})

export const JOB_SHOPS: JobShop[] = [
  shop(
    'ft06',
    55,
    `
    2 1 0 3 1 6 3 7 5 3 4 6
    1 8 2 5 4 10 5 10 0 10 3 4
    2 5 3 4 5 8 0 9 1 1 4 7
    1 5 0 5 2 5 3 3 4 8 5 9
    2 9 1 3 4 5 5 4 0 3 3 1
    1 3 3 3 5 9 0 10 4 4 2 1
    `,
  ),
  shop(
    'ft10',
    930,
    `
    0 29 1 78 2 9 3 36 4 49 5 11 6 62 7 56 8 44 9 21
    0 43 2 90 4 75 9 11 3 69 1 28 6 46 5 46 7 72 8 30
    1 91 0 85 3 39 2 74 8 90 5 10 7 12 6 89 9 45 4 33
    1 81 2 95 0 71 4 99 6 9 8 52 7 85 3 98 9 22 5 43
    2 14 0 6 1 22 5 61 3 26 4 69 8 21 7 49 9 72 6 53
    2 84 1 2 5 52 3 95 8 48 9 72 0 47 6 65 4 6 7 25
    1 46 0 37 3 61 2 13 6 32 5 21 9 32 8 89 7 30 4 55
    2 31 0 86 1 46 5 74 4 32 6 88 8 19 9 48 7 36 3 79
    0 76 1 69 3 76 5 51 2 85 9 11 6 40 7 89 4 26 8 74
    1 85 0 13 2 61 6 7 8 64 9 76 5 47 3 52 4 90 7 45
    `,
  ),
  shop(
    'la01',
    666,
    `
    1 21 0 53 4 95 3 55 2 34
    0 21 3 52 4 16 2 26 1 71
    3 39 4 98 1 42 2 31 0 12
    1 77 0 55 4 79 2 66 3 77
    0 83 3 34 2 64 1 19 4 37
    1 54 2 43 4 79 0 92 3 62
    3 69 4 77 1 87 2 87 0 93
    2 38 0 60 1 41 3 24 4 83
    3 17 1 49 4 25 0 44 2 98
    4 77 3 79 2 43 1 75 0 96
    `,
  ),
  shop(
    'la02',
    655,
    `
    0 20 3 87 1 31 4 76 2 17
    4 25 2 32 0 24 1 18 3 81
    1 72 2 23 4 28 0 58 3 99
    2 86 1 76 4 97 0 45 3 90
    4 27 0 42 3 48 2 17 1 46
    1 67 0 98 4 48 3 27 2 62
    4 28 1 12 3 19 0 80 2 50
    1 63 0 94 2 98 3 50 4 80
    4 14 0 75 2 50 1 41 3 55
    4 72 2 18 1 37 3 79 0 61
    `,
  ),
  shop(
    'la06',
    926,
    `
    1 21 2 34 4 95 0 53 3 55
    3 52 4 16 1 71 2 26 0 21
    2 31 0 12 1 42 3 39 4 98
    3 77 1 77 4 79 0 55 2 66
    4 37 3 34 2 64 1 19 0 83
    2 43 1 54 0 92 3 62 4 79
    0 93 3 69 1 87 4 77 2 87
    0 60 1 41 2 38 4 83 3 24
    2 98 3 17 4 25 0 44 1 49
    0 96 4 77 3 79 1 75 2 43
    4 28 2 35 0 95 3 76 1 7
    0 61 4 10 2 95 1 9 3 35
    4 59 3 16 1 91 2 59 0 46
    4 43 1 52 0 28 2 27 3 50
    0 87 1 45 2 39 4 9 3 41
    `,
  ),
  shop(
    'la16',
    945,
    `
    1 21 6 71 9 16 8 52 7 26 2 34 0 53 4 21 3 55 5 95
    4 55 2 31 5 98 9 79 0 12 7 66 1 42 8 77 6 77 3 39
    3 34 2 64 8 62 1 19 4 92 9 79 7 43 6 54 0 83 5 37
    1 87 3 69 2 87 7 38 8 24 9 83 6 41 0 93 5 77 4 60
    2 98 0 44 5 25 6 75 7 43 1 49 4 96 9 77 3 17 8 79
    2 35 3 76 5 28 9 10 4 61 6 9 0 95 8 35 1 7 7 95
    3 16 2 59 0 46 1 91 9 43 8 50 6 52 5 59 4 28 7 27
    1 45 0 87 3 41 4 20 6 54 9 43 8 14 5 9 2 39 7 71
    4 33 2 37 8 66 5 33 3 26 7 8 1 28 6 89 9 42 0 78
    8 69 9 81 2 94 4 96 3 27 0 69 7 45 6 78 1 74 5 84
    `,
  ),
]

export function asWorkshop({ jobs }: JobShop): PlanWorkshop {
  const machines = Math.max(...jobs.flat().map(([machine]) => machine)) + 1
  const [pot] = WORKSHOP.pots
  if (pot === undefined) throw new Error('the sample workshop has no pot')
  return {
    ...WORKSHOP,
    timeZone: 'UTC',
    hours: Array.from({ length: 7 }, () => [{ from: '00:00', to: '24:00' }]),
    pots: Array.from({ length: machines }, (_, machine) => ({ ...pot, id: `${machine}`, name: `Pot ${machine}` })),
    scourMinutes: 0,
  }
}

/** All of them wanted by the same moment: when none is late, that is how long the whole shop takes. */
export function asLoads({ jobs }: JobShop, neededByMin: number): PlanLoad[] {
  return jobs.map((job, index) => {
    const steps = numbered(
      job.flatMap(([machine, minutes], n) => [
        ...(n === 0 ? [] : [{ title: 'Wait', place: 'shelf' as const, minutes: 0, standAtMostMinutes: null }]),
        { title: `Machine ${machine}`, place: 'pot' as const, minutes },
      ]),
    )
    const pins = job.map(([machine], n) => ({
      stepN: 2 * n + 1,
      startMin: null,
      potId: `${machine}`,
      againstWish: false,
    }))
    return load(`${index + 1}`, steps, { neededByMin, pins })
  })
}
