/** Every object has one location, and a location can be asked what it holds: Spectrum 5.0, Location and movement control. */
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { PLACES, type Place } from '../../src/domain/place.js'
import { addsUp, heldByPlace } from '../../src/domain/places.js'

const lying = (place: Place, spotName: string | null = null, potName: string | null = null) => ({
  place,
  spotName,
  potName,
})

test('a pot and a spot have corners of their own; what lies at none comes first, and empty spots are shown', () => {
  const held = heldByPlace(
    [lying('pot', null, 'Pot 10'), lying('pot', null, 'Pot 2'), lying('ready shelf', 'board 1'), lying('ready shelf')],
    [{ place: 'ready shelf', name: 'board 2' }],
  )
  const names = (place: Place) => held.find(one => one.place === place)?.corners.map(({ name }) => name)
  expect(names('pot')).toEqual(['Pot 2', 'Pot 10'])
  expect(names('ready shelf')).toEqual(['', 'board 1', 'board 2'])
  expect(held.map(({ place, count }) => [place, count])).toEqual([
    ['arrivals shelf', 0],
    ['soak tub', 0],
    ['pot', 2],
    ['rinse', 0],
    ['drying line', 0],
    ['ready shelf', 2],
  ])
})

test('a load that left its pot for the rinse lies in no pot', () => {
  const rinse = heldByPlace([lying('rinse', null, 'Pot 2')]).find(({ place }) => place === 'rinse')
  expect(rinse?.corners.map(({ name }) => name)).toEqual([''])
})

test('every bundle here stands in one corner, and what is gone in none', () => {
  const name = fc.option(fc.constantFrom('a', 'b'))
  const bundle = fc.record({ place: fc.constantFrom(...PLACES), spotName: name, potName: name })
  fc.assert(
    fc.property(fc.array(bundle), bundles => {
      const held = heldByPlace(bundles)
      const shown = held.flatMap(({ corners }) => corners.flatMap(corner => corner.bundles))
      const gone = ['handed back', 'not found', 'withdrawn']
      const here = bundles.filter(({ place }) => !gone.includes(place))
      expect(shown).toHaveLength(here.length)
      expect(new Set(shown)).toEqual(new Set(here))
      expect(held.reduce((sum, { count }) => sum + count, 0)).toBe(here.length)
    }),
    { numRuns: 100 },
  )
})

test('what came less what went is here', () => {
  expect(addsUp({ takenIn: 12, withdrawn: 0, handedBack: 4, notFound: 1, here: 7 })).toBe(true)
  expect(addsUp({ takenIn: 12, withdrawn: 0, handedBack: 4, notFound: 1, here: 8 })).toBe(false)
})
