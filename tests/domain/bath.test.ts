import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  heldByTakeUp,
  heldByWeighing,
  liquor,
  type PotFloor,
  potNeeded,
  usableVolume,
  waterToAdd,
  waterToCover,
  waterToDepth,
} from '../../src/domain/bath.js'
import type { Figure } from '../../src/domain/catalogue.js'
import { readVolume, readWeight, type Units } from '../../src/domain/quantity.js'
import { Refusal } from '../../src/domain/refusal.js'
import { workedAgain } from './working-numbers.js'

const from = (value: number, source = 'Beech 1901, p. 108'): Figure => ({
  value,
  provenance: { kind: 'handbook', source },
})
const IMPERIAL: Units = { weight: 'pounds', volume: 'imperial' }
const US: Units = { weight: 'pounds', volume: 'us' }

const grams = (typed: string): number => {
  const weight = readWeight(typed, IMPERIAL, { label: 'weight' })
  return weight.ok ? weight.value.grams : Number.NaN
}
const mL = (typed: string, units = IMPERIAL): number => {
  const volume = readVolume(typed, units, { label: 'volume' })
  return volume.ok ? volume.value.millilitres : Number.NaN
}

describe('liquor', () => {
  test('Beech 1901, p. 108: fifteen times the weight is a gallon and a half to the pound, imperial and not US', () => {
    const litres = liquor(grams('1 lb'), from(15)).volumeMl
    expect(litres / mL('1½ gal')).toBeCloseTo(1, 2)
    expect(litres / mL('1½ gal', US)).toBeGreaterThan(1.19)
  })
  test('Beech 1901, p. 109: twenty and twenty-five times', () => {
    expect(liquor(grams('100 lb'), from(20)).volumeMl / grams('100 lb')).toBeCloseTo(20, 10)
    expect(liquor(grams('100 lb'), from(25)).volumeMl / grams('100 lb')).toBeCloseTo(25, 10)
  })
  test('Spon, Workshop Receipts, 2nd series: 87 pints or 44 quarts for 11 lb are 10 to 1, in imperial measure', () => {
    const litres = liquor(grams('11 lb'), from(10)).volumeMl
    expect(litres / mL('87 pints')).toBeCloseTo(1, 1)
    expect(Math.abs(litres / mL('44 quarts') - 1)).toBeLessThan(0.003)
    expect(litres / mL('44 quarts', US)).toBeGreaterThan(1.19)
  })
  test('its working', () => {
    expect(liquor(500, from(20)).how).toEqual({
      words: 'bath = dry weight × liquor ratio ÷ 1000',
      numbers: '500 g × 20 L/kg ÷ 1000 = 10 L',
      inputs: [
        expect.objectContaining({ label: 'dry weight', value: 500 }),
        expect.objectContaining({ label: 'liquor ratio', provenance: from(20).provenance }),
      ],
    })
    expect(liquor(500, from(20)).volumeMl).toBe(10_000)
  })
})

describe('what the soaked fibre holds', () => {
  test('Beech 1901, p. 109: 100 lb of cotton take up 10 gallons of liquor, their own weight', () => {
    const held = heldByTakeUp(grams('100 lb'), from(1, 'Beech 1901, p. 109'))
    expect(Math.abs(held.volumeMl / mL('10 gal') - 1)).toBeLessThan(0.003)
    expect(held.volumeMl / mL('10 gal', US)).toBeGreaterThan(1.19)
    expect(held.how.words).toBe('water held = dry weight × water taken up')
    expect(heldByTakeUp(200, from(1.5)).how.numbers).toBe('200 g × 1.5 L/kg = 300 mL')
  })
  test('by weighing it', () => {
    expect(heldByWeighing(520, 200).volumeMl).toBe(320)
    expect(heldByWeighing(200, 200).volumeMl).toBe(0)
    expect(heldByWeighing(520, 200).how.words).toBe('water held = weight soaked and drained − dry weight')
    expect(heldByWeighing(520, 200).how.numbers).toBe('520 g − 200 g = 320 mL')
  })
  test('is taken off the water to pour, down to none', () => {
    expect(waterToAdd(4000, 320)).toMatchObject({ volumeMl: 3680, how: { numbers: '4000 mL − 320 mL = 3680 mL' } })
    expect(waterToAdd(300, 300)).toMatchObject({ volumeMl: 0, how: { numbers: '300 mL − 300 mL = 0 mL' } })
    expect(waterToAdd(300, 320)).toMatchObject({
      volumeMl: 0,
      how: { words: 'water to add = the larger of 0 and bath − water held by the fibre' },
    })
  })
})

