import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  readVolume,
  readWeight,
  sayFigure,
  sayLength,
  sayTemperature,
  sayVolume,
  sayWeight,
  sayWeightToGram,
  type Units,
} from '../../src/domain/quantity.js'

const METRIC: Units = { weight: 'metric', volume: 'metric' }
const US: Units = { weight: 'pounds', volume: 'us' }
const IMPERIAL: Units = { weight: 'pounds', volume: 'imperial' }

test.each([
  [0, '0 g', '0 g'],
  [0.1234, '0.123 g', '0.123 g'],
  [12.345, '12.3 g', '12.3 g'],
  [28.3, '28.3 g', '28.3 g'],
  [28.349523125, '28.3 g', '1 oz'],
  [150, '150 g', '5¼ oz'],
  [226.796185, '227 g', '8 oz'],
  [453.59237, '454 g', '1 lb'],
  [538.640939375, '539 g', '1 lb 3 oz'],
  [999.4, '999 g', '2 lb 3¼ oz'],
  [999.6, '1 kg', '2 lb 3¼ oz'],
  [907, '907 g', '2 lb'],
  [1234, '1.234 kg', '2 lb 11½ oz'],
  [45_000, '45 kg', '99 lb 3⅜ oz'],
  [1_234_567, '1234.567 kg', '2721 lb 12⅛ oz'],
  [-538.640939375, '−539 g', '−1 lb 3 oz'],
])('%d g', (grams, metric, pounds) => {
  expect(sayWeight(grams, METRIC)).toBe(metric)
  expect(sayWeight(grams, US)).toBe(pounds)
})

test('every eighth of an ounce', () => {
  const said = [8, 9, 10, 11, 12, 13, 14, 15].map(eighths => sayWeight((eighths / 8) * 28.349523125, US))
  expect(said).toEqual(['1 oz', '1⅛ oz', '1¼ oz', '1⅜ oz', '1½ oz', '1⅝ oz', '1¾ oz', '1⅞ oz'])
  expect(sayWeight(453.59237 + 28.349523125 / 2, US)).toBe('1 lb ½ oz')
})

test.each([
  [0, '0 mL', '0 mL', '0 mL'],
  [2.4, '2.4 mL', '2.4 mL', '2.4 mL'],
  [2.47, '2.47 mL', '½ tsp', '2.47 mL'],
  [4.92892159375, '4.93 mL', '1 tsp', '4.93 mL'],
  [12.345, '12.3 mL', '2½ tsp', '12.3 mL'],
  [14.7, '14.7 mL', '1 tbsp', '14.7 mL'],
  [17.3, '17.3 mL', '1 tbsp ½ tsp', '17.3 mL'],
  [28.4130625, '28.4 mL', '1 tbsp 2¾ tsp', '1 fl oz'],
  [59.2, '59.2 mL', '4 tbsp', '2⅛ fl oz'],
  [150, '150 mL', '10 tbsp', '5¼ fl oz'],
  [235, '235 mL', '1 cup', '8¼ fl oz'],
  [354.88, '355 mL', '1 cup 8 tbsp', '12½ fl oz'],
  [473.176473, '473 mL', '2 cups', '16⅝ fl oz'],
  [568.26125, '568 mL', '2 cups 6½ tbsp', '1 pt'],
  [999.6, '1 L', '1 qt ¼ cup', '1 pt 15 fl oz'],
  [1234, '1.23 L', '1 qt 1¼ cups', '2 pt 3½ fl oz'],
  [1183, '1.18 L', '1 qt 1 cup', '2 pt 1½ fl oz'],
  [3785.411784, '3.79 L', '1 gal', '6 pt 13 fl oz'],
  [4546.09, '4.55 L', '1 gal ¾ qt', '1 gal'],
  [45_000, '45 L', '11 gal 3½ qt', '9 gal 7¼ pt'],
  [-473.176473, '−473 mL', '−2 cups', '−16⅝ fl oz'],
])('%d mL', (millilitres, metric, us, imperial) => {
  expect(sayVolume(millilitres, METRIC)).toBe(metric)
  expect(sayVolume(millilitres, US)).toBe(us)
  expect(sayVolume(millilitres, IMPERIAL)).toBe(imperial)
})

