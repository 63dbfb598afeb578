/** What is taken, and when, held against the plainest way of asking: minute by minute. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { hoursOf } from '../../src/domain/plan-hours.js'
import { oneAtATime, potLane, shared } from '../../src/domain/plan-lane.js'
import { MONDAY, WORKSHOP } from '../planner/instances.js'

describe('one at a time', () => {
  const busy = () => {
    const lane = oneAtATime()
    lane.take(20, 30, 1, 0)
    lane.take(10, 15, 1, 0)
    lane.take(30, 40, 1, 0)
    return lane
  }

  test('what is in the way ends when the last of it has gone', () => {
    const lane = busy()
    expect(lane.inTheWay(0, 10, 1, 0)).toBe(-1)
    expect(lane.inTheWay(0, 11, 1, 0)).toBe(15)
    expect(lane.inTheWay(14, 20, 1, 0)).toBe(15)
    expect(lane.inTheWay(15, 20, 1, 0)).toBe(-1)
    expect(lane.inTheWay(0, 100, 1, 0)).toBe(40)
    expect(lane.inTheWay(25, 31, 1, 0)).toBe(40)
    expect(lane.inTheWay(25, 30, 1, 0)).toBe(30)
    expect(lane.inTheWay(40, 99, 1, 0)).toBe(-1)
    expect(lane.inTheWay(25, 25, 1, 0)).toBe(-1)
    expect(lane.inTheWay(26, 25, 1, 0)).toBe(-1)
  })

  test('the earliest that is free for so long', () => {
    const lane = busy()
    expect(lane.free(0, 10, 1)).toBe(0)
    expect(lane.free(0, 11, 1)).toBe(40)
    expect(lane.free(12, 5, 1)).toBe(15)
    expect(lane.free(12, 6, 1)).toBe(40)
    expect(lane.free(15, 5, 1)).toBe(15)
    expect(lane.free(50, 5, 1)).toBe(50)
  })

  test('the latest that is free for so long', () => {
    const lane = busy()
    expect(lane.freeBy(50, 5, 1)).toBe(50)
    expect(lane.freeBy(40, 5, 1)).toBe(40)
    expect(lane.freeBy(39, 5, 1)).toBe(15)
    expect(lane.freeBy(17, 3, 1)).toBe(17)
    expect(lane.freeBy(18, 3, 1)).toBe(17)
    expect(lane.freeBy(18, 6, 1)).toBe(4)
    expect(lane.freeBy(5, 5, 1)).toBe(5)
    expect(lane.freeBy(6, 5, 1)).toBe(5)
  })

  test('what is given back is free again, and nothing else', () => {
    const lane = busy()
    lane.give(20, 30, 1)
    expect(lane.free(0, 15, 1)).toBe(15)
    expect(lane.inTheWay(0, 20, 1, 0)).toBe(15)
    expect(lane.inTheWay(20, 31, 1, 0)).toBe(40)
  })

  test('what takes no time takes nothing', () => {
    const lane = busy()
    lane.take(5, 5, 1, 0)
    expect(lane.free(0, 10, 1)).toBe(0)
    lane.give(20, 20, 1)
    expect(lane.inTheWay(20, 21, 1, 0)).toBe(30)
    expect(lane.inTheWay(15, 31, 1, 0)).toBe(40)
  })
})

describe('room for several', () => {
  const line = () => {
    const lane = shared(10)
    lane.take(10, 30, 6, 0)
    lane.take(20, 40, 4, 0)
    return lane
  }

  test('what is in the way ends when enough of it has gone', () => {
    const lane = line()
    expect(lane.inTheWay(0, 100, 4, 0)).toBe(30)
    expect(lane.inTheWay(0, 20, 4, 0)).toBe(-1)
    expect(lane.inTheWay(0, 21, 4, 0)).toBe(30)
    expect(lane.inTheWay(0, 20, 5, 0)).toBe(20)
    expect(lane.inTheWay(30, 40, 6, 0)).toBe(-1)
    expect(lane.inTheWay(30, 40, 7, 0)).toBe(40)
    expect(lane.inTheWay(40, 50, 10, 0)).toBe(-1)
    expect(lane.inTheWay(29, 29, 10, 0)).toBe(-1)
    expect(lane.inTheWay(0, 10, 10, 0)).toBe(-1)
    expect(lane.inTheWay(0, 5, 11, 0)).toBe(10)
  })

  test('the earliest and the latest with room for so long', () => {
    const lane = line()
    expect(lane.free(0, 20, 4)).toBe(0)
    expect(lane.free(0, 21, 4)).toBe(30)
    expect(lane.free(0, 11, 10)).toBe(40)
    expect(lane.free(12, 10, 10)).toBe(40)
    expect(lane.freeBy(35, 5, 4)).toBe(35)
    expect(lane.freeBy(29, 5, 4)).toBe(15)
    expect(lane.freeBy(35, 5, 7)).toBe(5)
    expect(lane.freeBy(45, 5, 10)).toBe(45)
    expect(lane.freeBy(39, 5, 10)).toBe(5)
    expect(lane.freeBy(5, 5, 10)).toBe(5)
  })

  test('all of it is free again after everything was given back', () => {
    const lane = line()
    lane.give(10, 30, 6)
    expect(lane.inTheWay(0, 21, 6, 0)).toBe(-1)
    expect(lane.inTheWay(0, 21, 7, 0)).toBe(40)
    lane.give(20, 40, 4)
    expect(lane.inTheWay(0, 100, 10, 0)).toBe(-1)
  })

  test('metres that add up to the whole line fit on it', () => {
    const lane = shared(0.3)
    lane.take(0, 10, 0.1, 0)
    expect(0.1 + 0.2 > 0.3).toBe(true)
    expect(lane.inTheWay(0, 10, 0.2, 0)).toBe(-1)
    expect(lane.inTheWay(0, 10, 0.2001, 0)).toBe(10)
  })

  test('what takes no time takes no room', () => {
    const lane = shared(1)
    lane.take(5, 5, 1, 0)
    lane.take(7, 6, 1, 0)
    expect(lane.inTheWay(0, 10, 1, 0)).toBe(-1)
  })
})

describe('as if asked minute by minute', () => {
  const spans = fc.array(fc.record({ from: fc.nat(40), length: fc.nat(8), need: fc.integer({ min: 1, max: 3 }) }), {
    maxLength: 8,
  })
  const room = 4

  test('room for several', () => {
    fc.assert(
      fc.property(
        spans,
        spans,
        fc.nat(45),
        fc.nat(10),
        fc.integer({ min: 1, max: 4 }),
        (stay, gone, from, length, need) => {
          const lane = shared(room)
          for (const one of [...stay, ...gone]) lane.take(one.from, one.from + one.length, one.need, 0)
          for (const one of gone) lane.give(one.from, one.from + one.length, one.need)
          const used = (minute: number) =>
            stay
              .filter(one => one.from <= minute && minute < one.from + one.length)
              .reduce((sum, one) => sum + one.need, 0)
          const isFree = (minute: number) => used(minute) + need <= room
          const busy = Array.from({ length }, (_, n) => from + n).filter(minute => !isFree(minute))
          const last = busy.at(-1)
          const end = lane.inTheWay(from, from + length, need, 0)
          // It may still be taken then, by something else: whoever waits asks again.
          if (last === undefined) expect(end).toBe(-1)
          else for (let minute = last; minute < end; minute += 1) expect(isFree(minute)).toBe(false)
          if (last !== undefined) expect(end).toBeGreaterThan(last)
          const isFreeFrom = (start: number) => Array.from({ length }, (_, n) => start + n).every(isFree)
          let earliest = from
          while (!isFreeFrom(earliest)) earliest += 1
          expect(lane.free(from, length, need)).toBe(earliest)
          if (length === 0) return
          let latest = from
          while (!isFreeFrom(latest)) latest -= 1
          expect(lane.freeBy(from, length, need)).toBe(latest)
        },
      ),
      { numRuns: 200 },
    )
  })

  test('one at a time', () => {
    const gaps = fc.array(fc.record({ gap: fc.nat(5), length: fc.integer({ min: 1, max: 6 }), isGiven: fc.boolean() }))
    fc.assert(
      fc.property(gaps, fc.nat(60), fc.integer({ min: 1, max: 10 }), (pieces, from, length) => {
        const lane = oneAtATime()
        let at = 0
        const all = pieces.map(({ gap, length: long, isGiven }) => {
          const start = at + gap
          at = start + long
          return { from: start, to: at, isGiven }
        })
        for (const one of [...all].reverse()) lane.take(one.from, one.to, 1, 0)
        for (const one of all) if (one.isGiven) lane.give(one.from, one.to, 1)
        const stay = all.filter(one => !one.isGiven)
        const isFree = (start: number, end: number) => stay.every(one => one.to <= start || end <= one.from)
        const last = stay.filter(one => one.from < from + length && one.to > from).at(-1)
        expect(lane.inTheWay(from, from + length, 1, 0)).toBe(last?.to ?? -1)
        let earliest = from
        while (!isFree(earliest, earliest + length)) earliest += 1
        expect(lane.free(from, length, 1)).toBe(earliest)
        let latest = from
        while (!isFree(latest, latest + length)) latest -= 1
        expect(lane.freeBy(from, length, 1)).toBe(latest)
      }),
      { numRuns: 200 },
    )
  })
})

describe('a pot', () => {
  // Half an hour of scouring within the hours of 9 to 17 on weekdays.
  const hours = hoursOf(WORKSHOP, MONDAY)
  const [nine, hour] = [MONDAY, 60]
  const pot = (scourMinutes = 30) => {
    const lane = potLane(hours, scourMinutes)
    lane.take(nine + 2 * hour, nine + 3 * hour, 1, 1)
    return lane
  }

  test('takes one load at a time', () => {
    const lane = pot()
    expect(lane.inTheWay(nine, nine + 2 * hour, 1, 1)).toBe(-1)
    expect(lane.inTheWay(nine, nine + 2 * hour + 1, 1, 1)).toBe(nine + 3 * hour)
    expect(lane.inTheWay(nine + 3 * hour, nine + 4 * hour, 1, 1)).toBe(-1)
    expect(lane.inTheWay(nine + 3 * hour - 1, nine + 4 * hour, 1, 1)).toBe(nine + 3 * hour)
    expect(lane.inTheWay(nine + 3 * hour, nine + 3 * hour, 1, 1)).toBe(-1)
  })

  test('is scoured before something paler, and not before something darker', () => {
    const lane = pot()
    const after = nine + 3 * hour
    expect(lane.inTheWay(after, after + hour, 1, 0.5)).toBe(after + 30)
    expect(lane.inTheWay(after + 29, after + hour, 1, 0.5)).toBe(after + 30)
    expect(lane.inTheWay(after + 30, after + hour, 1, 0.5)).toBe(-1)
    expect(lane.inTheWay(after, after + hour, 1, 2)).toBe(-1)
  })

  test('is scoured after something darker, before this', () => {
    const lane = pot()
    const before = nine + 2 * hour
    expect(lane.inTheWay(nine, before - 30, 1, 2)).toBe(-1)
    expect(lane.inTheWay(nine, before - 29, 1, 2)).toBe(nine + 3 * hour)
    expect(lane.inTheWay(nine, before, 1, 0.5)).toBe(-1)
  })

  test('is scoured in working hours only', () => {
    const lane = potLane(hours, 30)
    const four = nine + 7 * hour
    lane.take(four, four + 50, 1, 1)
    // Ten minutes on Monday, twenty on Tuesday.
    expect(lane.inTheWay(four + 50, four + hour, 1, 0.5)).toBe(nine + 1440 + 20)
  })

  test('of which nothing is scoured takes any depth at once', () => {
    const lane = pot(0)
    expect(lane.inTheWay(nine + 3 * hour, nine + 4 * hour, 1, 0.25)).toBe(-1)
    expect(lane.inTheWay(nine, nine + 2 * hour, 1, 3)).toBe(-1)
  })

  test('the last in the way counts, and what was given back does not', () => {
    const lane = pot()
    lane.take(nine + 5 * hour, nine + 6 * hour, 1, 1)
    lane.take(nine, nine + hour, 1, 1)
    expect(lane.inTheWay(nine, nine + 7 * hour, 1, 1)).toBe(nine + 6 * hour)
    expect(lane.inTheWay(nine, nine + 4 * hour, 1, 1)).toBe(nine + 3 * hour)
    lane.give(nine + 2 * hour, nine + 3 * hour, 1)
    expect(lane.inTheWay(nine, nine + 4 * hour, 1, 1)).toBe(nine + hour)
    expect(lane.inTheWay(nine + hour, nine + 4 * hour, 1, 1)).toBe(-1)
    lane.give(nine + 5 * hour, nine + 6 * hour, 1)
    expect(lane.inTheWay(nine + hour, nine + 9 * hour, 1, 1)).toBe(-1)
    lane.give(nine, nine + hour, 1)
    expect(lane.inTheWay(nine, nine + 9 * hour, 1, 1)).toBe(-1)
  })

  test('what takes no time takes nothing', () => {
    const lane = potLane(hours, 30)
    lane.take(nine, nine, 1, 5)
    expect(lane.inTheWay(nine - 60, nine + 60, 1, 1)).toBe(-1)
    lane.take(nine, nine + 60, 1, 1)
    lane.give(nine, nine, 1)
    expect(lane.inTheWay(nine, nine + 60, 1, 1)).toBe(nine + 60)
  })
})
