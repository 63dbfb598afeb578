import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Figure } from '../../src/domain/catalogue.js'
import {
  contentFromRegainPercent,
  dryWeightFromAir,
  dryWeightFromMoisture,
  type ReckonedBasis,
  regainFromContentPercent,
} from '../../src/domain/dry-weight.js'
import { Refusal } from '../../src/domain/refusal.js'
import { woodMoisture } from '../../src/domain/wood-moisture.js'
import { workedAgain } from './working-numbers.js'

const OVEN_DRY: ReckonedBasis = { kind: 'oven-dry' }
/** ASTM D1909-13, jute, as quoted by Bioresources and Bioprocessing 2020 (10.1186/s40643-020-00339-1), table 10. */
const JUTE: Figure = { value: 13.75, provenance: { kind: 'standard', source: 'ASTM D1909-13, jute' } }
const AS_JUTE: ReckonedBasis = { kind: 'conditioned', regainPercent: JUTE }

const ofDry = (grams: number, percent: number, basis: ReckonedBasis = OVEN_DRY) =>
  dryWeightFromMoisture(grams, { percent, of: 'oven-dry weight' }, basis)
const ofDamp = (grams: number, percent: number, basis: ReckonedBasis = OVEN_DRY) =>
  dryWeightFromMoisture(grams, { percent, of: 'damp weight' }, basis)
const inAir = (temperatureC: number, relativeHumidityPercent: number) =>
  woodMoisture({ temperatureC, relativeHumidityPercent }).percent
const celsius = (fahrenheit: number): number => (fahrenheit - 32) / 1.8

describe('from measured moisture', () => {
  // Siau 1984, as tabulated at native-power.de/en/faq: water in a kilogram of damp wood, moisture on the dry basis.
  const PRINTED: [number, number][] = [
    [20, 167],
    [30, 231],
    [40, 286],
    [50, 333],
    [60, 375],
    [70, 412],
    [80, 444],
    [90, 474],
    [100, 500],
  ]
  const waterPerKg = (percent: number): number => 1000 - ofDry(1000, percent).dryWeightG
  test.each(PRINTED)('%d %% of the dry weight is %d g of water in a kilogram', (percent, water) => {
    expect(Math.round(waterPerKg(percent))).toBe(water)
  })
  test('the row printed wrong in the same table is not followed: 110 % is 524 g, and 667 g is 200 %', () => {
    expect(Math.round(waterPerKg(110))).toBe(524)
    expect(Math.round(waterPerKg(110))).not.toBe(667)
    expect(Math.round(waterPerKg(200))).toBe(667)
  })
  test('University of Vermont, Drying Lumber: a 30 lb board that holds 10 lb of water has 50 %', () => {
    expect(ofDry(30, 50).dryWeightG).toBeCloseTo(20, 12)
    expect(ofDamp(30, 100 / 3).dryWeightG).toBeCloseTo(20, 12)
  })

  test('the two ways of stating moisture agree, and differ when mixed up', () => {
    expect(ofDry(1000, 25).dryWeightG).toBeCloseTo(800, 10)
    expect(ofDamp(1000, 20).dryWeightG).toBeCloseTo(800, 10)
    expect(ofDamp(1000, 25).dryWeightG).toBeCloseTo(750, 10)
  })

  test('a kilogram of jute at 25 % is 800 g oven-dry and 910 g conditioned', () => {
    expect(ofDry(1000, 25, AS_JUTE).dryWeightG).toBeCloseTo(910, 10)
    expect(ofDamp(1000, 20, AS_JUTE).dryWeightG).toBeCloseTo(910, 10)
  })

  test('the formula is shown with its numbers, and names what each input is', () => {
    expect(ofDry(1000, 25, AS_JUTE).how).toEqual({
      words:
        'conditioned weight = weight as received ÷ (1 + moisture, per cent of the oven-dry weight ÷ 100) × (1 + regain ÷ 100)',
      numbers: '1000 g ÷ (1 + 25 % ÷ 100) × (1 + 13.75 % ÷ 100) = 910 g',
      inputs: [
        {
          label: 'weight as received',
          value: 1000,
          unit: 'g',
          provenance: expect.objectContaining({ kind: 'own experience' }),
        },
        {
          label: 'moisture, per cent of the oven-dry weight',
          value: 25,
          unit: '%',
          provenance: expect.objectContaining({ source: 'measured in this workshop' }),
        },
        { label: 'regain', value: 13.75, unit: '%', provenance: JUTE.provenance },
      ],
    })
    expect(ofDamp(1000, 20).how.words).toBe(
      'oven-dry weight = weight as received × (1 − moisture, per cent of the damp weight ÷ 100)',
    )
    expect(ofDamp(1000, 20).how.numbers).toBe('1000 g × (1 − 20 % ÷ 100) = 800 g')
    expect([ofDry(1000, 25).notes, ofDry(1000, 25).moistureHow]).toEqual([[], null])
  })

  test('regain and content are two names for the same water', () => {
    expect(contentFromRegainPercent(8.5)).toBeCloseTo(7.834, 3) // cotton, ASTM D1909-13
    expect(regainFromContentPercent(contentFromRegainPercent(13.75))).toBeCloseTo(13.75, 12)
  })
})