test.each([
  [0, '0 mm', '0 mm'],
  [0.1, '0.1 mm', '0.1 mm'],
  [0.2, '0.2 mm', '0.2 mm (about 1/64 in)'],
  [0.8, '0.8 mm', '0.8 mm (about 1/32 in)'],
  [25.4, '25.4 mm', '25.4 mm (about 1 in)'],
  [31.75, '31.8 mm', '31.8 mm (about 1 1/4 in)'],
  [1200, '1.2 m', '1.2 m (about 47 1/4 in)'],
  [-0.8, '−0.8 mm', '−0.8 mm (about 1/32 in)'],
])('%d mm', (millimetres, metric, pounds) => {
  expect(sayLength(millimetres, METRIC)).toBe(metric)
  expect(sayLength(millimetres, US)).toBe(pounds)
})

test.each([
  [82.2222222222, '82 °C', '180 °F'],
  [100, '100 °C', '212 °F'],
  [-0.2, '0 °C', '32 °F'],
  [-5, '−5 °C', '23 °F'],
  [-20, '−20 °C', '−4 °F'],
])('%d °C', (temperatureC, celsius, fahrenheit) => {
  expect(sayTemperature(temperatureC, IMPERIAL)).toBe(celsius)
  expect(sayTemperature(temperatureC, US)).toBe(fahrenheit)
})

test.each([
  [1234.5678, 3, '1235'],
  [1234.5678, 6, '1234.57'],
  [0.000012345, 3, '0.0000123'],
  [1e21, 3, '1000000000000000000000'],
  [-0, 3, '0'],
  [-1e-20, 3, '0'],
  [12.5, 3, '12.5'],
  [1000, 3, '1000'],
  [-1234.5, 3, '-1234'],
])('%d to %d figures', (figure, digits, said) => expect(sayFigure(figure, digits)).toBe(said))

describe('what is never said', () => {
  test.each([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])('%d throws', figure => {
    for (const units of [METRIC, US, IMPERIAL]) {
      expect(() => sayWeight(figure, units)).toThrow('must be finite')
      expect(() => sayVolume(figure, units)).toThrow('must be finite')
      expect(() => sayLength(figure, units)).toThrow('must be finite')
      expect(() => sayTemperature(figure, units)).toThrow('must be finite')
    }
    expect(() => sayFigure(figure)).toThrow('must be finite')
  })
})

describe('what is said can be read again', () => {
  const amount = fc.double({ min: 0.001, max: 900_000, noNaN: true })
  test.each([METRIC, US, IMPERIAL])('in %j', units => {
    fc.assert(
      fc.property(amount, figure => {
        const weight = readWeight(sayWeight(figure, units), units, { label: 'weight' })
        const volume = readVolume(sayVolume(figure, units), units, { label: 'volume' })
        if (!weight.ok || !volume.ok) throw new Error('not readable')
        expect(Math.abs(weight.value.grams - figure)).toBeLessThanOrEqual(Math.max(figure * 0.00501, 1.78))
        expect(Math.abs(volume.value.millilitres - figure) / figure).toBeLessThanOrEqual(0.126)
      }),
      { numRuns: 150 },
    )
  })
})

test.each([
  [12 * 147, 'metric', '1764 g'],
  [1758.98, 'metric', '1759 g'],
  [999.6, 'metric', '1000 g'],
  [538.6, 'metric', '539 g'],
  [1764, 'pounds', '3 lb 14¼ oz'],
] as const)('a sum of %f g (%s) is said to the gram: %s', (grams, weight, words) => {
  expect(sayWeightToGram(grams, { weight })).toBe(words)
})
