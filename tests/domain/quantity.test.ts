import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  readCount,
  readLength,
  readTemperature,
  readVolume,
  readWeight,
  type Units,
} from '../../src/domain/quantity.js'
import type { Read } from '../../src/domain/refusal.js'

const METRIC: Units = { weight: 'metric', volume: 'metric' }
const US: Units = { weight: 'pounds', volume: 'us' }
const IMPERIAL: Units = { weight: 'pounds', volume: 'imperial' }
const BUNDLE = { label: 'dry weight of bundle 2' }
const WATER = { label: 'water' }
const SPLIT = { label: 'split thickness' }
const BATH = { label: 'bath temperature' }
const LB = 453.59237

const value = <T>(result: Read<T>): T => {
  if (!result.ok) throw new Error(result.sentence)
  return result.value
}
const sentence = <T>(result: Read<T>): string => {
  if (result.ok) throw new Error(`read ${JSON.stringify(result.value)}`)
  return result.sentence
}
const grams = (typed: string, units = METRIC): number => value(readWeight(typed, units, BUNDLE)).grams
const mL = (typed: string, units: Units): number => value(readVolume(typed, units, WATER)).millilitres
const mm = (typed: string): number => value(readLength(typed, METRIC, SPLIT)).millimetres
const degrees = (typed: string): number => value(readTemperature(typed, METRIC, BATH)).temperatureC
const weightQuestion = (typed: string, units = METRIC): string => sentence(readWeight(typed, units, BUNDLE))

describe('exact definitions (NIST SP 811 App. B.8, Handbook 44 App. C)', () => {
  test.each([
    ['1 lb', 453.59237],
    ['1 oz', 28.349523125],
    ['7000 grains', 453.59237],
    ['1 mg', 0.001],
    ['1 kg', 1000],
  ])('%s in grams', (typed, expected) => expect(grams(typed)).toBeCloseTo(expected, 10))

  test.each([
    ['1 gal', 3785.411784],
    ['1 qt', 946.352946],
    ['1 pt', 473.176473],
    ['1 cup', 236.5882365],
    ['1 fl oz', 29.5735295625],
    ['1 tbsp', 14.78676478125],
    ['1 tsp', 4.92892159375],
  ])('%s of US measure in mL', (typed, expected) => {
    expect(mL(typed, US)).toBeCloseTo(expected, 9)
    expect(mL(typed.replace(' ', ' us '), METRIC)).toBeCloseTo(expected, 9)
  })

  test.each([
    ['1 gal', 4546.09],
    ['1 qt', 1136.5225],
    ['1 pt', 568.26125],
    ['1 cup', 284.130625],
    ['1 fl oz', 28.4130625],
  ])('%s of imperial measure in mL', (typed, expected) => {
    expect(mL(typed, IMPERIAL)).toBeCloseTo(expected, 9)
    expect(mL(typed.replace(' ', ' imperial '), US)).toBeCloseTo(expected, 9)
  })

  test.each([
    ['212 °F', 100],
    ['32 °F', 0],
    ['100 °F', 37.7777777778],
    ['190 F', 87.7777777778],
    ['100 °C', 100],
  ])('%s in °C', (typed, expected) => expect(degrees(typed)).toBeCloseTo(expected, 9))

  test.each([
    ['1 in', 25.4],
    ['1 ft', 304.8],
    ['1 cm', 10],
    ['1 m', 1000],
    ['1/32 in', 0.79375],
  ])('%s in mm', (typed, expected) => expect(mm(typed)).toBeCloseTo(expected, 12))

  test('metric measures and spoons (spoons: common practice, no source)', () => {
    const read = ['1 cl', '1 dL', '1 l', '1 cc', '1 metric tsp', '1 metric tbsp', '1 metric cup'].map(t => mL(t, US))
    expect(read).toEqual([10, 100, 1000, 1, 5, 15, 250])
  })
})

test('what was typed is kept, without the spaces around it', () => {
  expect(value(readWeight(' 1½ lb ', US, BUNDLE)).typed).toBe('1½ lb')
  expect(value(readVolume(' 2 cups ', US, WATER)).typed).toBe('2 cups')
  expect(value(readLength(' 0,8 mm ', US, SPLIT)).typed).toBe('0,8 mm')
  expect(value(readTemperature(' 82C ', US, BATH)).typed).toBe('82C')
})

