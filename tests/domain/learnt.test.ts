import { expect, test } from 'vitest'
import { ENOUGH, type LoggedLoad, learn, learntMinutesFor, learntOf, measuredIn } from '../../src/domain/learnt.js'
import type { LoadStep } from '../../src/domain/load.js'
import type { Water } from '../../src/domain/outcome.js'

const step = (n: number, key: LoadStep['key'], place: LoadStep['place']): LoadStep => ({
  n,
  key,
  title: key,
  place,
  minutes: null,
  warmUpMinutes: 0,
  overMinutes: 0,
  lateAfterMinutes: null,
  temperatureC: null,
  heat: false,
  tiesComeOff: n === 1,
})
const STEPS = [
  step(1, 'soak', 'soak tub'),
  step(2, 'dye', 'pot'),
  step(3, 'stand', 'pot'),
  step(4, 'rinse', 'rinse'),
  step(5, 'dry', 'drying line'),
]
const BEGUN = Date.parse('2026-03-02T09:00:00Z')

/** A load whose steps took so many minutes; the last that is given has ended as well. */
const logged = (minutes: number[], rinses: Water[] = [], more: Partial<LoggedLoad> = {}): LoggedLoad => ({
  fibreId: 'cedar',
  route: 'plant',
  steps: STEPS,
  presses: [0, ...minutes].map((_, at) => ({
    n: at + 1,
    at: new Date(BEGUN + 60_000 * minutes.slice(0, at).reduce((sum, one) => sum + one, 0)).toISOString(),
  })),
  rinses: rinses.map(water => ({ water })),
  ...more,
})
const whole = (rinse: number, rinses: Water[] = ['coloured', 'clear']) => logged([240, 60, 720, rinse, 2880], rinses)
const CEDAR = { fibreId: 'cedar', route: 'plant' } as const

test('a load teaches how long it stood, rinsed and dried, and how many rinses it took; no bath that a recipe times', () => {
  const times = measuredIn(whole(50)).map(({ of, figure }) => [of, figure])
  expect(times).toEqual([
    ['stand', 720],
    ['rinse', 50],
    ['dry', 2880],
    ['rinses', 2],
  ])
})

test('what still goes on teaches nothing yet', () => {
  expect(measuredIn(logged([240, 60, 720], ['clear'])).map(({ of }) => of)).toEqual(['stand'])
  expect(measuredIn(logged([], []))).toEqual([])
})

test('presses that only catch up time nothing', () => {
  expect(measuredIn(logged([240, 60, 720, 0.5, 0])).map(({ of }) => of)).toEqual(['stand'])
})

test('rinses that were broken off are not counted, nor where none was written down', () => {
  expect(measuredIn(whole(50, ['dark', 'coloured'])).map(({ of }) => of)).not.toContain('rinses')
  expect(measuredIn(whole(50, [])).map(({ of }) => of)).not.toContain('rinses')
  expect(measuredIn(whole(50, ['dark', 'tinted'])).map(({ of }) => of)).toContain('rinses')
})

test('stands in the place of the guess from the sixth load on', () => {
  const times = [50, 60, 40, 55, 45, 65]
  const five = learn(times.slice(0, 5).map(minutes => whole(minutes)))
  expect(learntOf(five, CEDAR, 'rinse')).toMatchObject({ count: ENOUGH - 1, median: 50, inUse: false })
  expect(learntMinutesFor(five, CEDAR)({ key: 'rinse' })).toBeNull()
  const six = learn(times.map(minutes => whole(minutes)))
  expect(learntOf(six, CEDAR, 'rinse')).toMatchObject({
    count: 6,
    median: 52.5,
    lower: 43.75,
    upper: 61.25,
    inUse: true,
  })
  expect(learntMinutesFor(six, CEDAR)({ key: 'rinse' })).toBe(53)
})

test('six is the first number whose shortest and longest hold the true median in more than 95 cases of 100', () => {
  // Order statistics: the chance is 1 - 2 (1/2)^n.
  const chance = (n: number) => 1 - 2 * 0.5 ** n
  expect(chance(ENOUGH)).toBeGreaterThan(0.95)
  expect(chance(ENOUGH - 1)).toBeLessThan(0.95)
})

test('what is left out as too far out does not make up the number', () => {
  const odd = learn([50, 60, 40, 55, 45, 6000].map(minutes => whole(minutes)))
  expect(learntOf(odd, CEDAR, 'rinse')).toMatchObject({ count: 5, leftOut: 1, inUse: false })
})

test('fibres and routes are learnt apart', () => {
  const figures = learn([whole(50), { ...whole(90), route: 'iron' }, { ...whole(20), fibreId: 'rush' }])
  expect(learntOf(figures, CEDAR, 'rinse')?.median).toBe(50)
  expect(learntOf(figures, { fibreId: 'cedar', route: 'iron' }, 'rinse')?.median).toBe(90)
  expect(learntOf(figures, { fibreId: 'rush', route: 'plant' }, 'rinse')?.median).toBe(20)
  expect(learntMinutesFor(figures, CEDAR)({ key: 'dye' })).toBeNull()
})
