import { expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { planWork } from '../../src/domain/plan.js'
import { planStepsOf, type TimedStep } from '../../src/domain/plan-steps.js'
import { reckon } from '../../src/domain/reckon.js'
import { warmed } from '../../src/domain/warm-up.js'
import { JOBS } from '../bench/samples.js'
import { load, MONDAY, WORKSHOP } from '../planner/instances.js'
import { faultsOf } from '../planner/validator.js'

const timed = (more: Partial<TimedStep>): TimedStep => ({
  key: 'dye',
  title: 'Dye',
  place: 'pot',
  minutes: 60,
  warmUpMinutes: 0,
  atLeastMinutes: 60,
  atMostMinutes: null,
  hands: false,
  handsMinutes: 20,
  heat: true,
  mayStandOvernight: false,
  ...more,
})
const none = () => null
const one = (more: Partial<TimedStep>, learnt: (step: TimedStep) => number | null = none) =>
  planStepsOf([timed(more)], learnt)[0]

test('limits, hands and heat come from the recipe', () => {
  expect(one({})).toMatchObject({
    minutes: 60,
    standAtMostMinutes: 0,
    handsFirstMinutes: 20,
    handsLastMinutes: 0,
    heat: true,
  })
  const stand = { key: 'stand', minutes: 720, atLeastMinutes: 480, atMostMinutes: 1440, handsMinutes: 5 } as const
  expect(one(stand)).toMatchObject({ minutes: 480, standAtMostMinutes: 960 })
  expect(one({ key: 'soak', minutes: 240, handsMinutes: 15, mayStandOvernight: true })).toMatchObject({
    standAtMostMinutes: 1200,
    handsFirstMinutes: 5,
    handsLastMinutes: 15,
  })
  expect(one({ key: 'dry', minutes: 2880 })).toMatchObject({
    standAtMostMinutes: null,
    handsFirstMinutes: 10,
    handsLastMinutes: 10,
  })
})

test('a rinse lasts until it is clear: what was learnt, or a guess; hands all the while', () => {
  const rinse = {
    key: 'rinse',
    place: 'rinse',
    minutes: null,
    atLeastMinutes: null,
    hands: true,
    handsMinutes: 45,
  } as const
  expect(one(rinse)).toMatchObject({ minutes: 60, handsFirstMinutes: 60 })
  expect(one(rinse, () => 34.2)).toMatchObject({ minutes: 35, handsFirstMinutes: 35 })
})

test('the recipes of the first catalogue can all be planned', () => {
  for (const [n, job] of JOBS.entries()) {
    const one = load(
      `${n}`,
      planStepsOf(
        reckon(job, firstCatalogue).steps.map(step => warmed(step, 8000, [])),
        none,
      ),
    )
    const plan = planWork(WORKSHOP, [one], MONDAY)
    expect(plan.problems.map(problem => problem.words)).toEqual([])
    expect(faultsOf(WORKSHOP, [one], MONDAY, plan)).toEqual([])
  }
})
