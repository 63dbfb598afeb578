import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { Refusal } from '../../src/domain/refusal.js'
import {
  gramsInBath,
  gramsPerLitre,
  needsStock,
  owfFromBath,
  planStock,
  type Strength,
  smallestWeighed,
  stockToMake,
  stockVolume,
} from '../../src/domain/stock-solution.js'
import { workedAgain } from './working-numbers.js'

const gPerL = (value: number): Strength => ({ value, unit: 'g/L' })
const percent = (value: number): Strength => ({ value, unit: '% w/v' })

describe('Beech 1901, ch. IX: a swatch of 5 grams with 2 % dye, 3 % soda and 15 % Glauber’s salt', () => {
  test.each([
    ['dye', 2, 0.1, 5, 20],
    ['soda', 3, 0.15, 50, 3],
    ["Glauber's salt", 15, 0.75, 50, 15],
  ])('%s: %d %% is %d g, of a %d g/L stock %d mL', (_name, owf, grams, strength, volumeMl) => {
    expect((5 * owf) / 100).toBeCloseTo(grams, 12)
    expect(stockVolume(grams, gPerL(strength)).volumeMl).toBeCloseTo(volumeMl, 10)
  })
  test('half a gram in 100 mL is 5 g/L', () => {
    expect(gramsPerLitre(percent(0.5))).toBe(5)
    expect(gramsPerLitre(gPerL(5))).toBe(5)
  })
})

describe('stock to measure', () => {
  test('the same stock named in both ways gives the same volume', () => {
    expect(stockVolume(0.1, percent(0.5)).volumeMl).toBeCloseTo(20, 10)
    expect(stockVolume(3, percent(10)).how).toEqual({
      words: 'stock to measure = amount wanted ÷ strength of the stock × 100',
      numbers: '3 g ÷ 10 % w/v × 100 = 30 mL',
      inputs: [
        expect.objectContaining({ label: 'amount wanted', value: 3, unit: 'g' }),
        expect.objectContaining({ label: 'strength of the stock', value: 10, unit: '% w/v' }),
      ],
    })
    expect(stockVolume(0.1, gPerL(5)).how.numbers).toBe('0.1 g ÷ 5 g/L × 1000 = 20 mL')
  })
})

describe('stock to make', () => {
  const round50 = { sparePercent: 10, roundUpMl: 50 }
  test('with a spare, rounded up', () => {
    const { makeMl, weighG, how, weighHow } = stockToMake(120, gPerL(5), round50)
    expect([makeMl, weighG]).toEqual([150, 0.75])
    expect(how.words).toBe('stock to make = stock needed × (1 + spare ÷ 100), rounded up to whole 50 mL')
    expect(how.numbers).toBe('120 mL × (1 + 10 % ÷ 100), rounded up to whole 50 mL = 150 mL')
    expect(weighHow.words).toBe('to weigh for the stock = stock to make × strength of the stock ÷ 1000')
    expect(weighHow.numbers).toBe('150 mL × 5 g/L ÷ 1000 = 0.75 g')
    expect(stockToMake(120, percent(0.5), round50).weighHow.numbers).toBe('150 mL × 0.5 % w/v ÷ 100 = 0.75 g')
  })
  test('a whole measure stays as it is, in spite of the last digits of 1.1 × 100', () => {
    expect(stockToMake(100, gPerL(5), { sparePercent: 10, roundUpMl: 10 }).makeMl).toBe(110)
    expect(stockToMake(0, gPerL(5), round50)).toMatchObject({ makeMl: 0, weighG: 0 })
    expect(stockToMake(1, gPerL(5), { sparePercent: 0, roundUpMl: 50 }).makeMl).toBe(50)
    expect(stockToMake(50.1, gPerL(5), { sparePercent: 0, roundUpMl: 50 }).makeMl).toBe(100)
  })
})

