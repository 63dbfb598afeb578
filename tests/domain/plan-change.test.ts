/** What a new plan changes: step by step, and who must be told. Plans are written by hand here. */
import { describe, expect, test } from 'vitest'
import type { Plan, PlannedLoad, PlannedStep } from '../../src/domain/plan.js'
import { planChanges } from '../../src/domain/plan-change.js'
import { minuteAt } from '../../src/domain/plan-input.js'
import type { PlanProblem } from '../../src/domain/plan-problem.js'

const at = (utc: string): number => minuteAt(`2026-03-${utc}:00Z`)
const step = (n: number, startMin: number, potId: string | null = '1'): PlannedStep => ({
  n,
  title: `Step ${n}`,
  place: 'pot',
  potId,
  startMin,
  endMin: startMin + 60,
  leaveMin: startMin + 60,
  state: 'planned',
  why: { kind: 'now' },
})
const planned = (loadId: string, steps: PlannedStep[], more: Partial<PlannedLoad> = {}): PlannedLoad => ({
  loadId,
  potId: '1',
  steps,
  startMin: steps[0]?.startMin ?? 0,
  doneMin: steps.at(-1)?.leaveMin ?? 0,
  whyDone: { kind: 'now' },
  longestInTheWay: null,
  neededByMin: null,
  lateMin: 0,
  ...more,
})
const plan = (loads: PlannedLoad[], failed: string[] = []): Plan => ({
  nowMin: at('02T09:00'),
  loads,
  problems: failed.map((loadId): PlanProblem => ({ kind: 'no pot', loadId, stepN: 1, words: 'no pot', nextMin: null })),
  score: { late: 0, lateMin: 0, delayMin: 0, crowdedMin: 0, waitMin: 0 },
  tries: 0,
})
const changes = (before: Plan, after: Plan) => planChanges(before, after, 'Europe/London')
const one = planned('1', [step(1, at('02T09:00')), step(2, at('02T10:00'))])

describe('what changes', () => {
  test('nothing where no step and no end moves, whatever else is said of it', () => {
    expect(changes(plan([one]), plan([{ ...one, lateMin: 5 }]))).toEqual([])
  })

  test('each step that moves, and only those', () => {
    const moved = planned('1', [step(1, at('02T09:00')), step(2, at('02T11:00'))])
    expect(changes(plan([one]), plan([moved]))).toEqual([
      {
        loadId: '1',
        kind: 'moved',
        steps: [
          { n: 2, title: 'Step 2', fromMin: at('02T10:00'), toMin: at('02T11:00'), fromPotId: '1', toPotId: '1' },
        ],
        doneDayWas: '2026-03-02',
        doneDay: '2026-03-02',
        neededByMin: null,
        tell: false,
      },
    ])
  })

  test('a step that goes into another pot at the same time', () => {
    const other = planned('1', [step(1, at('02T09:00'), '3'), step(2, at('02T10:00'))])
    expect(changes(plan([one]), plan([other]))[0]?.steps).toEqual([
      { n: 1, title: 'Step 1', fromMin: at('02T09:00'), toMin: at('02T09:00'), fromPotId: '1', toPotId: '3' },
    ])
  })

  test('an end that moves while every step stays', () => {
    const longer = { ...one, doneMin: at('03T09:00') }
    expect(changes(plan([one]), plan([longer]))).toMatchObject([
      { kind: 'moved', steps: [], doneDayWas: '2026-03-02', doneDay: '2026-03-03' },
    ])
  })

  test('a step that was not there before has not moved', () => {
    const more = planned('1', [...one.steps, step(3, at('02T12:00'))])
    expect(changes(plan([one]), plan([more]))[0]?.steps).toEqual([])
  })

  test('a load that is new has no day before', () => {
    expect(changes(plan([]), plan([one]))).toEqual([
      { loadId: '1', kind: 'new', steps: [], doneDayWas: null, doneDay: '2026-03-02', neededByMin: null, tell: false },
    ])
  })
})

describe('who is told', () => {
  const late = (day: string) => ({ ...one, doneMin: at(`${day}T12:00`), neededByMin: at('02T09:30'), lateMin: 60 })
  const told = (was: PlannedLoad, is: PlannedLoad) => changes(plan([was]), plan([is])).map(({ tell }) => tell)
  test('whose day will not be kept, when it is another day than was said', () => {
    expect(told(one, late('03'))).toEqual([true])
    expect(told(late('03'), late('04'))).toEqual([true])
  })
  test('nobody for a later hour of the same day, nor for another day that is in time', () => {
    expect(told(one, late('02'))).toEqual([false])
    expect(told(one, { ...one, doneMin: at('05T12:00') })).toEqual([false])
  })
})

describe('what was in the plan and is not any more', () => {
  test('is dropped and told, after all the others, when it cannot be planned', () => {
    const two = planned('2', [step(1, at('03T09:00'))], { neededByMin: at('04T09:00') })
    const three = planned('3', [step(1, at('04T09:00'))])
    expect(changes(plan([two, one]), plan([one, three], ['2', '1']))).toMatchObject([
      { loadId: '3', kind: 'new' },
      {
        loadId: '2',
        kind: 'dropped',
        steps: [],
        doneDayWas: '2026-03-03',
        doneDay: null,
        neededByMin: at('04T09:00'),
        tell: true,
      },
    ])
  })
  test('is not spoken of when it is done', () => expect(changes(plan([one]), plan([]))).toEqual([]))
})
