import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { fit as fitOf, potHoldsG, potRoom } from '../../src/domain/pots.js'

const pot2 = { name: 'Pot 2', usableVolumeMl: 15_000 }

describe('what a pot holds', () => {
  // Arithmetic of the units: 1 mL over 1 L per kg is 1 g. Ratios of 20 to 30 L per kg are common practice, no source.
  test.each([
    [15_000, 20, 750],
    [15_000, 30, 500],
    [9_000, 25, 360],
    [40_000, 20, 2000],
  ])('%d mL at %d L per kg: %d g', (usableVolumeMl, ratio, holdsG) => {
    expect(potHoldsG({ name: 'Pot', usableVolumeMl }, ratio)).toBe(holdsG)
  })

  test.each([0, -20, Number.NaN])('a liquor ratio of %d is asked about', ratio => {
    expect(() => potHoldsG(pot2, ratio)).toThrow(expect.objectContaining({ name: 'Refusal', code: 'wrong' }))
    expect(() => potHoldsG(pot2, ratio)).toThrow(
      'Give the liquor ratio as parts of bath to one of dry fibre, for example 1 : 20.',
    )
  })

  test.each([0, -1, Number.NaN])('a usable volume of %d mL is asked about, by the name of the pot', usableVolumeMl => {
    const attempt = () => potHoldsG({ name: 'Pot 2', usableVolumeMl }, 20)
    expect(attempt).toThrow(expect.objectContaining({ name: 'Refusal', code: 'wrong' }))
    expect(attempt).toThrow('Give the usable volume of Pot 2, for example 15 L.')
  })
})

test('what a pot holds can be opened: the formula, its numbers, and where the ratio comes from', () => {
  const provenance = { kind: 'common practice', source: 'common practice, no source' } as const
  expect(potRoom(pot2, { value: 20, provenance })).toEqual({
    holdsG: 750,
    how: {
      words: 'dry weight that it holds = usable volume of Pot 2 ÷ liquor ratio',
      numbers: '15000 mL ÷ 20 L/kg = 750 g',
      inputs: [
        {
          label: 'usable volume of Pot 2',
          value: 15_000,
          unit: 'mL',
          provenance: { kind: 'own experience', source: 'measured in this workshop' },
        },
        { label: 'liquor ratio', value: 20, unit: 'L/kg', provenance },
      ],
    },
  })
})

describe('whether a load fits', () => {
  test('it fits, with room to spare', () => {
    expect(fitOf(600, pot2, 20)).toEqual({ fits: true, holdsG: 750, spareG: 150 })
  })

  test('it fits exactly', () => {
    expect(fitOf(750, pot2, 20)).toEqual({ fits: true, holdsG: 750, spareG: 0 })
  })

  test('it does not, by so much', () => {
    expect(fitOf(940, pot2, 20)).toEqual({
      fits: false,
      holdsG: 750,
      overG: 190,
      sentence: 'Pot 2 holds 750 g at a liquor ratio of 1 : 20; this load is 190 g over.',
    })
  })

  test('a small excess is not rounded away', () => {
    expect(fitOf(750.25, pot2, 20)).toMatchObject({
      fits: false,
      sentence: 'Pot 2 holds 750 g at a liquor ratio of 1 : 20; this load is 0.25 g over.',
    })
  })

  test('the sentence is written in the units of the dyer', () => {
    const ounces = (grams: number) => `${(grams / 28.349523125).toFixed(1)} oz`
    expect(fitOf(940, pot2, 12.5, ounces)).toMatchObject({ fits: true })
    expect(fitOf(1300, pot2, 12.5, ounces)).toMatchObject({
      sentence: 'Pot 2 holds 42.3 oz at a liquor ratio of 1 : 12.5; this load is 3.5 oz over.',
    })
  })

  // 1 oz = 28.349523125 g exactly (international pound of 1959: 0.45359237 kg, sixteen ounces).
  test('sixteen ounces go into a pot for one pound', () => {
    const ounces = Array.from({ length: 16 }, () => 28.349523125).reduce((a, b) => a + b, 0)
    expect(fitOf(ounces, { name: 'Pot', usableVolumeMl: 453.59237 * 20 }, 20).fits).toBe(true)
  })

  test('a milligram is let pass, two are not; what is let pass spares nothing', () => {
    expect(fitOf(750.001, pot2, 20)).toEqual({ fits: true, holdsG: 750, spareG: 0 })
    expect(fitOf(750.002, pot2, 20).fits).toBe(false)
  })

  test('whatever the pot: spare or over is the difference', () => {
    const positive = fc.double({ min: 0.1, max: 1e6, noNaN: true })
    fc.assert(
      fc.property(positive, positive, positive, (weight, usableVolumeMl, ratio) => {
        const result = fitOf(weight, { name: 'Pot', usableVolumeMl }, ratio)
        const over = weight - usableVolumeMl / ratio
        if (result.fits) expect(result.spareG).toBeCloseTo(Math.max(0, -over), 6)
        else expect(result.overG).toBeCloseTo(over, 6)
        expect(result.fits).toBe(over <= 0.001)
      }),
      { numRuns: 100 },
    )
  })
})
