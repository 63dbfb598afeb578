/** The settings of a workshop in words: their names, what each answer means, and what was changed about them. */

import { STEP_KEYS } from './recipe.js'
import { STEP_KIND_WORDS } from './step-habit.js'

/** Sunday first, as `weekdayOf` counts them. */
export const WEEKDAYS = ['Sunday', 'Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday'] as const

/** [value, words], in the order of the form. */
type Answers = [string, string][]

/** By the name of the setting. Without `answers` the value is its own words. */
const SETTINGS: Record<string, { label: string; answers?: Answers }> = {
  name: { label: 'Name of the workshop' },
  weightUnit: {
    label: 'Weights',
    answers: [
      ['metric', 'grams and kilograms'],
      ['pounds', 'pounds and ounces'],
    ],
  },
  volumeUnit: {
    label: 'Volumes',
    answers: [
      ['metric', 'millilitres and litres'],
      ['us', 'US cups, pints, gallons'],
      ['imperial', 'imperial cups, pints, gallons'],
    ],
  },
  timeZone: { label: 'Time zone' },
  dryBasis: {
    label: 'What dry means',
    answers: [
      ['conditioned', 'air-dry: as fibre rests in a dry room'],
      ['oven-dry', 'oven-dry: without any water'],
    ],
  },
  scaleStepG: {
    label: 'Smallest step of your scale',
    answers: [
      ['0.01', '0.01 g'],
      ['0.1', '0.1 g'],
      ['1', '1 g'],
      ['5', '5 g'],
    ],
  },
  slipPaper: { label: 'Paper for slips' },
  slipWords: { label: 'Words at the foot of every slip' },
  tagPaper: { label: 'What tags are printed on' },
  tagSize: { label: 'Size of a tag, in mm' },
  tagDotsPerInch: { label: 'Dots of the printer of tags' },
  tagDotSize: { label: 'Squares of the code on tags' },
  tagAddress: { label: 'Address for tags' },
  receiptWords: { label: 'Terms on every receipt' },
  weeksWithoutDay: { label: 'Weeks until it is done, where no day is asked for' },
  clientYears: { label: 'Years for which clients are kept' },
  tiePlace: { label: 'Where bundles are usually tied' },
  tieKind: { label: 'How they are usually tied' },
  thickEnd: { label: 'Thick ends' },
  ...Object.fromEntries(WEEKDAYS.map(day => [`hours${day}`, { label: `Hours on ${day}` }])),
  daysAway: { label: 'Days away' },
  soakTubs: { label: 'Soak tubs' },
  sinks: { label: 'Sinks' },
  lineRoom: { label: 'Room on the drying line' },
  hands: { label: 'Pairs of hands' },
  scourMinutes: { label: 'Minutes to scour a pot' },
  ...Object.fromEntries(
    STEP_KEYS.map(key => [`step ${key}`, { label: `${STEP_KIND_WORDS[key]}, otherwise than recipes say` }]),
  ),
}

export type Settings = Record<string, string | number>

/** Every setting with its value in words, '' when it is empty, in the order of the form. */
export const settingsInWords = (settings: Settings): { label: string; words: string }[] =>
  Object.entries(SETTINGS)
    .filter(([field]) => field in settings)
    .map(([field, { label }]) => ({ label, words: wordsOf(field, settings[field] ?? '') }))

/** The answers of one setting for a form: [value, words]. */
export const answersOf = (field: string): Answers => SETTINGS[field]?.answers ?? []

/** What was changed, a sentence for each: “Weights: from “grams and kilograms” to “pounds and ounces””. */
export const sayChangedSettings = (was: Settings, became: Settings): string[] =>
  settingsInWords(became).map(({ label, words }, at) => {
    const before = settingsInWords(was)[at]?.words ?? ''
    return `${label}: from ${quoted(before)} to ${quoted(words)}`
  })

const wordsOf = (field: string, value: string | number): string =>
  answersOf(field).find(([answer]) => answer === String(value))?.[1] ?? String(value)

const quoted = (words: string): string => (words === '' ? 'nothing' : `“${words}”`)