describe('every way of writing a unit', () => {
  const words = (list: string): string[] => list.split(', ')
  test.each([
    ['mg, milligram, milligrams', 0.001],
    ['g, gm, gms, gram, grams, gramme, grammes', 1],
    ['kg, kgs, kilo, kilos, kilogram, kilograms, kilogramme, kilogrammes', 1000],
    ['grain, grains', 0.06479891],
    ['oz, ozs, ounce, ounces', 28.349523125],
    ['lb, lbs, pound, pounds', 453.59237],
  ])('%s', (list, each) => {
    for (const word of words(list)) expect(grams(`2 ${word}`)).toBeCloseTo(2 * each, 9)
  })

  test.each([
    ['ml, mls, cc, millilitre, millilitres, milliliter, milliliters', 1],
    ['cl, centilitre, centilitres, centiliter, centiliters', 10],
    ['dl, decilitre, decilitres, deciliter, deciliters', 100],
    ['l, litre, litres, liter, liters', 1000],
    ['tsp, tsps, teaspoon, teaspoons, teaspoonful, teaspoonfuls', 4.92892159375],
    ['tbsp, tbsps, tablespoon, tablespoons, tablespoonful, tablespoonfuls', 14.78676478125],
    ['fl oz, floz, fl ozs, fluid ounce, fluid ounces, fluid oz', 29.5735295625],
    ['cup, cups, cupful, cupfuls', 236.5882365],
    ['pt, pts, pint, pints', 473.176473],
    ['qt, qts, quart, quarts', 946.352946],
    ['gal, gals, gallon, gallons', 3785.411784],
  ])('%s', (list, each) => {
    for (const word of words(list)) expect(mL(`2 ${word}`, US)).toBeCloseTo(2 * each, 9)
  })

  test.each([
    ['mm, millimetre, millimetres, millimeter, millimeters', 1],
    ['cm, centimetre, centimetres, centimeter, centimeters', 10],
    ['m, metre, metres, meter, meters', 1000],
    ['in, ins, inch, inches, "', 25.4],
    ["ft, foot, feet, '", 304.8],
  ])('%s', (list, each) => {
    for (const word of words(list)) expect(mm(`2 ${word}`)).toBeCloseTo(2 * each, 9)
  })

  test('temperatures', () => {
    const celsius = 'c, °c, ° c, deg c, degc, degree c, degrees c, celsius, degrees celsius, centigrade'
    const fahrenheit = 'f, °f, ° f, deg f, degf, degree f, degrees f, fahrenheit, degrees fahrenheit'
    for (const word of words(celsius)) expect(degrees(`86${word}`)).toBe(86)
    for (const word of words(fahrenheit)) expect(degrees(`86${word}`)).toBeCloseTo(30, 12)
  })
})

describe('old handbooks, to the figures they print', () => {
  test('Spon, Workshop Receipts, 2nd series: 87 pints to 11 lb is 10 to 1 in imperial pints only', () => {
    expect(mL('87 pints', IMPERIAL) / grams('11 lb')).toBeCloseTo(9.909, 3)
    expect(mL('44 quarts', IMPERIAL) / grams('11 lb')).toBeCloseTo(10.022, 3)
    expect(mL('87 pints', US) / grams('11 lb')).toBeLessThan(8.3)
  })
  test('Beech 1901, p. 108: a gallon and a half to the pound is fifteen times the weight, in imperial gallons only', () => {
    expect(mL('1-1/2 gallons', IMPERIAL) / grams('1 lb')).toBeCloseTo(15.034, 3)
    expect(mL('1-1/2 gallons', US) / grams('1 lb')).toBeCloseTo(12.518, 3)
  })
  test('Mairet 1916, glossary: about 15½ grains to the gram, 2 lb 3.2 oz to the kilo, nearly 1¾ pints to the litre', () => {
    expect(grams('15 1/2 grains')).toBeCloseTo(1, 1)
    expect(grams('2 lbs. 3.2 oz.') / 1000).toBeCloseTo(1, 2)
    expect(mL('1-3/4 pints', IMPERIAL) / 1000).toBeCloseTo(1, 1)
  })
})

