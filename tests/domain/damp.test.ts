import { describe, expect, test } from 'vitest'
import { type Damp, dampWeightWords, dryOut, sayDamp } from '../../src/domain/damp.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { woodMoisture } from '../../src/domain/wood-moisture.js'

const fibreOf = (id: string) => {
  const fibre = firstCatalogue.fibres.find(one => one.id === id)
  if (!fibre) throw new Error(`no fibre ${id}`)
  return fibre
}
const measured = (percent: number, of: 'oven-dry weight' | 'damp weight' = 'oven-dry weight'): Damp => ({
  how: 'moisture',
  percent,
  of,
})
const rested: Damp = { how: 'air', temperatureC: 18, temperatureTyped: '18 °C', relativeHumidityPercent: 70 }

describe('the dry weight of damp fibre', () => {
  test('without any water is what is left of it (Wood Handbook 2021, Eq. 4-1 and 4-2)', () => {
    expect(dryOut(180, measured(22), 'oven-dry', fibreOf('jute')).dryWeightG).toBeCloseTo(180 / 1.22, 9)
    expect(dryOut(180, measured(22, 'damp weight'), 'oven-dry', fibreOf('jute')).dryWeightG).toBeCloseTo(180 * 0.78, 9)
    expect(dryOut(180, measured(22), 'oven-dry', fibreOf('jute')).basisWords).toBe(
      'oven-dry weight: the fibre without any water',
    )
  })

  test('conditioned holds the regain of the fibre (jute 13.75 %, ASTM D1909-13)', () => {
    const jute = dryOut(122, measured(22), 'conditioned', fibreOf('jute'))
    expect(jute.dryWeightG).toBeCloseTo(113.75, 9)
    expect(jute.notes).toEqual([])
    expect(jute.basisWords).toMatch(/^conditioned weight, at a regain of 13\.75 % \(.*ASTM D1909-13/)
    expect(jute).toMatchObject({ dampG: 122, words: '22 % moisture of the dry weight', moistureHow: null })
  })

  test('of bark, whose regain is not known, holds that of wood in standard air (20 °C and 65 %, ISO 139), and says so', () => {
    const bark = dryOut(122, measured(22), 'conditioned', fibreOf('red-cedar-inner-bark'))
    const { percent } = woodMoisture({ temperatureC: 20, relativeHumidityPercent: 65 })
    // Wood Handbook 2010, Table 4-2: 12.0 % at 70 °F and 65 %.
    expect(percent).toBeCloseTo(12, 0)
    expect(bark.dryWeightG).toBeCloseTo(100 + percent, 9)
    expect(bark.notes).toEqual([expect.stringContaining('The regain of red cedar inner bark is not known')])
  })

  test('that rested in the standard air itself is dry as it is, on the stand-in', () => {
    const air: Damp = { ...rested, temperatureC: 20, relativeHumidityPercent: 65 }
    expect(dryOut(500, air, 'conditioned', fibreOf('raffia')).dryWeightG).toBeCloseTo(500, 9)
  })

  test('that rested in air says that wood stands in for bark', () => {
    const dried = dryOut(500, rested, 'oven-dry', fibreOf('raffia'))
    expect(dried.notes).toEqual([expect.stringContaining('standing in for bark')])
    expect(dried.moistureHow?.words).toContain('moisture of wood in that air')
  })
})

describe('in words', () => {
  test('it is said of which weight the per cent are', () => {
    expect(sayDamp(measured(22.5))).toBe('22.5 % moisture of the dry weight')
    expect(sayDamp(measured(22, 'damp weight'))).toBe('22 % moisture of the damp weight')
    expect(sayDamp({ ...rested, temperatureTyped: '64 °F' })).toBe('rested in air of 64 °F and 70 % humidity')
  })
  test('a weight stays as it was typed', () => {
    expect(dampWeightWords('1 lb 3 oz', measured(22))).toBe('1 lb 3 oz damp, 22 % moisture of the dry weight')
    expect(dampWeightWords('180', measured(22))).toBe('180 g damp, 22 % moisture of the dry weight')
  })
})
