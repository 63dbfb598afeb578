import { describe, expect, test } from 'vitest'
import { chanceFrom } from '../../src/domain/plan-chance.js'

const WORD = 2 ** 32

/** Marsaglia 2003, "Xorshift RNGs", section 3: y^=y<<13; y^=y>>17; y^=y<<5, here in whole numbers beyond 32 bits. */
function published(seed: number, count: number): number[] {
  let y = BigInt(seed)
  const all: number[] = []
  for (let n = 0; n < count; n += 1) {
    y ^= (y << 13n) & 0xffff_ffffn
    y ^= y >> 17n
    y ^= (y << 5n) & 0xffff_ffffn
    all.push(Number(y))
  }
  return all
}

describe('the throws', () => {
  // 723471715 is the first number from the seed 2463534242 of the paper.
  test('are those of the published generator', () => {
    const chance = chanceFrom(2_463_534_242)
    const throws = Array.from({ length: 100 }, () => chance.whole(WORD))
    expect(throws[0]).toBe(723_471_715)
    expect(throws).toEqual(published(2_463_534_242, 100))
  })

  test('begin at 1 where the seed is 0, of which nothing would come', () => {
    expect(chanceFrom(0).whole(WORD)).toBe(published(1, 1)[0])
    expect(chanceFrom(0).whole(WORD)).not.toBe(0)
  })

  test('are below what was asked for', () => {
    const chance = chanceFrom(7)
    const seen = new Set(Array.from({ length: 200 }, () => chance.whole(5)))
    expect([...seen].sort()).toEqual([0, 1, 2, 3, 4])
  })
})

test('one of a list is the one thrown; of none it is none, and takes no throw', () => {
  const list = ['a', 'b', 'c', 'd', 'e', 'f', 'g']
  const [own, same] = [chanceFrom(99), chanceFrom(99)]
  expect(own.one([])).toBeUndefined()
  for (let n = 0; n < 20; n += 1) expect(own.one(list)).toBe(list[same.whole(7)])
})

test('so many times in a hundred', () => {
  const [own, same] = [chanceFrom(5), chanceFrom(5)]
  for (let n = 0; n < 300; n += 1) {
    const throwOf100 = same.whole(100)
    expect(own.percent(40)).toBe(throwOf100 < 40)
  }
  const [never, always] = [chanceFrom(5), chanceFrom(5)]
  for (let n = 0; n < 300; n += 1) {
    expect(never.percent(0)).toBe(false)
    expect(always.percent(100)).toBe(true)
  }
})
