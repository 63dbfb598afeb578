import { expect, test } from 'vitest'
import { hindering, type OpenPoint, pointsOfLot } from '../../src/domain/open-point.js'

const point = (facts: Partial<OpenPoint>): OpenPoint => ({
  lotId: null,
  bundleIds: [],
  sentence: 'The wrapper is not answered for.',
  to: '/commissions/1',
  hinders: true,
  ...facts,
})
const going = { lotIds: [7], bundleIds: [71, 72] }

test('what can wait hinders nothing', () => {
  expect(hindering([point({ hinders: false })], going)).toEqual([])
})

test('a point of the whole commission hinders each of its hand-backs', () => {
  expect(hindering([point({})], going)).toHaveLength(1)
})

test('a point of a lot hinders that lot alone', () => {
  const points = [point({ lotId: 7 }), point({ lotId: 8 })]
  expect(hindering(points, going)).toEqual([points[0]])
})

test('a point of one bundle hinders only what goes back with it', () => {
  const points = [point({ lotId: 7, bundleIds: [72, 90] }), point({ lotId: 7, bundleIds: [73] })]
  expect(hindering(points, going)).toEqual([points[0]])
})

test('a lot shows its own points and those of its commission', () => {
  const points = [point({ lotId: 7, hinders: false }), point({ lotId: 8 }), point({})]
  expect(pointsOfLot(points, 7)).toEqual([points[0], points[2]])
})
