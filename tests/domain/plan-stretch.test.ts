/** A load as stretches of steps, and the pots that take it. */
import { describe, expect, test } from 'vitest'
import type { PlanLoad, PlanPot, PlanWorkshop } from '../../src/domain/plan-input.js'
import {
  CHOSEN,
  FIRST_POT,
  LINE,
  pinnedPots,
  potsFor,
  SINKS,
  type Stretch,
  stretchesOf,
  TUBS,
} from '../../src/domain/plan-stretch.js'
import { load, numbered, WORKSHOP } from '../planner/instances.js'

const soak = { title: 'Soak', place: 'soak tub' as const, minutes: 120, standAtMostMinutes: 600, handsLastMinutes: 15 }
const mordant = {
  title: 'Mordant',
  place: 'pot' as const,
  minutes: 45,
  heat: true,
  handsFirstMinutes: 20,
  standAtMostMinutes: 60,
}
const dye = { title: 'Dye', place: 'pot' as const, minutes: 60, heat: true, handsFirstMinutes: 20 }
const rinse = { title: 'Rinse', place: 'rinse' as const, minutes: 30, handsFirstMinutes: 30 }
const dry = {
  title: 'Dry',
  place: 'drying line' as const,
  minutes: 1440,
  standAtMostMinutes: null,
  handsFirstMinutes: 20,
  handsLastMinutes: 10,
}
const rest = { title: 'Rest', place: 'shelf' as const, minutes: 100, standAtMostMinutes: null }

const whole = (one: PlanLoad, workshop: PlanWorkshop = WORKSHOP, pots = [3, 5]): Stretch[] =>
  stretchesOf(one, 7, workshop, pots)
const only = (all: Stretch[]): Stretch => {
  const [first] = all
  if (first === undefined || all.length > 1) throw new Error(`${all.length} stretches`)
  return first
}
const holdsOf = (all: Stretch[]) =>
  all.map(({ holds }) => holds.map(({ lane, from, to, need }) => [lane, from, to, need]))

test('a load of five steps, moment by moment', () => {
  const wish = { words: 'not at noon', fromMin: 1, toMin: 2 }
  const one = load('1', numbered([soak, mordant, dye, rinse, dry]), {
    releaseMin: 17,
    depth: 1.5,
    lineNeed: 6,
    wishes: [wish],
    begunMin: [11, 12],
    pins: [
      { stepN: 4, startMin: 999, potId: null, againstWish: true },
      { stepN: 3, startMin: null, potId: '3', againstWish: false },
    ],
  })
  expect(whole(one)).toEqual([
    {
      load: 7,
      first: 0,
      count: 5,
      least: [120, 45, 60, 30, 1440],
      most: [720, 105, 60, 30, Number.POSITIVE_INFINITY],
      handsBefore: [0, 15, 0, 0, 0, 10],
      handsAfter: [0, 20, 20, 30, 20, 0],
      there: [0, 45, 60, 30, 20, 0],
      // The rinse is hands all the while and goes on to the line at once, where they hang it up: 30 + 20.
      handsInOne: [0, 20, 20, 50, 20, 0],
      // So after an hour with the dye on the fire comes that hour of rinsing and hanging: 60 + 50.
      thereInOne: [0, 45, 110, 50, 20, 0],
      holds: [
        { lane: TUBS, from: 0, to: 1, need: 1 },
        { lane: CHOSEN, from: 1, to: 3, need: 1 },
        { lane: SINKS, from: 3, to: 4, need: 1 },
        { lane: LINE, from: 4, to: 5, need: 6 },
      ],
      pots: [3, 5],
      depth: 1.5,
      wishes: [wish],
      releaseMin: 17,
      begun: [11, 12, undefined, undefined, undefined, undefined],
      pinned: [undefined, undefined, undefined, 999, undefined, undefined],
      agreed: [false, false, false, true, false, false],
      shelfMinutes: 0,
      last: true,
    },
  ])
})

