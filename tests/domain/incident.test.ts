import { expect, test } from 'vitest'
import { aboutWhat, INCIDENT_WORDS, INCIDENTS, isTold } from '../../src/domain/incident.js'

test.each([
  [[1, 2, 3], 3, 'lot 4'],
  [[2], 3, 'lot 4, bundle 2'],
  [[1, 2, 3, 5], 9, 'lot 4, bundles 1 to 3, 5'],
])('is said to be about %j of %i bundles', (ns, all, words) => {
  expect(aboutWhat(4, ns, all)).toBe(words)
})

test('a client is told, or it is said why not; what was done is neither', () => {
  expect(isTold([])).toBe(false)
  expect(isTold([{ kind: 'done' }])).toBe(false)
  expect(isTold([{ kind: 'done' }, { kind: 'client told' }])).toBe(true)
  expect(isTold([{ kind: 'cannot be told' }])).toBe(true)
})

test('every kind has its words', () => {
  expect(Object.keys(INCIDENT_WORDS).sort()).toEqual([...INCIDENTS].sort())
})