describe('water in a pot', () => {
  const round: PotFloor = { shape: 'round', diameterMm: 300 }
  test.each<[PotFloor, number, string]>([
    [round, Math.PI * 2250, '3.14159 ÷ 4 × 300 mm × 300 mm × 100 mm ÷ 1000 = 7068.58 mL'],
    [
      { shape: 'oval', lengthMm: 400, widthMm: 200 },
      Math.PI * 2000,
      '3.14159 ÷ 4 × 400 mm × 200 mm × 100 mm ÷ 1000 = 6283.19 mL',
    ],
    [{ shape: 'oblong', lengthMm: 400, widthMm: 200 }, 8000, '400 mm × 200 mm × 100 mm ÷ 1000 = 8000 mL'],
  ])('%o', (pot, volumeMl, numbers) => {
    const water = waterToDepth(pot, 100)
    expect(water.volumeMl).toBeCloseTo(volumeMl, 4)
    expect(water.how.numbers).toBe(numbers)
  })
  test('no depth, no water; and the formula in words', () => {
    expect(waterToDepth(round, 0).volumeMl).toBe(0)
    expect(waterToDepth(round, 100).how.words).toBe(
      'water to that depth = 3.14159 ÷ 4 × diameter of the pot × diameter of the pot × depth of water ÷ 1000',
    )
  })
  test('to cover fibre, less what the fibre displaces', () => {
    const water = waterToCover({ shape: 'oblong', lengthMm: 400, widthMm: 200 }, 100, 600)
    expect(water.volumeMl).toBe(7600)
    expect(water.how.numbers).toBe('400 mm × 200 mm × 100 mm ÷ 1000 − 600 g ÷ 1.5 g/mL = 7600 mL')
    expect(water.how.words).toContain(
      'depth that covers the fibre ÷ 1000 − dry weight ÷ density of the fibre’s substance',
    )
    expect(water.how.inputs.at(-1)?.provenance.kind).toBe('from memory')
    expect(waterToCover({ shape: 'oblong', lengthMm: 400, widthMm: 200 }, 100, 12_000).volumeMl).toBe(0)
  })
})

describe('head-room', () => {
  test('what may go in, and the pot that it needs, are each other’s reverse', () => {
    expect(usableVolume(20_000, 25)).toMatchObject({
      volumeMl: 15_000,
      how: { numbers: '20000 mL × (1 − 25 % ÷ 100) = 15000 mL' },
    })
    expect(potNeeded(15_000, 25)).toMatchObject({
      volumeMl: 20_000,
      how: { numbers: '15000 mL ÷ (1 − 25 % ÷ 100) = 20000 mL' },
    })
    expect(usableVolume(1, 0).how.words).toBe('usable volume = volume to the brim × (1 − head-room ÷ 100)')
    expect(potNeeded(1, 0).how.words).toBe('volume to the brim = bath ÷ (1 − head-room ÷ 100)')
  })
})