describe('weights as people write them', () => {
  test.each([
    ['1 lb 3 oz', LB * (1 + 3 / 16)],
    ['1lb3oz', LB * (1 + 3 / 16)],
    ['1 LB, 3 Oz.', LB * (1 + 3 / 16)],
    ['1 lb,3 oz', LB * (1 + 3 / 16)],
    ['1 lb and 3 oz', LB * (1 + 3 / 16)],
    ['1 lb + 3 oz', LB * (1 + 3 / 16)],
    ['1 pound & 3½ ounces', LB * (1 + 3.5 / 16)],
    ['1½ lb', LB * 1.5],
    ['½ lb', LB * 0.5],
    ['½lb', LB * 0.5],
    ['1 1/2 lb', LB * 1.5],
    ['1-1/2 lb', LB * 1.5],
    ['1 - 1/2 lb', LB * 1.5],
    ['1 1 / 2 lb', LB * 1.5],
    ['3/4 lb', LB * 0.75],
    ['12 11/16 oz', (LB / 16) * 12.6875],
    ['12 3/16 oz', (LB / 16) * 12.1875],
    ['11/16 lb', (LB / 16) * 11],
    ['5/4 lb', LB * 1.25],
    ['2-lb', LB * 2],
    ['540g', 540],
    ['540 g', 540],
    ['  540\u00a0g  ', 540],
    ['540\u2009grammes', 540],
    ['540\u200b g', 540],
    ['５４０ ｇ', 540],
    ['540 G.', 540],
    ['540 (g)', 540],
    ['1,5 kg', 1500],
    ['1.5 kg', 1500],
    ['.5 kg', 500],
    ['1 kg .5 g', 1000.5],
    ['0,125 kg', 125],
    ['0.125 kg', 125],
    ['1.125 kg', 1125],
    ['12,25 g', 12.25],
    ['12,2500 g', 12.25],
    ['1,234.5 g', 1234.5],
    ['1.234,5 g', 1234.5],
    ['12,345.5 g', 12345.5],
    ['1 kg 200 g', 1200],
    ['2 kilos', 2000],
    ['0 g', 0],
    ['1/32 oz', LB / 512],
  ])('“%s”', (typed, expected) => {
    const weight = value(readWeight(typed, METRIC, BUNDLE))
    expect(weight.grams).toBeCloseTo(expected, 9)
    expect(weight.typed).toBe(typed.trim())
  })

  test('groups of thousands that cannot be decimals', () => {
    const wide = { ...BUNDLE, max: 1e12 }
    expect(value(readWeight('1,234,567 g', METRIC, wide)).grams).toBe(1234567)
    expect(value(readWeight('1.234.567 g', METRIC, wide)).grams).toBe(1234567)
    expect(value(readWeight('12,345,678 g', METRIC, wide)).grams).toBe(12345678)
    expect(value(readWeight('12.345.678 g', METRIC, wide)).grams).toBe(12345678)
    expect(value(readWeight('12,345,678.25 g', METRIC, wide)).grams).toBe(12345678.25)
    expect(value(readWeight('12.345.678,25 g', METRIC, wide)).grams).toBe(12345678.25)
    for (const typed of [
      '1234,567.5',
      '1234.567,5',
      '1,234,56',
      '1.234.56',
      '1,234,567,8',
      '1.234.567.8',
      '0,234.5',
      '1,234.5,6',
      '1.234,5.6',
      '1234,567,890',
      '1234.567.890',
      '0,123,456',
    ])
      expect(sentence(readWeight(`${typed} g`, METRIC, wide))).toContain('cannot be read')
  })

  test('a bare number is a question, unless the field says its unit', () => {
    expect(weightQuestion('540')).toBe(
      'Is that 540 g, 540 oz or 540 lb? Write the unit after the dry weight of bundle 2.',
    )
    expect(value(readWeight('540', METRIC, { ...BUNDLE, defaultUnit: 'g' })).grams).toBe(540)
    expect(value(readWeight('2½', METRIC, { ...BUNDLE, defaultUnit: 'oz' })).grams).toBeCloseTo(70.8738078125, 9)
    expect(value(readWeight('2 lb', METRIC, { ...BUNDLE, defaultUnit: 'g' })).grams).toBeCloseTo(2 * LB, 9)
    expect(sentence(readWeight('1 kg 200', METRIC, { ...BUNDLE, defaultUnit: 'g' }))).toContain('Is that 200 g')
    expect(value(readVolume('3', US, { ...WATER, defaultUnit: 'L' })).millilitres).toBe(3000)
    expect(value(readVolume('3', US, { ...WATER, defaultUnit: 'cup' })).millilitres).toBeCloseTo(709.7647095, 9)
    expect(value(readLength('0,8', US, { ...SPLIT, defaultUnit: 'mm' })).millimetres).toBe(0.8)
    expect(value(readTemperature('212', US, { ...BATH, defaultUnit: '°F' })).temperatureC).toBe(100)
    expect(value(readTemperature('82', US, { ...BATH, defaultUnit: '°C' })).temperatureC).toBe(82)
  })
})

