import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { heating, liftedPot, mixHotAndCold } from '../../src/domain/bath-heat.js'
import { Refusal } from '../../src/domain/refusal.js'
import { workedAgain } from './working-numbers.js'

const BURNER = { powerW: 2000, efficiencyPercent: 50 }

describe('hot and cold water', () => {
  test('half and half of 60 and 20 °C is 40 °C', () => {
    expect(mixHotAndCold(10_000, 60, 20, 40)).toMatchObject({ hotMl: 5000, coldMl: 5000 })
  })
  test('a quarter of boiling water in three quarters of 20 °C is 40 °C, with its working', () => {
    const { hotMl, coldMl, hotHow, coldHow } = mixHotAndCold(8000, 100, 20, 40)
    expect([hotMl, coldMl]).toEqual([2000, 6000])
    expect(hotHow.numbers).toBe('8000 mL × (40 °C − 20 °C) ÷ (100 °C − 20 °C) = 2000 mL')
    expect(coldHow.numbers).toBe('8000 mL × (100 °C − 40 °C) ÷ (100 °C − 20 °C) = 6000 mL')
    expect(hotHow.words).toBe(
      'hot water = water wanted × (temperature wanted − temperature of the cold water) ÷ (temperature of the hot water − temperature of the cold water)',
    )
    expect(coldHow.words).toMatch(/^cold water = water wanted × \(temperature of the hot water − temperature wanted\)/)
  })
  test('all of one kind at the ends', () => {
    expect(mixHotAndCold(100, 60, 20, 60)).toMatchObject({ hotMl: 100, coldMl: 0 })
    expect(mixHotAndCold(100, 60, 20, 20)).toMatchObject({ hotMl: 0, coldMl: 100 })
    expect(mixHotAndCold(100, 100, 0, 50)).toMatchObject({ hotMl: 50, coldMl: 50 })
  })
})

describe('heating (NIST SP 811, B.8: the thermochemical calorie is 4.184 J exactly)', () => {
  test('ten litres from 20 to 80 °C on two kilowatts, half of which reach the water', () => {
    const { energyKj, minutes, energyHow, how } = heating(10_000, 20, 80, BURNER)
    expect(energyKj).toBeCloseTo(2510.4, 9)
    expect(minutes).toBeCloseTo(41.84, 9)
    expect(energyHow.words).toBe('energy = volume ÷ 1000 × heat of water × (temperature wanted − temperature now)')
    expect(energyHow.numbers).toBe('10000 mL ÷ 1000 × 4.184 kJ/kg °C × (80 °C − 20 °C) = 2510.4 kJ')
    expect(energyHow.inputs[1]?.provenance).toEqual({
      kind: 'standard',
      source: 'NIST SP 811, B.8: thermochemical calorie',
    })
    expect(how.words).toBe('time to heat = energy × 1000 ÷ power of the burner ÷ (efficiency of the burner ÷ 100) ÷ 60')
    expect(how.numbers).toBe('2510.4 kJ × 1000 ÷ 2000 W ÷ (50 % ÷ 100) ÷ 60 = 41.84 min')
  })
  test('a litre warmed by one degree in a kilowatt’s 4.184 seconds', () => {
    expect(heating(1000, 20, 21, { powerW: 1000, efficiencyPercent: 100 }).minutes * 60).toBeCloseTo(4.184, 9)
  })
  test('no time when it is as hot already', () => {
    expect(heating(1000, 80, 80, BURNER)).toMatchObject({ energyKj: 0, minutes: 0 })
    expect(heating(1000, 81, 80, BURNER)).toMatchObject({ energyKj: 0, minutes: 0 })
    expect(heating(1000, 81, 80, BURNER).energyHow.words).toMatch(
      /^energy = nothing, as temperature now is above temperature wanted/,
    )
    expect(heating(1000, 80, 80, BURNER).energyHow.words).toMatch(/^energy = volume/)
  })
})

describe('lifting', () => {
  const filled = { potG: 4000, waterMl: 15_000, dryWeightG: 700 }
  test('pot, water and fibre together', () => {
    expect(liftedPot(filled, 25_000)).toMatchObject({ weightG: 19_700, caution: null })
    expect(liftedPot(filled, 25_000).how.words).toBe(
      'filled pot = empty pot + water, 1 g to the mL + dry weight of the fibre',
    )
    expect(liftedPot(filled, 25_000).how.numbers).toBe('4000 g + 15000 mL + 700 g = 19700 g')
  })
  test('a caution above what the workshop lets one person lift, not at it', () => {
    expect(liftedPot(filled, 19_700).caution).toBeNull()
    expect(liftedPot(filled, 15_500).caution).toBe(
      'Filled, this pot weighs about 19.7 kg, more than the 15.5 kg set for one person: lift it with two, or bail it out first.',
    )
  })
})

