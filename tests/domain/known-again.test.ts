import { expect, test } from 'vitest'
import { type Facts, factsMatching, factsTold, knownAgain } from '../../src/domain/known-again.js'

const nothing: Facts = { weightG: null, tiesIn: null, fibreId: '', day: null, place: '' }
const bundle = (n: number, more: object = {}) => ({
  n,
  dryWeightG: 100,
  tiesIn: 3,
  fibreId: 'flax',
  day: '2026-03-02',
  place: 'drying line' as const,
  ...more,
})

test('only what was told is a fact', () => {
  expect(factsTold(nothing)).toEqual([])
  const all: Facts = { weightG: 100, tiesIn: 3, fibreId: 'flax', day: '2026-03-02', place: 'drying line' }
  expect(factsTold(all)).toEqual(['weight', 'ties', 'fibre', 'day', 'place'])
  expect(factsMatching(all, bundle(1))).toEqual(['weight', 'ties', 'fibre', 'day', 'place'])
  const other = bundle(1, { dryWeightG: 50, tiesIn: 4, fibreId: 'jute', day: '2026-03-01', place: 'pot' })
  expect(factsMatching(all, other)).toEqual([])
})

test('a weight agrees within fifteen parts in a hundred', () => {
  for (const [weightG, agrees] of [
    [85, true],
    [115, true],
    [84.9, false],
    [115.1, false],
  ] as const)
    expect(factsMatching({ ...nothing, weightG }, bundle(1)).length > 0, `${weightG} g`).toBe(agrees)
})

test('one fact offers nothing, whichever it is', () => {
  const each: Partial<Facts>[] = [
    { weightG: 100 },
    { tiesIn: 3 },
    { fibreId: 'flax' },
    { day: '2026-03-02' },
    { place: 'drying line' },
  ]
  for (const fact of each) expect(knownAgain({ ...nothing, ...fact }, [bundle(1)])).toEqual([])
})

test('two that agree offer the bundle, more agreement and a nearer weight come first', () => {
  const bundles = [
    bundle(1, { dryWeightG: 110 }),
    bundle(2, { dryWeightG: 101 }),
    bundle(3, { tiesIn: 4 }),
    bundle(4, { dryWeightG: 112, fibreId: 'jute' }),
    bundle(5, { dryWeightG: 500, tiesIn: 9 }),
  ]
  const found = knownAgain({ ...nothing, weightG: 100, tiesIn: 3, fibreId: 'flax' }, bundles)
  expect(found.map(({ bundle, matching }) => [bundle.n, matching.join('+')])).toEqual([
    [2, 'weight+ties+fibre'],
    [1, 'weight+ties+fibre'],
    [3, 'weight+fibre'],
    [4, 'weight+ties'],
  ])
})