describe('what is asked back', () => {
  const ENTER = 'Enter the dry weight of bundle 2, for example 540 g or 1.2 kg.'
  test.each([
    ['', ENTER],
    [' \u00a0\t', ENTER],
    ['1,234 g', 'Does “1,234” mean 1234 or 1.234? Write the dry weight of bundle 2 without a comma.'],
    [
      '3-6 oz',
      '“3-6 oz” gives two figures. Enter one figure for the dry weight of bundle 2, for example 540 g or 1.2 kg.',
    ],
    [
      '3 to 6 oz',
      '“3 to 6 oz” gives two figures. Enter one figure for the dry weight of bundle 2, for example 540 g or 1.2 kg.',
    ],
    [
      '3 or 6 oz',
      '“3 or 6 oz” gives two figures. Enter one figure for the dry weight of bundle 2, for example 540 g or 1.2 kg.',
    ],
    [
      ' 3  -  6\u00a0oz ',
      '“3 - 6 oz” gives two figures. Enter one figure for the dry weight of bundle 2, for example 540 g or 1.2 kg.',
    ],
    ['2 tons 3 oz', `“2 tons 3 oz” cannot be read: “tons” is not a unit of weight known here. ${ENTER}`],
    ['3 6 oz', `“3 6 oz” has two figures with nothing between them. ${ENTER}`],
    ['1/0 lb', `“1/0” divides by nothing. ${ENTER}`],
    ['1 1/0 lb', `“1 1/0” divides by nothing. ${ENTER}`],
    ['1 3/2 lb', `“1 3/2 lb” cannot be read. ${ENTER}`],
    ['1 2/2 lb', `“1 2/2 lb” cannot be read. ${ENTER}`],
    ['1.2.3 g', `“1.2.3 g” cannot be read. ${ENTER}`],
    ['01,234 g', undefined],
    ['12,345 g', 'Does “12,345” mean 12345 or 12.345? Write the dry weight of bundle 2 without a comma.'],
    ['123,456 g', 'Does “123,456” mean 123456 or 123.456? Write the dry weight of bundle 2 without a comma.'],
    ['1 lb.5 oz', `“1 lb.5 oz” cannot be read. ${ENTER}`],
    ['NaN', `“NaN” cannot be read. ${ENTER}`],
    ['about 3 g', `“about 3 g” cannot be read. ${ENTER}`],
    ['1e309', `“1e309” cannot be read: “e” is not a unit of weight known here. ${ENTER}`],
    ['Infinity g', `“Infinity g” cannot be read. ${ENTER}`],
    ['3 bananas', `“3 bananas” cannot be read: “bananas” is not a unit of weight known here. ${ENTER}`],
    ['3 L', `“3 L” is a volume. ${ENTER}`],
    ['3 fl. oz', `“3 fl. oz” is a volume. ${ENTER}`],
    ['3 mm', `“3 mm” is a length. ${ENTER}`],
    ['3 °C', `“3 °C” is a temperature. ${ENTER}`],
    ['12 gr', 'Does “gr” mean grams or grains? Write the dry weight of bundle 2 with “g” or “grains”.'],
    ['1 lb 20 oz', `“1 lb 20 oz” does not add up to one weight. ${ENTER}`],
    ['1 lb 16 oz', `“1 lb 16 oz” does not add up to one weight. ${ENTER}`],
    ['3 oz 1 lb', `“3 oz 1 lb” does not add up to one weight. ${ENTER}`],
    ['1.5 lb 3 oz', `“1.5 lb 3 oz” does not add up to one weight. ${ENTER}`],
    [
      '-3 g',
      '“-3 g” is less than nothing. Enter the dry weight of bundle 2 without a minus sign, for example 540 g or 1.2 kg.',
    ],
    [
      '− 3 g',
      '“− 3 g” is less than nothing. Enter the dry weight of bundle 2 without a minus sign, for example 540 g or 1.2 kg.',
    ],
    [
      '9999999 kg',
      'Is “9999999 kg” right for the dry weight of bundle 2? More than 1000 kg cannot be entered. Check the figure and the unit.',
    ],
  ])('“%s”', (typed, expected) => {
    if (expected === undefined) expect(grams(typed)).toBe(1.234)
    else expect(weightQuestion(typed)).toBe(expected)
  })

  test('limits are inclusive, and their sentence is a question', () => {
    const limited = { ...BUNDLE, min: 1, max: 40_000 }
    expect(value(readWeight('1 g', METRIC, limited)).grams).toBe(1)
    expect(value(readWeight('40 kg', METRIC, limited)).grams).toBe(40_000)
    expect(sentence(readWeight('0 g', METRIC, limited))).toBe(
      'Is “0 g” right for the dry weight of bundle 2? Less than 1 g cannot be entered. Check the figure and the unit.',
    )
    expect(sentence(readWeight('40.1 kg', METRIC, limited))).toBe(
      'Is “40.1 kg” right for the dry weight of bundle 2? More than 40 kg cannot be entered. Check the figure and the unit.',
    )
    expect(sentence(readLength('51 mm', METRIC, { ...SPLIT, max: 50 }))).toContain('More than 50 mm cannot')
    expect(sentence(readLength('5 m', METRIC, { ...SPLIT, max: 1500 }))).toContain('More than 1500 mm cannot')
    expect(sentence(readWeight('1.2 kg', METRIC, { ...BUNDLE, max: 1000 }))).toContain('More than 1 kg cannot')
    expect(sentence(readVolume('61 L', METRIC, { ...WATER, max: 60_000 }))).toContain('More than 60 L cannot')
    expect(sentence(readVolume('1 mL', METRIC, { ...WATER, min: 1.5 }))).toContain('Less than 1.5 mL cannot')
  })

  test('limits that nobody gave', () => {
    expect(sentence(readTemperature('-51 C', METRIC, BATH))).toContain('Less than -50 °C cannot')
    expect(sentence(readTemperature('251 C', METRIC, BATH))).toContain('More than 250 °C cannot')
    expect(sentence(readLength('101 m', METRIC, SPLIT))).toContain('More than 100000 mm cannot')
    expect(sentence(readVolume('10001 L', METRIC, WATER))).toContain('More than 10000 L cannot')
    expect([degrees('-50 C'), degrees('250 °C'), mm('100 m'), mL('10000 L', US), grams('1000 kg')]).toEqual([
      -50, 250, 100_000, 1e7, 1e6,
    ])
  })

  test('ten thousand characters are turned away at once', () => {
    const started = performance.now()
    for (const filling of ['x', '9', '1 ', '1/', '-', ' ', '½', '.', '1,', "'", 'a. ', '\u00a0'])
      for (const typed of [filling.repeat(10_000), `1 ${filling.repeat(10_000)}x`])
        expect(weightQuestion(typed)).toMatch(/dry weight of bundle 2/)
    expect(performance.now() - started).toBeLessThan(5000)
    expect(weightQuestion('x'.repeat(10_000))).toBe(`That is more than 100 characters. ${ENTER}`)
    expect(weightQuestion('x'.repeat(101))).toContain('more than 100')
    expect(weightQuestion('x'.repeat(100))).toBe(`“${'x'.repeat(40)}…” cannot be read. ${ENTER}`)
    expect(weightQuestion('x'.repeat(40))).toContain(`“${'x'.repeat(40)}” cannot`)
  })
})

