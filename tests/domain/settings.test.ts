/** Settings in words: what a dyer who looks back at a change reads. */
import { describe, expect, test } from 'vitest'
import { answersOf, sayChangedSettings, settingsInWords } from '../../src/domain/settings.js'

describe('a setting in words', () => {
  test.each([
    ['name', 'The shed', 'Name of the workshop', 'The shed'],
    ['weightUnit', 'metric', 'Weights', 'grams and kilograms'],
    ['weightUnit', 'pounds', 'Weights', 'pounds and ounces'],
    ['volumeUnit', 'metric', 'Volumes', 'millilitres and litres'],
    ['volumeUnit', 'us', 'Volumes', 'US cups, pints, gallons'],
    ['volumeUnit', 'imperial', 'Volumes', 'imperial cups, pints, gallons'],
    ['timeZone', 'Europe/London', 'Time zone', 'Europe/London'],
    ['dryBasis', 'conditioned', 'What dry means', 'air-dry: as fibre rests in a dry room'],
    ['dryBasis', 'oven-dry', 'What dry means', 'oven-dry: without any water'],
    ['scaleStepG', 0.01, 'Smallest step of your scale', '0.01 g'],
    ['scaleStepG', 0.1, 'Smallest step of your scale', '0.1 g'],
    ['scaleStepG', 1, 'Smallest step of your scale', '1 g'],
    ['scaleStepG', 5, 'Smallest step of your scale', '5 g'],
    ['slipPaper', 'A4', 'Paper for slips', 'A4'],
    ['slipWords', 'Thank you', 'Words at the foot of every slip', 'Thank you'],
    ['tagPaper', 'sheet', 'What tags are printed on', 'sheet'],
    ['tagSize', '50 × 30', 'Size of a tag, in mm', '50 × 30'],
    ['tagDotsPerInch', 203, 'Dots of the printer of tags', '203'],
    ['tagDotSize', 4, 'Squares of the code on tags', '4'],
    ['tagAddress', '12 Mill Lane', 'Address for tags', '12 Mill Lane'],
    ['receiptWords', 'Collect within a month', 'Terms on every receipt', 'Collect within a month'],
    ['tiePlace', 'middle', 'Where bundles are usually tied', 'middle'],
    ['tieKind', 'jute', 'How they are usually tied', 'jute'],
    ['thickEnd', 'left', 'Thick ends', 'left'],
  ])('%s %s', (field, value, label, words) => {
    expect(settingsInWords({ [field]: value })).toEqual([{ label, words }])
  })

  test('a value that is none of the answers, and an empty one, are their own words', () => {
    expect(settingsInWords({ scaleStepG: 0.5, name: '' }).map(({ words }) => words)).toEqual(['', '0.5'])
  })

  test('in the order of the form, whatever the order they are given in; what has no name is left out', () => {
    const given = { thickEnd: 'left', version: 7, weightUnit: 'metric', name: 'The shed' }
    expect(settingsInWords(given).map(({ label }) => label)).toEqual(['Name of the workshop', 'Weights', 'Thick ends'])
    expect(settingsInWords({})).toEqual([])
  })
})

describe('the answers for a form', () => {
  test('by value and words', () => {
    expect(answersOf('weightUnit')).toEqual([
      ['metric', 'grams and kilograms'],
      ['pounds', 'pounds and ounces'],
    ])
  })
  test.each(['name', 'no such setting'])('%s has none to choose from', field => expect(answersOf(field)).toEqual([]))
})

describe('what was changed', () => {
  test('from and to, a sentence for each, in the order of the form', () => {
    const was = { slipWords: '', weightUnit: 'metric' }
    const became = { slipWords: 'Dry flat', weightUnit: 'pounds' }
    expect(sayChangedSettings(was, became)).toEqual([
      'Weights: from “grams and kilograms” to “pounds and ounces”',
      'Words at the foot of every slip: from nothing to “Dry flat”',
    ])
  })
  test('taken away, and not there before', () => {
    expect(sayChangedSettings({ name: 'The shed' }, { name: '' })).toEqual([
      'Name of the workshop: from “The shed” to nothing',
    ])
    expect(sayChangedSettings({}, { name: 'The shed' })).toEqual(['Name of the workshop: from nothing to “The shed”'])
    expect(sayChangedSettings({ name: 'The shed' }, {})).toEqual([])
  })
})