describe('what it takes, and until when', () => {
  test('steps in the same place keep it; the pot is kept until it is left for good', () => {
    const one = load('1', numbered([dye, rinse, rinse, dye, dry]))
    expect(holdsOf(whole(one))).toEqual([
      [
        [CHOSEN, 0, 4, 1],
        [SINKS, 1, 3, 1],
        [LINE, 4, 5, 4],
      ],
    ])
  })

  test('a soak in the workshop without tubs is in its own pot', () => {
    expect(holdsOf(whole(load('1', numbered([soak, dye])), { ...WORKSHOP, soakTubs: 0 }))).toEqual([
      [[CHOSEN, 0, 2, 1]],
    ])
    expect(holdsOf(whole(load('1', numbered([soak, dye])), { ...WORKSHOP, soakTubs: 1 }))).toEqual([
      [
        [TUBS, 0, 1, 1],
        [CHOSEN, 1, 2, 1],
      ],
    ])
  })

  test('two pots that are pinned are each held for their own steps, and no pot is chosen', () => {
    const pins = [
      { stepN: 1, startMin: null, potId: '3', againstWish: false },
      { stepN: 2, startMin: null, potId: '1', againstWish: false },
    ]
    const stretch = only(whole(load('1', numbered([mordant, dye]), { pins })))
    expect(holdsOf([stretch])).toEqual([
      [
        [FIRST_POT + 2, 0, 1, 1],
        [FIRST_POT, 1, 2, 1],
      ],
    ])
    expect(stretch.pots).toEqual([])
    expect(only(whole(load('1', numbered([mordant, dye, dye]), { pins }))).pots).toEqual([3, 5])
  })

  test('nothing is chosen where nothing is in a pot', () => {
    expect(only(whole(load('1', numbered([rinse])))).pots).toEqual([])
    expect(only(whole(load('1', numbered([rinse, dry])))).last).toBe(true)
  })
})

describe('work that no wait may break', () => {
  const handsOf = (steps: Parameters<typeof numbered>[0]) => only(whole(load('1', numbered(steps)))).handsInOne
  test('goes on with what must follow at once', () => {
    expect(handsOf([rinse, rinse, rinse])).toEqual([90, 60, 30, 0])
  })
  test('ends where it may wait, or where the hands are not wanted all the while', () => {
    expect(handsOf([{ ...rinse, standAtMostMinutes: 1 }, rinse])).toEqual([30, 30, 0])
    expect(handsOf([{ ...rinse, handsFirstMinutes: 29 }, rinse])).toEqual([29, 30, 0])
  })
})

describe('a rest on the shelf', () => {
  const partsOf = (steps: Parameters<typeof numbered>[0], more: Partial<PlanLoad> = {}) =>
    whole(load('1', numbered(steps), more)).map(({ first, count, shelfMinutes, last }) => [
      first,
      count,
      shelfMinutes,
      last,
    ])
  const two = [
    [0, 1, 0, false],
    [2, 1, 100, true],
  ]
  const one = [[0, 3, 0, true]]

  test('parts a load in two: each is placed by itself', () => {
    expect(partsOf([rinse, rest, rinse])).toEqual(two)
    const [first, second] = whole(
      load('1', numbered([rinse, rest, rinse]), {
        begunMin: [5],
        pins: [{ stepN: 3, startMin: 800, potId: null, againstWish: false }],
      }),
    )
    expect(first?.begun).toEqual([5, undefined])
    expect(first?.handsAfter).toEqual([30, 0])
    expect(first?.pinned).toEqual([undefined, undefined])
    expect(second?.begun).toEqual([undefined, undefined])
    expect(second?.pinned).toEqual([800, undefined])
    expect(second?.holds).toEqual([{ lane: SINKS, from: 0, to: 1, need: 1 }])
  })

  test('twice parts it in three', () => {
    expect(partsOf([rinse, rest, rinse, rest, rinse, dry])).toEqual([
      [0, 1, 0, false],
      [2, 1, 100, false],
      [4, 2, 100, true],
    ])
  })

  test('parts nothing at its beginning or end, with a limit, with hands, with heat, or while a pot is kept', () => {
    expect(partsOf([rest, rinse, rinse])).toEqual(one)
    expect(partsOf([rinse, rinse, rest])).toEqual(one)
    expect(partsOf([rinse, { ...rest, standAtMostMinutes: 500 }, rinse])).toEqual(one)
    expect(partsOf([rinse, { ...rest, handsFirstMinutes: 5 }, rinse])).toEqual(one)
    expect(partsOf([rinse, { ...rest, handsLastMinutes: 5 }, rinse])).toEqual(one)
    expect(partsOf([rinse, { ...rest, heat: true }, rinse])).toEqual(one)
    expect(partsOf([rinse, { ...rest, handsFirstMinutes: 5, handsLastMinutes: 5 }, rinse])).toEqual(one)
    expect(partsOf([dye, rest, dye])).toEqual(one)
    expect(partsOf([dry, rest, rinse, dye, dye])).toEqual([
      [0, 1, 0, false],
      [2, 3, 100, true],
    ])
    expect(partsOf([rinse, { ...rest, place: 'rinse' }, rinse])).toEqual(one)
    expect(partsOf([dye, rest, rinse])).toEqual(two)
    expect(partsOf([rinse, rest, dye])).toEqual(two)
  })

  test('only the part that is in a pot chooses one', () => {
    expect(whole(load('1', numbered([dye, rest, rinse]))).map(({ pots }) => pots)).toEqual([[3, 5], []])
  })
})