describe('from the air (USDA Wood Handbook, ch. 4)', () => {
  // Wood Handbook 2010, Table 4-2, row for 70 °F; figures from memory. NC State Extension, emc.ces.ncsu.edu: equation and
  // table differ by at most 0.5, in most places by 0.2, from 35 to 180 °F and from 20 to 80 %.
  test.each([
    [10, 2.5],
    [20, 4.5],
    [30, 6.2],
    [40, 7.7],
    [50, 9.2],
    [60, 11.0],
    [65, 12.0],
    [70, 13.1],
    [80, 16.0],
    [90, 20.5],
  ])('70 °F and %d %% relative humidity: %d %%', (humidity, published) => {
    expect(Math.abs(inAir(celsius(70), humidity) - published)).toBeLessThanOrEqual(0.1)
  })

  test.each([
    [140, 55, 8.378, 0.02], // the equation as worked at liquisearch.com/equilibrium_moisture_content: 8.4; its table 8.0
    [70, 25, 5.3, 0.2], // stoves.bioenergylists.org/emccalc, relative humidity rounded
    [70, 60, 11.1, 0.2],
    [70, 100, 28.8, 0.1],
  ])('%d °F and %d %%: %d', (fahrenheit, humidity, published, tolerance) => {
    expect(Math.abs(inAir(celsius(fahrenheit), humidity) - published)).toBeLessThanOrEqual(tolerance)
  })

  test('no water in the air, none in the wood', () => expect(inAir(20, 0)).toBe(0))

  /** The other published set of coefficients, for °F. */
  const inAirByFahrenheit = (t: number, humidity: number): number => {
    const w = 330 + 0.452 * t + 0.00415 * t * t
    const k = 0.791 + 0.000463 * t - 0.000000844 * t * t
    const k1 = 6.34 + 0.000775 * t - 0.0000935 * t * t
    const k2 = 1.09 + 0.0284 * t - 0.0000904 * t * t
    const kh = (k * humidity) / 100
    const above = k1 * kh + 2 * k1 * k2 * kh ** 2
    return (1800 / w) * (kh / (1 - kh) + above / (1 + k1 * kh + k1 * k2 * kh ** 2))
  }
  test.each([35, 50, 70, 100, 140, 180])('both published sets of coefficients agree at %d °F', fahrenheit => {
    for (const humidity of [20, 40, 60, 80])
      expect(Math.abs(inAir(celsius(fahrenheit), humidity) - inAirByFahrenheit(fahrenheit, humidity))).toBeLessThan(
        0.06,
      )
  })
  test('and within 0.02 at 70 °F', () => {
    for (const humidity of [10, 20, 30, 40, 50, 60, 70, 80, 90])
      expect(Math.abs(inAir(celsius(70), humidity) - inAirByFahrenheit(70, humidity))).toBeLessThan(0.02)
  })

  test('a bundle that rested at 21 °C and 50 %', () => {
    const air = { temperatureC: celsius(70), relativeHumidityPercent: 50 }
    const { dryWeightG, how, moistureHow, notes } = dryWeightFromAir(1092, air, OVEN_DRY)
    expect(dryWeightG).toBeCloseTo(1092 / 1.092, 0)
    expect(how.words).toBe('oven-dry weight = weight as received ÷ (1 + moisture of wood in that air ÷ 100)')
    expect(how.inputs.map(({ label, unit }) => [label, unit])).toEqual([
      ['weight as received', 'g'],
      ['moisture of wood in that air', '%'],
      ['temperature of the air', '°C'],
      ['relative humidity of the air', '%'],
    ])
    expect(how.inputs[1]?.provenance).toEqual({ kind: 'handbook', source: expect.stringContaining('Wood Handbook') })
    expect(moistureHow?.words).toMatch(/^moisture of wood in that air = 1800 ÷ W at this temperature × \(K at this/)
    expect(moistureHow?.inputs.map(input => input.label.slice(0, 2))).toEqual(['W ', 'K ', 'K₁', 'K₂'])
    if (!moistureHow) throw new Error('no working for the moisture')
    const { left, right } = workedAgain(moistureHow)
    expect([left, right]).toEqual([
      expect.closeTo(inAir(celsius(70), 50), 3),
      expect.closeTo(inAir(celsius(70), 50), 4),
    ])
    expect(notes).toEqual([expect.stringMatching(/standing in for bark.*slightly more/)])
    expect(dryWeightFromAir(1092, air, AS_JUTE).dryWeightG).toBeCloseTo(dryWeightG * 1.1375, 9)
  })

  test('air outside the checked table is said to be', () => {
    const notes = (temperatureC: number, relativeHumidityPercent: number) =>
      dryWeightFromAir(100, { temperatureC, relativeHumidityPercent }, OVEN_DRY).notes
    for (const [temperatureC, humidity] of [
      [1.6, 50],
      [20, 19.9],
      [20, 80.1],
    ] as const)
      expect(notes(temperatureC, humidity)).toEqual([expect.any(String), expect.stringContaining('lies outside')])
    for (const [temperatureC, humidity] of [
      [1.7, 50],
      [20, 20],
      [20, 80],
      [80, 50],
    ] as const)
      expect(notes(temperatureC, humidity)).toHaveLength(1)
  })
})

describe('what cannot be', () => {
  const air = (temperatureC: number, relativeHumidityPercent: number) => () =>
    dryWeightFromAir(100, { temperatureC, relativeHumidityPercent }, OVEN_DRY)
  test.each([
    [() => ofDry(1e7, 5), 'The weight as received must be from 0 to 1000000 g, not 10000000 g.'],
    [() => ofDry(100, -1), 'The moisture, per cent of the oven-dry weight must be from 0 to 1000 %, not -1 %.'],
    [() => ofDry(100, 1001), 'The moisture, per cent of the oven-dry weight must be from 0 to 1000 %, not 1001 %.'],
    [() => ofDamp(100, 100), 'The moisture, per cent of the damp weight must be from 0 to 99 %, not 100 %.'],
    [air(-1, 50), 'The temperature of the air must be from 0 to 80 °C, not -1 °C.'],
    [air(81, 50), 'The temperature of the air must be from 0 to 80 °C, not 81 °C.'],
    [air(20, 99), 'The relative humidity of the air must be from 0 to 98 %, not 99 %.'],
    [() => dryWeightFromAir(-5, { temperatureC: 20, relativeHumidityPercent: 50 }, OVEN_DRY), 'The weight as received'],
    [
      () => ofDry(100, 5, { kind: 'conditioned', regainPercent: { ...JUTE, value: 101 } }),
      'The regain must be from 0 to 100 %, not 101 %.',
    ],
  ])('refusal %#', (reckon, sentence) => {
    expect(reckon).toThrow(Refusal)
    expect(reckon).toThrow(expect.objectContaining({ code: 'wrong' }))
    expect(reckon).toThrow(sentence)
  })
  test('the edges themselves are allowed', () => {
    expect(ofDry(1e6, 1000).dryWeightG).toBeCloseTo(1e6 / 11, 6)
    expect(ofDamp(0, 99).dryWeightG).toBe(0)
    for (const [t, h] of [
      [0, 0],
      [80, 98],
    ] as const)
      expect(air(t, h)().dryWeightG).toBeGreaterThan(50)
  })
})

describe('for any accepted input', () => {
  const grams = fc.double({ min: 0, max: 1e6, noNaN: true })
  const basis = fc.constantFrom(OVEN_DRY, AS_JUTE)
  const moisture = fc.oneof(
    fc.record({ percent: fc.double({ min: 0, max: 1000, noNaN: true }), of: fc.constant('oven-dry weight' as const) }),
    fc.record({ percent: fc.double({ min: 0, max: 99, noNaN: true }), of: fc.constant('damp weight' as const) }),
  )
  const air = fc.record({
    temperatureC: fc.double({ min: 0, max: 80, noNaN: true }),
    relativeHumidityPercent: fc.double({ min: 0, max: 98, noNaN: true }),
  })

  test('the weight is finite, not negative, linear, and its printed numbers work out', () => {
    fc.assert(
      fc.property(grams, moisture, basis, air, (weight, damp, on, around) => {
        const measuredOnes = [dryWeightFromMoisture(weight, damp, on), dryWeightFromAir(weight, around, on)]
        const halves = [dryWeightFromMoisture(weight / 2, damp, on), dryWeightFromAir(weight / 2, around, on)]
        measuredOnes.forEach(({ dryWeightG, how }, i) => {
          expect(Number.isFinite(dryWeightG) && dryWeightG >= 0 && dryWeightG <= weight * 1.1375).toBe(true)
          expect(dryWeightG).toBeCloseTo((halves[i]?.dryWeightG ?? -1) * 2, 6)
          if (dryWeightG < 0.01) return
          const { left, right } = workedAgain(how)
          expect(left / right).toBeCloseTo(1, 3)
          expect(right / dryWeightG).toBeCloseTo(1, 4)
        })
      }),
      { numRuns: 100 },
    )
  })

  test('moister air, moister fibre', () => {
    const humidity = fc.double({ min: 0, max: 97, noNaN: true })
    fc.assert(
      fc.property(fc.double({ min: 0, max: 80, noNaN: true }), humidity, (t, h) => {
        expect(inAir(t, h + 1)).toBeGreaterThan(inAir(t, h))
      }),
      { numRuns: 100 },
    )
  })
})
