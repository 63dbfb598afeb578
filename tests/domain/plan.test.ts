import { describe, expect, test } from 'vitest'
import { type Plan, type PlannedStep, planWork } from '../../src/domain/plan.js'
import { instantAt, minuteAt, type PlanLoad, type PlanWorkshop } from '../../src/domain/plan-input.js'
import { sayReason } from '../../src/domain/plan-reason.js'
import { load, MONDAY, numbered, step, WORKSHOP } from '../planner/instances.js'
import { faultsOf } from '../planner/validator.js'

const at = (utc: string): number => minuteAt(`2026-03-${utc}:00Z`)
const dye = (more = {}) =>
  step({ n: 1, title: 'Dye', place: 'pot', minutes: 60, heat: true, handsFirstMinutes: 20, ...more })
const onePot: PlanWorkshop = { ...WORKSHOP, pots: WORKSHOP.pots.slice(0, 1) }

function planOf(workshop: PlanWorkshop, loads: PlanLoad[], now = MONDAY): Plan {
  const plan = planWork(workshop, loads, now)
  expect(faultsOf(workshop, loads, now, plan)).toEqual([])
  return plan
}

const stepOf = (plan: Plan, loadId: string, n = 1): PlannedStep => {
  const found = plan.loads.find(one => one.loadId === loadId)?.steps.find(one => one.n === n)
  if (found === undefined) throw new Error(`${loadId}.${n} is not planned`)
  return found
}

const words = {
  loadName: (id: string) => `Load ${id}`,
  potName: (id: string) => `Pot ${id}`,
  stepTitle: (n: number) => `step ${n}`,
  timeZone: 'Europe/London',
  today: '2026-03-02',
}
const why = (planned: PlannedStep): string => sayReason(planned.why, words)

