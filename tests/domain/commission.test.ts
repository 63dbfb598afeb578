import { describe, expect, test } from 'vitest'
import { countPlaces, nextFor, sayPressing } from '../../src/domain/commission.js'
import type { Place } from '../../src/domain/place.js'

const at = (...places: Place[]) => places.map(place => ({ place }))

test('how pressing it is, in words', () => {
  expect([-2, -1, 0, 1, 2, 40].map(sayPressing)).toEqual([
    '2 days late',
    '1 day late',
    'today',
    'tomorrow',
    'in 2 days',
    'in 40 days',
  ])
})

test('the places add up to the bundles, in the order of the work', () => {
  const bundles = at('drying line', 'arrivals shelf', 'pot', 'arrivals shelf', 'handed back')
  const counts = countPlaces(bundles)
  expect(counts.map(({ place }) => place)).toEqual(['arrivals shelf', 'pot', 'drying line', 'handed back'])
  expect(counts[0]?.words).toBe('2 on the arrivals shelf')
  expect(counts.reduce((sum, count) => sum + count.bundles, 0)).toBe(bundles.length)
})

describe('what a lot waits for', () => {
  test('is a recipe as long as a bundle lies on the arrivals shelf', () => {
    expect(nextFor(at('arrivals shelf', 'ready shelf'))).toBe('recipe')
  })
  test('is work at the pot as long as a bundle is on its way', () => {
    expect(nextFor(at('drying line', 'ready shelf'))).toBe('pot work')
  })
  test('is the hand-back when all that is here is ready', () => {
    expect(nextFor(at('ready shelf', 'handed back'))).toBe('hand-back')
  })
  test('is nothing when all has gone', () => {
    expect(nextFor(at('handed back', 'not found'))).toBe('nothing')
  })
})
