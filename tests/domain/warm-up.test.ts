import { describe, expect, test } from 'vitest'
import { heating } from '../../src/domain/bath-heat.js'
import { SIMMER_C, TAP_C, warmed, warmUpMinutes } from '../../src/domain/warm-up.js'

const pot = (usableMl: number, hotAfterMinutes: number | null) => ({ usableMl, hotAfterMinutes })

describe('the time that a bath takes to get hot', () => {
  test('is that of a full pot, by its share of water and of warmth', () => {
    expect(warmUpMinutes(15_000, SIMMER_C, pot(15_000, 60))).toBe(60)
    expect(warmUpMinutes(7500, SIMMER_C, pot(15_000, 60))).toBe(30)
    expect(warmUpMinutes(15_000, 65, pot(15_000, 60))).toBe(40)
    expect(warmUpMinutes(15_000, TAP_C, pot(15_000, 60))).toBe(0)
    expect(warmUpMinutes(15_000, 4, pot(15_000, 60))).toBe(0)
    expect(warmUpMinutes(15_000, 82, pot(15_000, null))).toBe(0)
  })

  // The heat of water of NIST SP 811, B.8, on a burner of 2 kW of which six tenths arrive.
  test.each([
    [15_000, 10_000, 82],
    [30_000, 4300, 60],
    [9000, 9000, 71],
  ])('agrees with the energy that it takes (pot of %i mL, %i mL to %i °C)', (usableMl, bathMl, toC) => {
    const burner = { powerW: 2000, efficiencyPercent: 60 }
    const full = heating(usableMl, TAP_C, SIMMER_C, burner).minutes
    expect(warmUpMinutes(bathMl, toC, pot(usableMl, full))).toBe(Math.ceil(heating(bathMl, TAP_C, toC, burner).minutes))
  })
})

describe('a step with the time in it that its bath takes to get hot', () => {
  const step = {
    heat: true,
    temperatureC: SIMMER_C,
    minutes: 60,
    atLeastMinutes: 45,
    atMostMinutes: 90 as number | null,
  }

  test('is as much longer, in the slowest of the pots; so are its limits', () => {
    expect(warmed(step, 6000, [pot(12_000, 40), pot(6000, 30), pot(9000, null)])).toEqual({
      ...step,
      ...{ minutes: 90, atLeastMinutes: 75, atMostMinutes: 120, warmUpMinutes: 30 },
    })
    expect(warmed({ ...step, atMostMinutes: null }, 6000, [pot(6000, 30)]).atMostMinutes).toBeNull()
  })

  test.each([
    ['without heat', { heat: false }],
    ['of which nobody knows how warm it is', { temperatureC: null }],
    ['that lasts until it is done', { minutes: null }],
  ])('stays as it is %s', (_, more) => {
    expect(warmed({ ...step, ...more }, 6000, [pot(6000, 30)])).toEqual({ ...step, ...more, warmUpMinutes: 0 })
  })

  test('stays as it is while nobody has said how any pot heats', () => {
    expect(warmed(step, 6000, [])).toEqual({ ...step, warmUpMinutes: 0 })
  })
})
