import { describe, expect, test } from 'vitest'
import { askedDay, sayEarliest } from '../../src/domain/asked-day.js'
import { planWork } from '../../src/domain/plan.js'
import { planChanges } from '../../src/domain/plan-change.js'
import { minuteAt, type PlanLoad, type PlanWorkshop } from '../../src/domain/plan-input.js'
import { endOfDay } from '../../src/domain/plan-promise.js'
import { load, MONDAY, numbered, WORKSHOP } from '../planner/instances.js'
import { faultsOf } from '../planner/validator.js'

const onePot: PlanWorkshop = { ...WORKSHOP, pots: WORKSHOP.pots.slice(0, 1) }
/** It fills the only pot for a day. */
const dayInPot = (id: string, more: Partial<PlanLoad> = {}): PlanLoad =>
  load(id, numbered([{ title: 'Dye', place: 'pot', minutes: 300, heat: true, handsFirstMinutes: 20 }]), more)
const TODAY = '2026-03-02'
const endOf = (day: string): number => endOfDay(day, 'Europe/London')

describe('the earliest day that can be promised', () => {
  const inNoHurry = [
    dayInPot('1', { neededByMin: endOf('2026-03-02') }),
    dayInPot('2', { neededByMin: endOf('2026-03-06') }),
    dayInPot('3', { neededByMin: endOf('2026-03-06') }),
  ]
  const plan = planWork(onePot, inNoHurry, MONDAY)
  const said = askedDay(onePot, inNoHurry, MONDAY, plan, [dayInPot('new')], TODAY)

  test('with the plan as it is, it comes after the others', () => {
    expect(plan.score.late).toBe(0)
    expect(said.earliest).toBe('2026-03-05')
  })

  test('with others moved, but none past its day, it comes before those in no hurry', () => {
    expect(said.byMoving?.day).toBe('2026-03-03')
    expect(
      said.byMoving?.changes.map(change => [change.loadId, change.doneDayWas, change.doneDay, change.tell]),
    ).toEqual([
      ['2', '2026-03-03', '2026-03-04', false],
      ['3', '2026-03-04', '2026-03-05', false],
    ])
    const all = [...inNoHurry, dayInPot('new', { neededByMin: endOf('2026-03-03') })]
    const after = planWork(onePot, all, MONDAY, { from: plan })
    expect(after.score.late).toBe(0)
    expect(faultsOf(onePot, all, MONDAY, after)).toEqual([])
  })

  test('nothing is moved when everybody is in a hurry', () => {
    const hurried = ['02', '03', '04'].map((day, n) => dayInPot(`${n + 1}`, { neededByMin: endOf(`2026-03-${day}`) }))
    const full = planWork(onePot, hurried, MONDAY)
    const offered = askedDay(onePot, hurried, MONDAY, full, [dayInPot('new')], TODAY)
    expect(offered.earliest).toBe('2026-03-05')
    expect(offered.byMoving).toBeNull()
  })

  test('what cannot be planned gets no day, but the reason', () => {
    const offered = askedDay(onePot, inNoHurry, MONDAY, plan, [dayInPot('new', { bathMl: 90_000 })], TODAY)
    expect([offered.earliest, offered.answer]).toEqual([null, 'not planned'])
    expect(sayEarliest(offered)).toBe(
      'No day can be promised yet. Load new cannot be planned: no pot takes it: Pot 1 is too small.',
    )
  })
})

describe('what a new plan changes', () => {
  const loads = [
    dayInPot('1', { neededByMin: endOf('2026-03-02') }),
    dayInPot('2', { neededByMin: endOf('2026-03-03') }),
    dayInPot('3', { neededByMin: endOf('2026-03-10') }),
  ]
  const before = planWork(onePot, loads, MONDAY)

  test('nothing, when nothing has happened', () => {
    expect(planChanges(before, planWork(onePot, loads, MONDAY, { from: before }), 'Europe/London')).toEqual([])
  })

  test('a sick day moves everything, and those whose day is missed are told', () => {
    const sick = { ...onePot, daysAway: [{ from: '2026-03-02', to: '2026-03-02' }] }
    const after = planWork(sick, loads, MONDAY, { from: before })
    expect(faultsOf(sick, loads, MONDAY, after)).toEqual([])
    const changes = planChanges(before, after, 'Europe/London')
    const told = changes.filter(change => change.tell).map(change => change.loadId)
    expect(after.score.late).toBe(1)
    expect(told).toEqual(after.loads.filter(one => one.lateMin > 0).map(one => one.loadId))
    expect(changes.find(change => change.loadId === '3')).toMatchObject({ kind: 'moved', tell: false })
  })

  test('a pot out of use: what cannot be planned any more is dropped, and told', () => {
    const after = planWork({ ...onePot, pots: [] }, loads.slice(0, 1), MONDAY, { from: before })
    const [change] = planChanges(before, after, 'Europe/London')
    expect(change).toMatchObject({ loadId: '1', kind: 'dropped', doneDayWas: '2026-03-02', doneDay: null, tell: true })
  })

  test('a new load is new, and moves are told step by step', () => {
    const urgent = dayInPot('4', { neededByMin: endOf('2026-03-04') })
    const after = planWork(onePot, [...loads, urgent], MONDAY, { from: before })
    const changes = planChanges(before, after, 'Europe/London')
    expect(changes.map(change => [change.loadId, change.kind])).toEqual([
      ['3', 'moved'],
      ['4', 'new'],
    ])
    const at = (utc: string) => minuteAt(utc)
    expect(changes[0]?.steps).toEqual([
      {
        n: 1,
        title: 'Dye',
        fromMin: at('2026-03-04T09:00Z'),
        toMin: at('2026-03-05T09:00Z'),
        fromPotId: '1',
        toPotId: '1',
      },
    ])
  })
})