describe('the smallest amount that a scale weighs well', () => {
  const kitchen = { stepG: 1, allowedErrorPercent: 5 }
  test('is where one step is the allowed error (common practice, no source)', () => {
    expect(smallestWeighed(kitchen).grams).toBe(20)
    expect(smallestWeighed({ stepG: 0.1, allowedErrorPercent: 2 }).grams).toBeCloseTo(5, 12)
    expect(smallestWeighed(kitchen).how.words).toBe(
      'smallest amount weighed well = step of the scale ÷ allowed error × 100',
    )
    expect(smallestWeighed(kitchen).how.numbers).toBe('1 g ÷ 5 % × 100 = 20 g')
  })
  test('below it a stock solution is asked for; at it, above it, and for nothing, none', () => {
    expect(needsStock(19.9, kitchen)).toEqual({
      needed: true,
      sentence: '19.9 g is too little for a scale with steps of 1 g: below 20 g make a stock solution and measure mL.',
      how: smallestWeighed(kitchen).how,
    })
    for (const grams of [0, 20, 21, 1000])
      expect(needsStock(grams, kitchen)).toMatchObject({ needed: false, sentence: null })
    expect(needsStock(0.3, { stepG: 0.01, allowedErrorPercent: 100 / 30 }).needed).toBe(false)
    expect(needsStock(0.001, kitchen).needed).toBe(true)
  })
})

describe('strength in the bath and weight of fibre are one thing (identity: g/L × L/kg = g/kg)', () => {
  test.each([
    [20, 20, 40],
    [5, 15, 7.5],
    [1, 20, 2],
  ])('%d g/L at %d L/kg is %d %% owf', (strength, ratio, owf) => {
    expect(owfFromBath(strength, ratio).owfPercent).toBeCloseTo(owf, 12)
  })
  test('Beech 1901: 2 lb of copperas in 10 gallons is 19.955 g/L, in imperial gallons', () => {
    expect((2 * 453.59237) / (10 * 4.54609)).toBeCloseTo(19.955, 3)
    expect(owfFromBath((2 * 453.59237) / (10 * 4.54609), 15).owfPercent).toBeCloseTo(29.93, 2)
  })
  test('its working', () => {
    // By definition: 20 g/L in the 20 L that a kilogram has are 400 g, four tenths of it.
    expect(gramsInBath(20, 20_000)).toMatchObject({ grams: 400, how: { numbers: '20 g/L × 20000 mL ÷ 1000 = 400 g' } })
    const { words, numbers } = owfFromBath(20, 20).how
    expect(words).toBe('on weight of fibre = strength of the bath × liquor ratio ÷ 10')
    expect(numbers).toBe('20 g/L × 20 L/kg ÷ 10 = 40 %')
  })
})

describe('a whole stock', () => {
  const SCALE = { stepG: 1, allowedErrorPercent: 10 }
  const plan = (grams: number, value: number, unit: 'g/L' | '% w/v' = '% w/v') =>
    planStock(grams, { value, unit }, SCALE, { sparePercent: 10, roundUpMl: 100 })

  test('is never smaller than what the scale weighs well', () => {
    const { portion, smallest, least, make } = plan(2, 5)
    // 2 g of a stock of 5 g in 100 mL are 40 mL; the scale weighs well from 10 g, which is 200 mL of it.
    expect([portion.volumeMl, smallest.grams, least.volumeMl]).toEqual([40, 10, 200])
    expect([make.makeMl, make.weighG]).toEqual([300, 15])
    expect(least.how).toMatchObject({
      words: 'least stock that this scale can make = smallest amount weighed well ÷ strength of the stock × 100',
      numbers: '10 g ÷ 5 % w/v × 100 = 200 mL',
    })
  })
  test('is as large as it is needed, with its spare', () => {
    const { portion, make } = plan(30, 20, 'g/L')
    expect(portion.volumeMl).toBe(1500)
    expect([make.makeMl, make.weighG]).toEqual([1700, 34])
  })
})

