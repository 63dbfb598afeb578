import { expect, test } from 'vitest'
import { sayHowGood } from '../../src/domain/split-in-words.js'
import { type Bounded, splitIntoPots } from '../../src/domain/split-into-pots.js'

const best: Bounded = { is: 2, atLeast: 2, gap: 0, proven: true }
const open = (is: number, atLeast: number): Bounded => ({ is, atLeast, gap: is - atLeast, proven: false })

test('a split that is the best says so', () => {
  const bundles = [1, 2, 3].map(id => ({ id, dryWeightG: 100, lotId: 1 }))
  const split = splitIntoPots(bundles, [{ id: 'a', holdsG: 300 }])
  expect(sayHowGood(split)).toBe('No other split does better: that is proven.')
})

test('one that may not be says by how much, figure by figure', () => {
  const figures = { leftG: open(500, 380), pots: open(3, 2), lotSplits: open(4, 1), unevenness: open(0.05, 0.025) }
  expect(sayHowGood({ figures, proven: false })).toBe(
    'Not proven to be the best: 120 g less might stay out; 2 instead of 3 pots might do; lots might lie in 3 fewer places; the pots might be fuller alike, by 2.5 % of a pot at most.',
  )
  expect(sayHowGood({ figures: { ...figures, leftG: best, pots: best, lotSplits: best }, proven: false })).toBe(
    'Not proven to be the best: the pots might be fuller alike, by 2.5 % of a pot at most.',
  )
})
