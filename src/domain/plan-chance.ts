/** The same throws in every run: the search must give the same plan for the same workshop on every machine. */
export interface Chance {
  /** A whole number from 0 to `below - 1`. */
  whole(below: number): number
  one<T>(list: readonly T[]): T | undefined
  /** True so many times in a hundred. */
  percent(chance: number): boolean
}

/** Marsaglia's xorshift with 32 bits (Marsaglia 2003, "Xorshift RNGs"). */
export function chanceFrom(seed: number): Chance {
  let state = seed | 0 || 1
  const whole = (below: number): number => {
    state ^= state << 13
    state ^= state >>> 17
    state ^= state << 5
    return (state >>> 0) % below
  }
  return {
    whole,
    one: list => list[list.length === 0 ? 0 : whole(list.length)],
    percent: chance => whole(100) < chance,
  }
}