describe('what cannot be', () => {
  const scale = { stepG: 1, allowedErrorPercent: 5 }
  const one = { sparePercent: 0, roundUpMl: 1 }
  test.each([
    [() => stockVolume(-1, gPerL(5)), 'The amount wanted must be from 0 to 1000000 g, not -1 g.'],
    [() => stockVolume(1, gPerL(0)), 'The strength of the stock must be from 0.001 to 1000 g/L, not 0 g/L.'],
    [() => stockVolume(1, gPerL(1001)), 'The strength of the stock must be from 0.001 to 1000 g/L, not 1001 g/L.'],
    [() => stockVolume(1, percent(101)), 'The strength of the stock must be from 0.001 to 100 % w/v, not 101 % w/v.'],
    [() => stockToMake(-1, gPerL(5), one), 'The stock needed must be from 0 to 1000000000 mL, not -1 mL.'],
    [() => stockToMake(1, gPerL(0), one), 'The strength of the stock must be'],
    [() => stockToMake(1, gPerL(5), { ...one, sparePercent: 101 }), 'The spare must be from 0 to 100 %, not 101 %.'],
    [
      () => stockToMake(1, gPerL(5), { ...one, roundUpMl: 0 }),
      'The round measure must be from 1 to 10000 mL, not 0 mL.',
    ],
    [() => smallestWeighed({ ...scale, stepG: 0 }), 'The step of the scale must be from 0.0001 to 1000 g, not 0 g.'],
    [
      () => smallestWeighed({ ...scale, allowedErrorPercent: 0 }),
      'The allowed error must be from 0.1 to 50 %, not 0 %.',
    ],
    [() => needsStock(Number.NaN, scale), 'The amount wanted must be from 0 to 1000000 g.'],
    [() => gramsInBath(1001, 5), 'The strength of the bath must be from 0 to 1000 g/L, not 1001 g/L.'],
    [() => gramsInBath(5, -1), 'The bath must be from 0 to 1000000000 mL, not -1 mL.'],
    [() => owfFromBath(-1, 20), 'The strength of the bath must be from 0 to 1000 g/L, not -1 g/L.'],
    [() => owfFromBath(1, 0), 'The liquor ratio must be from 1 to 200 L/kg, not 0 L/kg.'],
  ])('refusal %#', (reckon, sentence) => {
    expect(reckon).toThrow(Refusal)
    expect(reckon).toThrow(expect.objectContaining({ code: 'wrong' }))
    expect(reckon).toThrow(sentence)
  })
})

describe('for any accepted input', () => {
  const grams = fc.double({ min: 0.01, max: 1e5, noNaN: true })
  const strength = fc.oneof(
    fc.double({ min: 0.1, max: 1000, noNaN: true }).map(gPerL),
    fc.double({ min: 0.1, max: 100, noNaN: true }).map(percent),
  )
  test('the volume holds the grams; enough stock is made; the printed numbers work out', () => {
    fc.assert(
      fc.property(grams, strength, fc.integer({ min: 1, max: 500 }), (weight, stock, roundUpMl) => {
        const { volumeMl, how } = stockVolume(weight, stock)
        expect((volumeMl / 1000) * gramsPerLitre(stock)).toBeCloseTo(weight, 6)
        const made = stockToMake(volumeMl, stock, { sparePercent: 5, roundUpMl })
        expect(made.makeMl).toBeGreaterThanOrEqual(volumeMl * 1.05 * (1 - 1e-6))
        expect(made.makeMl - volumeMl * 1.05).toBeLessThanOrEqual(roundUpMl)
        expect(made.weighG / made.makeMl).toBeCloseTo(gramsPerLitre(stock) / 1000, 9)
        for (const [value, shown] of [
          [volumeMl, how],
          [made.weighG, made.weighHow],
        ] as const) {
          const { left, right } = workedAgain(shown)
          expect([left / value, right / value]).toEqual([expect.closeTo(1, 3), expect.closeTo(1, 3)])
        }
      }),
      { numRuns: 100 },
    )
  })
})