describe('why a step is not earlier', () => {
  test('at once, hands, pot, previous step', () => {
    const two = numbered([dye(), { title: 'Rinse', place: 'rinse', minutes: 30, handsFirstMinutes: 30 }])
    const plan = planOf(onePot, [load('1', two, { neededByMin: at('02T12:00') }), load('2', two)])
    expect(why(stepOf(plan, '1'))).toBe('It can begin at once.')
    expect(why(stepOf(plan, '1', 2))).toBe('“step 1” takes until today 10:00.')
    expect(stepOf(plan, '2').startMin).toBe(at('02T10:30'))
    expect(stepOf(plan, '2').why).toEqual({ kind: 'hands', loadId: '1', stepN: 2, untilMin: at('02T10:30') })
    const shelf = numbered([dye(), { title: 'Cool', place: 'pot', minutes: 60 }])
    const later = planOf(onePot, [load('1', shelf, { neededByMin: at('02T11:00') }), load('2', shelf)])
    expect(why(stepOf(later, '2'))).toBe('Pot 1 is taken by Load 1 until today 11:00.')
  })

  test('nobody is there, and heat is never left alone', () => {
    const evening = at('02T16:30')
    const plan = planOf(WORKSHOP, [load('1', [dye()])], evening)
    expect(stepOf(plan, '1').startMin).toBe(at('03T09:00'))
    expect(why(stepOf(plan, '1'))).toBe('Somebody must be there while it is hot for 1 h: not before tomorrow 09:00.')
    const cold = planOf(WORKSHOP, [load('1', [dye({ heat: false, standAtMostMinutes: 1440 })])], evening)
    expect(stepOf(cold, '1').startMin).toBe(evening)
    expect(cold.loads[0]?.doneMin).toBe(at('03T09:00'))
    expect(cold.loads[0]?.whyDone).toEqual({
      kind: 'hours',
      fromMin: at('03T09:00'),
      heat: false,
      needMinutes: 0,
      beforeMinutes: 0,
      after: { kind: 'previous', stepN: 1, untilMin: at('02T17:30') },
    })
  })

  test('a step that may not stand long begins when it can be lifted out', () => {
    const soak = step({ n: 1, title: 'Soak', place: 'soak tub', minutes: 600, standAtMostMinutes: 420 })
    const plan = planOf(WORKSHOP, [load('1', [soak])])
    // Seventeen hours at most, and nobody there from 17:00 to 09:00: not before 16:00.
    expect(stepOf(plan, '1').startMin).toBe(at('02T16:00'))
    expect(why(stepOf(plan, '1'))).toBe(
      'Earlier it would stand too long before it can be taken away. “step 1” takes until today 19:00. Then nobody is there for it before tomorrow 09:00.',
    )
  })

  test('a soak begins no sooner than it is needed', () => {
    const soak = { title: 'Soak', place: 'soak tub' as const, minutes: 60, standAtMostMinutes: 1440 }
    const steps = numbered([soak, { ...dye(), minutes: 120 }])
    const plan = planOf(onePot, [load('1', steps, { neededByMin: at('02T12:00') }), load('2', steps)])
    expect(stepOf(plan, '2').startMin).toBe(at('02T11:00'))
    expect(why(stepOf(plan, '2'))).toBe(
      'Earlier it would only stand until “step 2” can begin. Pot 1 is taken by Load 1 until today 12:00.',
    )
  })

  test('release, wish, pin, a pot out of use, scouring', () => {
    const wish = { words: 'not before noon', fromMin: at('02T00:00'), toMin: at('02T12:00') }
    const released = planOf(WORKSHOP, [load('1', [dye()], { releaseMin: at('02T11:00') })])
    expect(why(stepOf(released, '1'))).toBe('It is not there before today 11:00.')
    const wished = planOf(WORKSHOP, [load('1', [dye()], { wishes: [wish] })])
    expect(stepOf(wished, '1').startMin).toBe(at('02T12:00'))
    expect(why(stepOf(wished, '1'))).toBe("The client's wish: not before noon (until today 12:00).")
    const pinned = planOf(WORKSHOP, [
      load('1', [dye()], { pins: [{ stepN: 1, startMin: at('03T10:00'), potId: '3', againstWish: false }] }),
    ])
    expect(stepOf(pinned, '1')).toMatchObject({ startMin: at('03T10:00'), potId: '3', why: { kind: 'pin' } })
    const outOfUse = [{ fromMin: at('01T00:00'), toMin: at('02T14:00') }]
    const out = planOf({ ...onePot, pots: onePot.pots.map(pot => ({ ...pot, outOfUse })) }, [load('1', [dye()])])
    expect(why(stepOf(out, '1'))).toBe('Pot 1 is out of use until today 14:00.')
    const dark = load('1', [dye()], { depth: 2, neededByMin: at('02T10:00') })
    const scoured = planOf(onePot, [dark, load('2', [dye()], { depth: 0.25 })])
    expect(stepOf(scoured, '2').startMin).toBe(at('02T10:30'))
    expect(why(stepOf(scoured, '2'))).toBe('Pot 1 must be scoured after Load 1, which is darker: until today 10:30.')
  })

  test('a step begins against a wish only where it is settled so with the client, and the rest keeps the wish', () => {
    const wish = { words: 'not before noon.', fromMin: at('02T00:00'), toMin: at('02T12:00') }
    const steps = numbered([
      dye({ standAtMostMinutes: 300 }),
      { title: 'Rinse', place: 'rinse', minutes: 30, handsFirstMinutes: 30 },
    ])
    const settled = (againstWish: boolean) => {
      const pins = [{ stepN: 1, startMin: at('02T10:00'), potId: null, againstWish }]
      return planOf(WORKSHOP, [load('1', steps, { wishes: [wish], pins })])
    }
    const agreed = settled(true)
    expect(stepOf(agreed, '1').startMin).toBe(at('02T10:00'))
    expect(stepOf(agreed, '1', 2).startMin).toBe(at('02T12:00'))
    expect(settled(false).problems).toEqual([
      expect.objectContaining({
        kind: 'pin',
        words: expect.stringContaining(
          'cannot begin: a wish of the client is against it (not before noon). Move the pin',
        ),
      }),
    ])
  })

  test('pale goes before dark when neither is in a hurry', () => {
    const loads = [
      load('1', [dye()], { depth: 2, neededByMin: at('02T11:00') }),
      load('2', [dye()], { neededByMin: at('02T11:00') }),
    ]
    const plan = planOf(onePot, loads)
    expect(plan.score.late).toBe(0)
    expect(stepOf(plan, '2').startMin).toBe(MONDAY)
  })
})

describe('what has begun', () => {
  const steps = numbered([
    dye({ minutes: 120 }),
    { title: 'Rinse', place: 'rinse', minutes: 30, handsFirstMinutes: 30 },
  ])

  test('stays as it is, and keeps its pot', () => {
    const now = at('02T10:00')
    const begun = load('1', steps, { begunMin: [at('02T09:20')], potId: '1' })
    const plan = planOf(onePot, [load('2', steps, { neededByMin: at('02T12:30') }), begun], now)
    expect(stepOf(plan, '1')).toMatchObject({ state: 'under way', startMin: at('02T09:20'), leaveMin: at('02T11:20') })
    expect(stepOf(plan, '2').startMin).toBeGreaterThanOrEqual(at('02T11:20'))
  })

  test('that it will stand too long is said, and it is lifted out first', () => {
    const now = at('03T09:00')
    const begun = load('1', steps, { begunMin: [at('02T16:00')], potId: '1' })
    const plan = planOf(onePot, [begun], now)
    expect(stepOf(plan, '1', 2).startMin).toBe(now)
    expect(plan.problems.map(problem => problem.words)).toEqual([
      'Load 1: “Dye” will stand 15 h longer than it may. See to it first.',
    ])
  })
})