describe('the pots that take a load', () => {
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
  const shed = (...pots: PlanPot[]): PlanWorkshop => ({ ...WORKSHOP, pots })
  const one = (more: Partial<PlanLoad>) => load('1', numbered([dye]), { bathMl: 8000, ...more })

  test('the smallest first', () => {
    const { lanes, refused } = potsFor(one({}), shed(pot('a', 30_000), pot('b', 8000), pot('c', 20_000)))
    expect(lanes).toEqual([FIRST_POT + 1, FIRST_POT + 2, FIRST_POT])
    expect(refused).toEqual([])
  })

  test.each<[string, Partial<PlanLoad>, Partial<PlanPot>, string | null]>([
    ['just large enough', { bathMl: 9000 }, {}, null],
    ['a millilitre too small', { bathMl: 9001 }, {}, 'Pot a is too small'],
    ['allowed', { potIds: ['z', 'a'] }, {}, null],
    ['not allowed', { potIds: ['z'] }, {}, 'Pot a is not one of those chosen for it'],
    ['none allowed', { potIds: [] }, {}, 'Pot a is not one of those chosen for it'],
    ['iron', { iron: true }, { noIron: true }, 'Pot a is never used with iron'],
    ['iron where it may be', { iron: true }, {}, null],
    ['no iron', {}, { noIron: true }, null],
    ['not a bright', {}, { onlyBrights: true }, 'Pot a is kept for brights'],
    ['a bright', { bright: true }, { onlyBrights: true }, null],
    ['a metal it must not touch', { neverInMetals: ['copper', 'steel'] }, {}, 'Pot a is made of steel'],
    ['another metal', { neverInMetals: ['copper'] }, {}, null],
  ])('%s', (_, more, ofPot, refusal) => {
    const { lanes, refused } = potsFor(one(more), shed(pot('a', 9000, ofPot)))
    expect(lanes).toEqual(refusal === null ? [FIRST_POT] : [])
    expect(refused).toEqual(refusal === null ? [] : [refusal])
  })

  test('the one that was laid for it or pinned is the only one, whatever speaks against it', () => {
    const pots = shed(pot('a', 9000), pot('b', 100))
    const chosen = { lanes: [FIRST_POT + 1], refused: ['Pot a is not the one that was chosen'] }
    expect(potsFor(one({ potId: 'b' }), pots)).toEqual(chosen)
    const pin = (potId: string | null) => ({ stepN: 1, startMin: null, potId, againstWish: false })
    expect(potsFor(one({ pins: [pin('b'), pin(null), pin('b')] }), pots)).toEqual(chosen)
    // Two different ones are for single steps; the pot of the load is still to be chosen.
    expect(potsFor(one({ pins: [pin('a'), pin('b')] }), pots)).toEqual({
      lanes: [FIRST_POT],
      refused: ['Pot b is too small'],
    })
  })

  test('pins to a time name no pot, and each pot is named once', () => {
    const pins = [
      { stepN: 1, startMin: 5, potId: null, againstWish: false },
      { stepN: 2, startMin: 5, potId: 'b', againstWish: false },
      { stepN: 3, startMin: null, potId: 'a', againstWish: false },
      { stepN: 4, startMin: null, potId: 'b', againstWish: false },
    ]
    expect(pinnedPots(one({ pins }))).toEqual(['b', 'a'])
    expect(pinnedPots(one({}))).toEqual([])
  })
})