describe('volumes: US and imperial are never guessed at', () => {
  test.each(['gal', 'qt', 'pt', 'cup', 'fl oz'])('a bare %s in a metric workshop is a question', unit => {
    expect(sentence(readVolume(`2 ${unit}`, METRIC, WATER))).toBe(
      `Is “2 ${unit}” US or imperial? Write “US ${unit}” or “imperial ${unit}” for the water, or give it in mL or L.`,
    )
  })
  test.each([
    ['2 1/4 cups', US, 532.323532125],
    ['2¼ cupfuls', US, 532.323532125],
    ['1 imp. gal', US, 4546.09],
    ['1 UK gallon', US, 4546.09],
    ['1 gal (US)', IMPERIAL, 3785.411784],
    ['1 U.S. gallon', METRIC, 3785.411784],
    ['1 USA gallon', METRIC, 3785.411784],
    ['1 fl. oz', US, 29.5735295625],
    ['1 fluid ounce', IMPERIAL, 28.4130625],
    ['1 gal 2 qt', US, 5678.117676],
    ['1 teaspoon', US, 4.92892159375],
    ['1 tablespoon', US, 14.78676478125],
    ['1 teaspoon', METRIC, 5],
    ['1 tablespoon', METRIC, 15],
    ['1 tsp', IMPERIAL, 5],
    ['1 tbsp', IMPERIAL, 15],
    ['1 metric cup', IMPERIAL, 250],
    ['3 litres', US, 3000],
    ['1 metric litre', US, 1000],
    ['250ml', IMPERIAL, 250],
  ])('“%s”', (typed, units, expected) => expect(mL(typed, units)).toBeCloseTo(expected, 9))

  test.each([
    ['1 imperial tsp', 'There is no exact imperial tsp. Give the water in mL or L.'],
    ['1 us l', 'There is no exact US L. Give the water in mL or L.'],
    ['1 metric gal', 'There is no exact metric gal. Give the water in mL or L.'],
    ['5 g', '“5 g” is a weight. Enter the water, for example 2¼ cups or 250 mL.'],
    ['5', 'Is that 5 mL, 5 L or something else? Write the unit after the water.'],
    [
      '1 us',
      '“1 us” cannot be read: “us” is not a unit of volume known here. Enter the water, for example 2¼ cups or 250 mL.',
    ],
    [
      '1 us uk gal',
      '“1 us uk gal” cannot be read: “us uk gal” is not a unit of volume known here. Enter the water, for example 2¼ cups or 250 mL.',
    ],
  ])('“%s” is asked back', (typed, expected) => expect(sentence(readVolume(typed, US, WATER))).toBe(expected))
})