describe('what cannot be planned', () => {
  const problem = (one: PlanLoad, workshop = WORKSHOP): string | undefined => planOf(workshop, [one]).problems[0]?.words
  test.each<[string, PlanLoad, string]>([
    [
      'no pot',
      load('1', [dye()], { bathMl: 90_000 }),
      'Load 1 cannot be planned: no pot takes it: Pot 1 is too small; Pot 2 is too small; Pot 3 is too small.',
    ],
    [
      'iron',
      load('1', [dye()], { iron: true, potIds: ['2'] }),
      'Load 1 cannot be planned: no pot takes it: Pot 1 is not one of those chosen for it; Pot 2 is never used with iron; Pot 3 is not one of those chosen for it.',
    ],
    [
      'metal',
      load('1', [dye()], { neverInMetals: ['steel'] }),
      'Load 1 cannot be planned: no pot takes it: Pot 1 is made of steel; Pot 2 is kept for brights; Pot 3 is made of steel.',
    ],
    [
      'heat',
      load('1', [dye({ minutes: 600 })]),
      'Load 1 cannot be planned: “Dye” needs somebody there while it is hot for 10 h, longer than any of your working hours.',
    ],
    [
      'line',
      load('1', [step({ n: 1, title: 'Dry', place: 'drying line', minutes: 60 })], { lineNeed: 30 }),
      'Load 1 cannot be planned: it needs 30 of the drying line, which has room for 24.',
    ],
    [
      'night',
      load('1', [step({ n: 1, title: 'Stand', place: 'pot', minutes: 600, standAtMostMinutes: 60 })]),
      'Load 1 cannot be planned: “Stand” takes 10 h and may then stand 1 h, and nobody is there when it must be lifted out. Let it stand longer or change your hours.',
    ],
    [
      'pin',
      load('1', [dye()], { pins: [{ stepN: 1, startMin: at('03T03:00'), potId: null, againstWish: false }] }),
      'Load 1 cannot be planned: “Dye” is pinned to a time at which it cannot begin. Move the pin or take it away.',
    ],
    ['nothing to do', load('1', []), 'Load 1 cannot be planned: it has no steps.'],
  ])('%s', (_, one, said) => expect(problem(one)).toBe(said))

  test('no hours, no sink, no pots', () => {
    expect(problem(load('1', [dye()]), { ...WORKSHOP, hours: [] })).toBe(
      'Load 1 cannot be planned: no working hours are set. Give the hours of at least one weekday.',
    )
    const rinse = load('1', [step({ n: 1, title: 'Rinse', place: 'rinse', minutes: 30 })])
    expect(problem(rinse, { ...WORKSHOP, sinks: 0 })).toBe('Load 1 cannot be planned: there is no sink to rinse it in.')
    expect(problem(load('1', [dye()]), { ...WORKSHOP, pots: [] })).toBe('Load 1 cannot be planned: there are no pots.')
  })

  test('the others are planned all the same', () => {
    const plan = planOf(WORKSHOP, [load('1', [dye()], { bathMl: 90_000 }), load('2', [dye()])])
    expect(plan.loads.map(one => one.loadId)).toEqual(['2'])
  })
})

describe('days away, and the two days on which the clocks change', () => {
  const sunday = (hours: PlanWorkshop['hours'][number]): PlanWorkshop => ({
    ...WORKSHOP,
    hours: [hours, [], [], [], [], [], []],
  })
  const long = (minutes: number) => load('1', [dye({ minutes })])

  test('nothing is lifted while the dyer is away', () => {
    const plan = planOf({ ...WORKSHOP, daysAway: [{ from: '2026-03-02', to: '2026-03-04' }] }, [load('1', [dye()])])
    expect(instantAt(stepOf(plan, '1').startMin)).toBe('2026-03-05T09:00:00.000Z')
  })

  test('the night hours are an hour shorter in spring and an hour longer in autumn', () => {
    // Clocks go forward on 29 March 2026 at 01:00 in London, and back on 25 October 2026 at 02:00.
    const night = sunday([{ from: '00:00', to: '04:00' }])
    const spring = planWork(night, [long(240)], Date.UTC(2026, 2, 28, 12) / 60_000)
    expect(instantAt(stepOf(spring, '1').startMin)).toBe('2026-04-04T23:00:00.000Z')
    const short = planWork(night, [long(180)], Date.UTC(2026, 2, 28, 12) / 60_000)
    expect(instantAt(stepOf(short, '1').startMin)).toBe('2026-03-29T00:00:00.000Z')
    const autumn = planWork(night, [long(300)], Date.UTC(2026, 9, 20, 12) / 60_000)
    expect(instantAt(stepOf(autumn, '1').startMin)).toBe('2026-10-24T23:00:00.000Z')
  })
})

test('the same plan in every run', () => {
  const loads = ['1', '2', '3', '4'].map(id => load(id, [dye({ minutes: 200 })], { neededByMin: at('02T13:00') }))
  expect(planWork(WORKSHOP, loads, MONDAY)).toEqual(planWork(WORKSHOP, loads, MONDAY))
})
