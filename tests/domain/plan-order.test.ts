/**
 * The order in which stretches get their turn. Three rules of thumb of scheduling: earliest due date first (Jackson
 * 1955), least slack first, and most work first.
 */
import { describe, expect, test } from 'vitest'
import type { Board, Placed } from '../../src/domain/plan-board.js'
import type { Chance } from '../../src/domain/plan-chance.js'
import type { Bench } from '../../src/domain/plan-fit.js'
import type { PlanLoad } from '../../src/domain/plan-input.js'
import { firstOrders, inTurn, pickSome } from '../../src/domain/plan-order.js'
import { stretchesOf } from '../../src/domain/plan-stretch.js'
import { load, numbered, WORKSHOP } from '../planner/instances.js'

const dye = (minutes: number) => ({ title: 'Dye', place: 'pot' as const, minutes })
const onShelf = { title: 'Wait', place: 'shelf' as const, minutes: 100, standAtMostMinutes: null }
const oneStep = (id: string, minutes: number, neededByMin: number | null = null): PlanLoad =>
  load(id, numbered([dye(minutes)]), { neededByMin })
/** Two stretches with a hundred minutes on the shelf between them. */
const inTwo = (id: string, minutes: number, neededByMin: number | null = null): PlanLoad =>
  load(id, numbered([dye(minutes), onShelf, dye(minutes)]), {
    neededByMin,
    pins: [
      { stepN: 1, startMin: null, potId: '1', againstWish: false },
      { stepN: 3, startMin: null, potId: '3', againstWish: false },
    ],
  })
const stretchesIn = (loads: readonly PlanLoad[]) =>
  loads.flatMap((one, number) => stretchesOf(one, number, WORKSHOP, [3, 5]))

describe('the three orders to begin with', () => {
  const loads = [oneStep('a', 60), oneStep('b', 500, 1000), oneStep('c', 60, 900), oneStep('d', 90, 5000)]
  const [byNeed, bySlack, byWork] = firstOrders(stretchesIn(loads), loads, [0, 1, 2, 3])

  test('needed first comes first, and what nobody waits for last', () => expect(byNeed).toEqual([2, 1, 3, 0]))
  // Slack is what is left of the time after the work: 1000 − 500 = 500 is less than 900 − 60 = 840.
  test('least slack first', () => expect(bySlack).toEqual([1, 2, 3, 0]))
  test('most work first; as it was given where there is as much', () => expect(byWork).toEqual([1, 3, 0, 2]))

  test('work counts all that a load still has before it, and its rest on the shelf', () => {
    const two = [inTwo('a', 60), oneStep('b', 200), oneStep('c', 219), oneStep('d', 221)]
    const stretches = stretchesIn(two)
    expect(stretches.map(one => [one.load, one.first, one.count])).toEqual([
      [0, 0, 1],
      [0, 2, 1],
      [1, 0, 1],
      [2, 0, 1],
      [3, 0, 1],
    ])
    // 60 + 100 + 60 = 220 minutes for the first stretch of a, 60 for its second.
    expect(firstOrders(stretches, two, [0, 1, 2, 3, 4])[2]).toEqual([4, 0, 3, 2, 1])
    const needed = [inTwo('a', 60, 1000), oneStep('b', 200, 979), oneStep('c', 200, 981)]
    expect(firstOrders(stretchesIn(needed), needed, [0, 1, 2, 3])[1]).toEqual([2, 0, 3, 1])
  })

  test('only what is free gets a turn', () => {
    expect(firstOrders(stretchesIn(loads), loads, [3, 1])).toEqual([
      [1, 3],
      [1, 3],
      [1, 3],
    ])
  })
})

describe('in turn', () => {
  const stretches = stretchesIn([inTwo('a', 60), oneStep('b', 60)])
  test('by key, and by number where the keys are the same', () => {
    expect(inTurn(stretches, [2, 0], () => 7)).toEqual([0, 2])
    expect(inTurn(stretches, [0, 2], index => -index)).toEqual([2, 0])
  })
  test('the first turn of a load is for what it does first', () => {
    expect(inTurn(stretches, [1, 2, 0], index => [30, 10, 20][index] ?? 0)).toEqual([0, 2, 1])
  })
  test('nothing in, nothing out', () => expect(inTurn(stretches, [], () => 0)).toEqual([]))
})