describe('lengths and temperatures', () => {
  test.each([
    ['1/32"', 0.79375],
    ['1/32″', 0.79375],
    ['1/32 ”', 0.79375],
    ["1/32''", 0.79375],
    ['⅛ inch', 3.175],
    ['0,8 mm', 0.8],
    ['0.8mm', 0.8],
    ['1 ft 3 in', 381],
    ['5\' 3"', 1600.2],
    ['5′3″', 1600.2],
    ['1 m 20 cm', 1200],
  ])('“%s”', (typed, expected) => expect(mm(typed)).toBeCloseTo(expected, 10))

  test.each([
    ['82C', 82],
    ['82 °C', 82],
    ['82 º C', 82],
    ['82˚C', 82],
    ['82 ℃', 82],
    ['82 degrees Celsius', 82],
    ['82 deg. c', 82],
    ['-5 °C', -5],
    ['−5 °C', -5],
    ['-40 F', -40],
    ['180 °F', 82.2222222222],
    ['180 ℉', 82.2222222222],
    ['82,5 C', 82.5],
  ])('“%s”', (typed, expected) => expect(degrees(typed)).toBeCloseTo(expected, 9))

  test('questions', () => {
    expect(sentence(readLength('0.8', METRIC, SPLIT))).toBe(
      'Is that 0.8 mm or 0.8 in? Write the unit after the split thickness.',
    )
    expect(sentence(readTemperature('82', METRIC, BATH))).toBe(
      'Is that 82 °C or 82 °F? Write the unit after the bath temperature.',
    )
    expect(sentence(readTemperature('82 C 3 C', METRIC, BATH))).toContain('does not add up to one temperature')
    expect(sentence(readTemperature('82º', METRIC, BATH))).toContain(
      '“82º” cannot be read: “°” is not a unit of temperature',
    )
    expect(sentence(readLength('3 in 1 ft', METRIC, SPLIT))).toContain('does not add up to one length')
    expect(sentence(readVolume('3 pt 1 gal', US, WATER))).toContain('does not add up to one volume')
    expect(sentence(readTemperature('82 C 0.5 C', METRIC, BATH))).toContain('does not add up to one temperature')
    expect(sentence(readTemperature('82 K', METRIC, BATH))).toContain('for example 82 °C or 180 °F.')
    expect(sentence(readTemperature('82 K', US, BATH))).toContain('for example 180 °F or 82 °C.')
    expect(sentence(readLength('-1 mm', US, SPLIT))).toContain('for example 1/32 in or 0.8 mm.')
    expect(sentence(readLength('', METRIC, SPLIT))).toContain('for example 0.8 mm.')
    expect(sentence(readVolume('', METRIC, WATER))).toContain('for example 250 mL or 1.5 L.')
    expect(weightQuestion('', US)).toContain('for example 1 lb 3 oz or 5½ oz.')
  })
})