describe('what cannot be', () => {
  const pot = { potG: 1, waterMl: 1, dryWeightG: 1 }
  test.each([
    [() => mixHotAndCold(-1, 60, 20, 40), 'The water wanted must be from 0 to 10000000 mL, not -1 mL.'],
    [() => mixHotAndCold(1, 101, 20, 40), 'The temperature of the hot water must be from 0 to 100 °C, not 101 °C.'],
    [() => mixHotAndCold(1, 60, -1, 40), 'The temperature of the cold water must be from 0 to 100 °C, not -1 °C.'],
    [() => mixHotAndCold(1, 60, 20, Number.NaN), 'The temperature wanted must be from 0 to 100 °C.'],
    [() => mixHotAndCold(1, 20, 20, 20), 'The hot water must be warmer than the cold water.'],
    [() => mixHotAndCold(1, 20, 60, 40), 'The hot water must be warmer than the cold water.'],
    [() => mixHotAndCold(1, 60, 20, 61), 'Water of 20 and 60 °C cannot be mixed to 61 °C.'],
    [() => mixHotAndCold(1, 60, 20, 19), 'Water of 20 and 60 °C cannot be mixed to 19 °C.'],
    [() => heating(-1, 20, 80, BURNER), 'The volume must be from 0 to 10000000 mL, not -1 mL.'],
    [() => heating(1, -1, 80, BURNER), 'The temperature now must be from 0 to 100 °C, not -1 °C.'],
    [() => heating(1, 20, 101, BURNER), 'The temperature wanted must be from 0 to 100 °C, not 101 °C.'],
    [
      () => heating(1, 20, 80, { ...BURNER, powerW: 0 }),
      'The power of the burner must be from 50 to 100000 W, not 0 W.',
    ],
    [
      () => heating(1, 20, 80, { ...BURNER, efficiencyPercent: 0 }),
      'The efficiency of the burner must be from 5 to 100 %, not 0 %.',
    ],
    [() => liftedPot({ ...pot, potG: -1 }, 20_000), 'The empty pot must be from 0 to 1000000 g, not -1 g.'],
    [() => liftedPot({ ...pot, waterMl: -1 }, 20_000), 'The water, 1 g to the mL must be from 0 to'],
    [
      () => liftedPot({ ...pot, dryWeightG: -1 }, 20_000),
      'The dry weight of the fibre must be from 0 to 1000000 g, not -1 g.',
    ],
    [() => liftedPot(pot, 999), 'The weight for one person must be from 1000 to 100000 g, not 999 g.'],
  ])('refusal %#', (reckon, sentence) => {
    expect(reckon).toThrow(Refusal)
    expect(reckon).toThrow(expect.objectContaining({ code: 'wrong' }))
    expect(reckon).toThrow(sentence)
  })
})

describe('for any accepted input', () => {
  const degrees = fc.nat({ max: 10_000 }).map(hundredths => hundredths / 100)
  const volume = fc.double({ min: 100, max: 100_000, noNaN: true })
  test('hot and cold add up to the water wanted, and their heat to the temperature wanted', () => {
    fc.assert(
      fc.property(volume, fc.uniqueArray(degrees, { minLength: 3, maxLength: 3 }), (total, three) => {
        const [cold = 0, wanted = 0, hot = 0] = three.toSorted((a, b) => a - b)
        const { hotMl, coldMl } = mixHotAndCold(total, hot, cold, wanted)
        expect(hotMl >= 0 && coldMl >= 0).toBe(true)
        expect(hotMl + coldMl).toBeCloseTo(total, 4)
        expect((hotMl * hot + coldMl * cold) / total).toBeCloseTo(wanted, 6)
      }),
      { numRuns: 100 },
    )
  })
  test('heating in two goes takes as long as in one, and the printed numbers work out', () => {
    fc.assert(
      fc.property(volume, fc.uniqueArray(degrees, { minLength: 3, maxLength: 3 }), (millilitres, three) => {
        const [low = 0, middle = 0, high = 0] = three.toSorted((a, b) => a - b)
        const whole = heating(millilitres, low, high, BURNER)
        const parts =
          heating(millilitres, low, middle, BURNER).minutes + heating(millilitres, middle, high, BURNER).minutes
        expect(parts).toBeCloseTo(whole.minutes, 6)
        if (high - low < 1) return
        expect(workedAgain(whole.energyHow).left / whole.energyKj).toBeCloseTo(1, 2)
        expect(workedAgain(whole.how).left / whole.minutes).toBeCloseTo(1, 3)
      }),
      { numRuns: 100 },
    )
  })
})