/** Throws that are told beforehand, in the order in which they are asked for. */
function told(given: { percents?: boolean[]; wholes?: number[]; ones?: number[] }): Chance {
  const { percents = [], wholes = [], ones = [] } = structuredClone(given)
  return {
    whole: below => Math.min(wholes.shift() ?? 0, below - 1),
    one: list => list[Math.min(ones.shift() ?? 0, list.length - 1)],
    percent: () => percents.shift() ?? false,
  }
}

/** A board of which only the times are known: [start, end] of each stretch. */
function boardWith(loads: readonly PlanLoad[], times: readonly [number, number][], late = 0): Board {
  const placed: Placed[] = times.map(at => ({ pot: 3, fit: { ok: true, at, seen: undefined } }))
  const no = (): never => {
    throw new Error('not asked for here')
  }
  return {
    get bench(): Bench {
      return no()
    },
    stretches: stretchesIn(loads),
    score: { late, lateMin: late, delayMin: 0, crowdedMin: 0, waitMin: 0 },
    tries: 0,
    placed: index => placed[index],
    place: no,
    putBack: no,
    isInTheWay: () => false,
    lift: no,
    picture: () => placed,
  }
}

describe('what to take out and put back', () => {
  const day = 1440
  const loads = ['a', 'b', 'c', 'd'].map((id, n) => oneStep(id, 60, [400, null, 100, 9000][n]))
  const times: [number, number][] = [
    [0, 60],
    [100, 160],
    [3 * day, 3 * day + 60],
    [6 * day, 6 * day + 60],
  ]
  const free = [0, 1, 2, 3]

  test('some that begin within three days of one, at most as many as were thrown', () => {
    const board = boardWith(loads, times)
    // percent: not neighbours, nobody is first, not by need. one: from which; how much it is shaken (not at all).
    expect(pickSome(board, loads, free, told({ ones: [0, 0], wholes: [7] }))).toEqual([0, 1])
    expect(pickSome(board, loads, free, told({ ones: [1, 0], wholes: [7] }))).toEqual([1, 2])
    expect(pickSome(board, loads, free, told({ ones: [2, 0], wholes: [7] }))).toEqual([2])
    const close = boardWith(loads, [
      [30, 90],
      [20, 80],
      [10, 70],
      [0, 60],
    ])
    expect(pickSome(close, loads, free, told({ ones: [3, 0], wholes: [0] }))).toEqual([3, 2])
    expect(pickSome(close, loads, free, told({ ones: [3, 0], wholes: [1] }))).toEqual([3, 2, 1])
  })

  test('one and some that are under way near it', () => {
    const board = boardWith(loads, [...times.slice(0, 2), [200, 260], [6 * day, 6 * day + 60]])
    // Round c (at 200): a and b are near before it, d begins after c has ended.
    const throws = { percents: [true, false], ones: [2, 0, 1, 0], wholes: [1] }
    expect(pickSome(board, loads, free, told(throws))).toEqual([0, 1, 2])
    const longAgo = boardWith(loads, [
      [0, 60],
      [2 * day + 3000, 2 * day + 3060],
      [2 * day + 3010, 2 * day + 3070],
      [9 * day, 9 * day + 60],
    ])
    expect(pickSome(longAgo, loads, free, told({ percents: [true], ones: [2, 0, 1], wholes: [1] }))).toEqual([1, 2])
  })

  test('one of the late when something is late', () => {
    const board = boardWith(loads, times, 1)
    // c is needed by minute 100 and done after three days: it is the only late one.
    const throws = { percents: [true, true], ones: [0, 0], wholes: [0] }
    expect(pickSome(board, loads, [2, 3], told(throws))).toEqual([2])
    expect(pickSome(board, loads, [3, 2], told(throws))).toContain(2)
    expect(pickSome(board, loads, [3, 2], told({ ...throws, percents: [true, false] }))).toContain(3)
  })

  test('whoever is picked is picked once, and near is what has not ended two days before', () => {
    const day2 = 2880
    const board = boardWith(loads, [
      [0, 100],
      [day2 + 99, day2 + 200],
      [day2 + 200, day2 + 300],
      [9 * day, 9 * day + 60],
    ])
    // b begins two days less a minute after a has ended, and c begins as b ends: only a is near b.
    const round = (first: number) =>
      pickSome(board, loads, free, told({ percents: [true], ones: [first, 0, 1, 2, 3, 0], wholes: [4] })).sort()
    expect(round(1)).toEqual([0, 1])
    expect(round(2)).toEqual([1, 2])
    // Nothing is near d: then it may be any of them.
    expect(round(3)).toEqual([0, 1, 2, 3])
  })

  test('what ends at the minute by which it is needed is not late; of a load in stretches only the last is', () => {
    const two = [inTwo('a', 60, 200), oneStep('b', 60, 200), oneStep('c', 60, 199), oneStep('d', 60)]
    const board = boardWith(two, [
      [300, 360],
      [100, 200],
      [100, 200],
      [100, 200],
      [100, 9999],
    ])
    const throws = { percents: [false, true, true], ones: [0, 0], wholes: [0] }
    expect(pickSome(board, two, [0, 1, 2, 3, 4], told(throws))).toContain(3)
    expect(pickSome(board, two, [0, 1, 2, 4], told(throws))).toContain(0)
  })

  test('how often and how far it throws', () => {
    const asked: number[] = []
    const chance = told({ percents: [false, false, false], ones: [0, 4], wholes: [7] })
    const close = boardWith(loads, [
      [50, 60],
      [70, 80],
      [80, 90],
      [150, 160],
    ])
    pickSome(close, loads, free, {
      ...chance,
      whole: below => {
        asked.push(below)
        return chance.whole(below)
      },
    })
    // Eight for how many, then 100 up or down for each of the four: 201 answers.
    expect(asked).toEqual([8, 201, 201, 201, 201])
  })

  test('what a load does later goes with what it does first', () => {
    const two = [oneStep('x', 60), inTwo('a', 60), oneStep('b', 60)]
    const board = boardWith(two, [
      [0, 60],
      [10, 70],
      [5000, 5060],
      [9000, 9060],
    ])
    const throws = { percents: [false, false], ones: [1, 0], wholes: [7] }
    expect(pickSome(board, two, [0, 1, 2, 3], told(throws))).toEqual([1, 2])
  })

  test('of loads in stretches, everything from some moment on', () => {
    const two = [oneStep('x', 60), inTwo('a', 60), oneStep('b', 60)]
    const board = boardWith(two, [
      [0, 60],
      [10, 70],
      [5000, 5060],
      [9000, 9060],
    ])
    expect(pickSome(board, two, [0, 1, 2, 3], told({ percents: [true], ones: [0], wholes: [0] }))).toEqual([2, 3])
    expect(pickSome(board, two, [0, 1, 2, 3], told({ percents: [true], ones: [0], wholes: [1] }))).toEqual([1, 2, 3])
    expect(pickSome(board, two, [0, 1, 2, 3], told({ percents: [true], ones: [0], wholes: [99] }))).toEqual([
      0, 1, 2, 3,
    ])
  })

  test('the one that was picked may be put back first, or all by need', () => {
    const close = boardWith(loads, [
      [0, 60],
      [20, 80],
      [30, 90],
      [40, 100],
    ])
    const chunkOf = (percents: boolean[]) =>
      pickSome(close, loads, free, told({ percents: [false, ...percents], ones: [0, 0], wholes: [7] }))
    expect(chunkOf([false, false])).toEqual([0, 1, 2, 3])
    // Needed by 400, nobody (so by its start, 20), 100, 9000.
    expect(chunkOf([false, true])).toEqual([1, 2, 0, 3])
    expect(chunkOf([true, true])).toEqual([0, 1, 2, 3])
  })

  test('the order is shaken by as much as was thrown', () => {
    const close = boardWith(loads, [
      [0, 60],
      [20, 80],
      [30, 90],
      [100, 160],
    ])
    // All of the spread of 100: the first moves to 0 + 200 − 100, the others to their start − 100.
    const throws = { percents: [false, false, false], ones: [0, 4], wholes: [7, 200] }
    expect(pickSome(close, loads, free, told(throws))).toEqual([1, 2, 3, 0])
    // A tenth of it is 10: 0 + 10 and 20 − 10 are the same moment, and the first given stays first.
    expect(pickSome(close, loads, free, told({ ...throws, ones: [0, 2], wholes: [7, 20] }))).toEqual([0, 1, 2, 3])
    expect(pickSome(close, loads, free, told({ ...throws, ones: [0, 3], wholes: [7, 60] }))).toEqual([1, 2, 0, 3])
  })
})