describe('counts', () => {
  const TIES = { label: 'ties on bundle 2', min: 1, max: 200, noun: 'tie' }
  test.each([
    ['3', 3],
    [' 12 ties ', 12],
    ['1 tie', 1],
    ['200', 200],
    ['3.0', 3],
  ])('“%s”', (typed, count) => expect(value(readCount(typed, TIES))).toEqual({ count, typed: typed.trim() }))

  test.each([
    ['', 'Enter the ties on bundle 2, for example 3.'],
    ['twelve', '“twelve” cannot be read. Enter the ties on bundle 2, for example 3.'],
    ['3 g', '“3 g” is not a whole number. Enter the ties on bundle 2 in figures, for example 3.'],
    ['3 ti es', '“3 ti es” is not a whole number. Enter the ties on bundle 2 in figures, for example 3.'],
    ['3 ties 2 ties', '“3 ties 2 ties” is not a whole number. Enter the ties on bundle 2 in figures, for example 3.'],
    ['3½', '“3½” is not a whole number. Enter the ties on bundle 2 without parts, for example 3.'],
    ['-2', '“-2” is less than nothing. Enter the ties on bundle 2 without a minus sign, for example 3.'],
    ['0', 'Is “0” right for the ties on bundle 2? Less than 1 cannot be entered. Check the figure.'],
    ['201', 'Is “201” right for the ties on bundle 2? More than 200 cannot be entered. Check the figure.'],
    ['3-4', '“3-4” gives two figures. Enter one figure for the ties on bundle 2, for example 3.'],
  ])('“%s” is asked back', (typed, expected) => expect(sentence(readCount(typed, TIES))).toBe(expected))

  test('without a noun or limits, only bare whole numbers that can be counted', () => {
    expect(value(readCount('0', { label: 'dips' })).count).toBe(0)
    expect(sentence(readCount('3 dips', { label: 'dips' }))).toContain('is not a whole number')
    expect(sentence(readCount('9'.repeat(30), { label: 'dips' }))).toContain('More than 9007199254740991')
  })
})

describe('for any text at all', () => {
  const soup = fc.oneof(
    fc.string({ maxLength: 150, unit: 'binary' }),
    fc
      .array(
        fc.constantFrom('1', '23', '½', '/', '.', ',', '-', ' ', 'lb', 'oz', 'g', 'us', 'cup', '°', 'f', '"', 'e'),
        {
          maxLength: 12,
        },
      )
      .map(pieces => pieces.join('')),
  )
  test('a reader gives a finite value within its limits or a sentence that names the field; it never throws', () => {
    fc.assert(
      fc.property(soup, fc.constantFrom(METRIC, US, IMPERIAL), (typed, units) => {
        const results: [Read<number>, string, number, number][] = [
          [map(readWeight(typed, units, BUNDLE), v => v.grams), BUNDLE.label, 0, 1e6],
          [map(readVolume(typed, units, WATER), v => v.millilitres), WATER.label, 0, 1e7],
          [map(readLength(typed, units, SPLIT), v => v.millimetres), SPLIT.label, 0, 1e5],
          [map(readTemperature(typed, units, BATH), v => v.temperatureC), BATH.label, -50, 250],
          [map(readCount(typed, { label: 'ties' }), v => v.count), 'ties', 0, Number.MAX_SAFE_INTEGER],
        ]
        for (const [result, label, min, max] of results) {
          if (!result.ok) expect(result.sentence).toContain(label)
          else expect(result.value >= min && result.value <= max).toBe(true)
        }
      }),
      { numRuns: 200 },
    )
  })

  test('pounds and ounces read the same joined or apart', () => {
    fc.assert(
      fc.property(fc.nat({ max: 80 }), fc.integer({ min: 0, max: 15 }), fc.nat({ max: 7 }), (lb, oz, eighths) => {
        const joined = grams(`${lb} lb ${oz} ${eighths}/8 oz`)
        expect(joined).toBeCloseTo(grams(`${lb}lb`) + grams(`${oz}oz`) + grams(`${eighths / 8} oz`), 8)
      }),
      { numRuns: 100 },
    )
  })
})

function map<T, U>(result: Read<T>, change: (value: T) => U): Read<U> {
  return result.ok ? { ok: true, value: change(result.value) } : result
}