describe('what cannot be', () => {
  const oblong: PotFloor = { shape: 'oblong', lengthMm: 400, widthMm: 200 }
  test.each([
    [() => liquor(-1, from(20)), 'The dry weight must be from 0 to 1000000 g, not -1 g.'],
    [() => liquor(1, from(0)), 'The liquor ratio must be from 1 to 200 L/kg, not 0 L/kg.'],
    [() => heldByWeighing(199, 200), 'The weight soaked and drained must be from 200 to 1000000 g, not 199 g.'],
    [() => heldByWeighing(199, Number.NaN), 'The dry weight must be from 0 to 1000000 g.'],
    [() => heldByTakeUp(-1, from(1)), 'The dry weight must be'],
    [() => heldByTakeUp(1, from(21)), 'The water taken up must be from 0 to 20 L/kg, not 21 L/kg.'],
    [() => waterToAdd(-1, 0), 'The bath must be from 0 to 10000000 mL, not -1 mL.'],
    [() => waterToAdd(1, -1), 'The water held by the fibre must be from 0 to 10000000 mL, not -1 mL.'],
    [
      () => waterToDepth({ shape: 'round', diameterMm: 9 }, 1),
      'The diameter of the pot must be from 10 to 5000 mm, not 9 mm.',
    ],
    [() => waterToDepth({ ...oblong, lengthMm: 9 }, 1), 'The length of the pot must be from 10 to 5000 mm, not 9 mm.'],
    [
      () => waterToDepth({ ...oblong, widthMm: 5001 }, 1),
      'The width of the pot must be from 10 to 5000 mm, not 5001 mm.',
    ],
    [() => waterToDepth(oblong, -1), 'The depth of water must be from 0 to 5000 mm, not -1 mm.'],
    [() => waterToCover(oblong, 5001, 1), 'The depth that covers the fibre must be from 0 to 5000 mm, not 5001 mm.'],
    [() => waterToCover(oblong, 100, 12_001), 'The dry weight must be from 0 to 12000 g, not 12001 g.'],
    [() => usableVolume(-1, 20), 'The volume to the brim must be'],
    [() => usableVolume(1, 81), 'The head-room must be from 0 to 80 %, not 81 %.'],
    [() => potNeeded(-1, 20), 'The bath must be'],
    [() => potNeeded(1, 81), 'The head-room must be from 0 to 80 %, not 81 %.'],
  ])('refusal %#', (reckon, sentence) => {
    expect(reckon).toThrow(Refusal)
    expect(reckon).toThrow(expect.objectContaining({ code: 'wrong' }))
    expect(reckon).toThrow(sentence)
  })
})

describe('for any accepted input', () => {
  const weight = fc.double({ min: 1, max: 10_000, noNaN: true })
  const ratio = fc.double({ min: 1, max: 60, noNaN: true })
  const size = fc.double({ min: 50, max: 900, noNaN: true })
  const pot = fc.oneof(
    size.map((diameterMm): PotFloor => ({ shape: 'round', diameterMm })),
    fc.record({ shape: fc.constantFrom('oval' as const, 'oblong' as const), lengthMm: size, widthMm: size }),
  )
  test('volumes are linear in the weight, never negative, and their printed numbers work out', () => {
    fc.assert(
      fc.property(
        weight,
        ratio,
        fc.double({ min: 0, max: 20, noNaN: true }),
        fc.integer({ min: 0, max: 80 }),
        (dry, of, up, head) => {
          const bath = liquor(dry, from(of))
          const held = heldByTakeUp(dry, from(up))
          expect(liquor(dry * 2, from(of)).volumeMl).toBeCloseTo(bath.volumeMl * 2, 6)
          expect(waterToAdd(bath.volumeMl, held.volumeMl).volumeMl).toBeCloseTo(Math.max(0, dry * (of - up)), 4)
          expect(usableVolume(potNeeded(bath.volumeMl, head).volumeMl, head).volumeMl).toBeCloseTo(bath.volumeMl, 5)
          for (const shown of [bath.how, potNeeded(bath.volumeMl, head).how]) {
            const { left, right } = workedAgain(shown)
            expect(left / right).toBeCloseTo(1, 3)
          }
        },
      ),
      { numRuns: 100 },
    )
  })
  test('twice as deep, twice the water; covering fibre takes less than an empty pot', () => {
    fc.assert(
      fc.property(
        pot,
        fc.double({ min: 100, max: 500, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (floor, depth, share) => {
          const { volumeMl, how } = waterToDepth(floor, depth)
          expect(waterToDepth(floor, depth * 2).volumeMl).toBeCloseTo(volumeMl * 2, 5)
          const covered = waterToCover(floor, depth, volumeMl * share)
          expect(covered.volumeMl).toBeCloseTo(volumeMl * (1 - share / 1.5), 5)
          expect(workedAgain(how).left / volumeMl).toBeCloseTo(1, 3)
        },
      ),
      { numRuns: 100 },
    )
  })
})
