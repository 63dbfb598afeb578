/**
 * Reads quantities as people write them: "1 lb 3 oz", "1½ lb", "0,8 mm", "2 1/4 cups", "82C", "1/32\"".
 * Each reader gives the value in SI beside what was typed, or a sentence for the person who typed it. Nothing is
 * guessed: a missing unit, "1,234", or a gallon in a workshop that has not chosen which, is asked back.
 */
import {
  asked,
  type Found,
  type Measure,
  negativeSentence,
  outside,
  quote,
  type ReadOptions,
  readMeasure,
  scaled,
  splitOrSay,
} from './read-measure.js'
import { type Read, read, unread } from './refusal.js'
import {
  celsius,
  GRAMS,
  LENGTH_WORDS,
  type LengthUnit,
  ML,
  MM,
  type System,
  TEMPERATURE_WORDS,
  type TemperatureUnit,
  type Units,
  VOLUME_WORDS,
  type VolumeUnit,
  WEIGHT_WORDS,
  type WeightUnit,
} from './unit.js'

export type { ReadOptions } from './read-measure.js'
export {
  sayFigure,
  sayLength,
  sayRatio,
  sayTemperature,
  sayVolume,
  sayWeight,
  sayWeightToGram,
} from './say-quantity.js'
export type { Units } from './unit.js'

const simple =
  <U extends string>(words: ReadonlyMap<string, U>, sizes: Record<U, number>) =>
  (phrase: string): Found | undefined => {
    const unit = words.get(phrase)
    return unit === undefined ? undefined : scaled(sizes[unit])
  }

/** A weight in grams: "540g", "1,5 kg", "1 lb 3 oz", "1½ lb". At most a tonne unless `max` says otherwise. */
export const readWeight = (
  typed: string,
  units: Units,
  options: ReadOptions<WeightUnit>,
): Read<{ grams: number; typed: string }> => {
  const find = (phrase: string): Found | undefined =>
    phrase === 'gr'
      ? asked(`Does “gr” mean grams or grains? Write the ${options.label} with “g” or “grains”.`)
      : simple(WEIGHT_WORDS, GRAMS)(phrase)
  const measure: Measure = {
    kind: 'weight',
    si: 'g',
    example: units.weight === 'metric' ? '540 g or 1.2 kg' : '1 lb 3 oz or 5½ oz',
    unitQuestion: 'Is that # g, # oz or # lb?',
    least: 0,
    most: 1e6,
    find,
  }
  const weight = readMeasure(typed, measure, options)
  return weight.ok ? read({ grams: weight.value, typed: typed.trim() }) : weight
}

const SYSTEM_WORDS = new Map<string, System>([
  ['us', 'us'],
  ['usa', 'us'],
  ['imperial', 'imperial'],
  ['imp', 'imperial'],
  ['uk', 'imperial'],
  ['metric', 'metric'],
])

/** The words without the one that names a system: "us fl oz" is "fl oz" of the US. */
const takeSystem = (phrase: string): { system: System | undefined; unit: VolumeUnit | undefined } => {
  const words = phrase.split(' ')
  const named = words.map(word => SYSTEM_WORDS.get(word)).filter(system => system !== undefined)
  const unit = VOLUME_WORDS.get(words.filter(word => !SYSTEM_WORDS.has(word)).join(' '))
  return named.length > 1 ? { system: undefined, unit: undefined } : { system: named[0], unit }
}

/**
 * The system of a volume that names none. Litres are litres. A spoon is the workshop's own: US in a US workshop, else the
 * metric spoons sold everywhere else (common practice, no source). A cup, pint, quart, gallon or fluid ounce needs the
 * workshop's choice of US or imperial.
 */
const ownSystem = (unit: VolumeUnit, chosen: System): System | undefined => {
  if (unit.endsWith('L')) return 'metric'
  if (unit === 'tsp' || unit === 'tbsp') return chosen === 'us' ? 'us' : 'metric'
  return chosen === 'metric' ? undefined : chosen
}

const findVolume = (phrase: string, written: string, units: Units, label: string): Found | undefined => {
  const { system, unit } = takeSystem(phrase)
  if (unit === undefined) return undefined
  const meant = system ?? ownSystem(unit, units.volume)
  if (meant === undefined)
    return asked(
      `Is ${quote(written)} US or imperial? Write “US ${unit}” or “imperial ${unit}” for the ${label}, or give it in mL or L.`,
    )
  const size = ML[meant][unit]
  return size === undefined
    ? asked(`There is no exact ${meant === 'us' ? 'US' : meant} ${unit}. Give the ${label} in mL or L.`)
    : scaled(size)
}

/** A volume in mL: "250 mL", "2 1/4 cups", "1 imperial gal". US and imperial are never guessed at. */
export const readVolume = (
  typed: string,
  units: Units,
  options: ReadOptions<VolumeUnit>,
): Read<{ millilitres: number; typed: string }> => {
  const measure: Measure = {
    kind: 'volume',
    si: 'mL',
    example: units.volume === 'metric' ? '250 mL or 1.5 L' : '2¼ cups or 250 mL',
    unitQuestion: 'Is that # mL, # L or something else?',
    least: 0,
    most: 1e7,
    find: (phrase, written) => findVolume(phrase, written, units, options.label),
  }
  const volume = readMeasure(typed, measure, options)
  return volume.ok ? read({ millilitres: volume.value, typed: typed.trim() }) : volume
}

/** A length in mm: "0.8 mm", "0,8mm", "1/32 in", "1/32\"". */
export const readLength = (
  typed: string,
  units: Units,
  options: ReadOptions<LengthUnit>,
): Read<{ millimetres: number; typed: string }> => {
  const measure: Measure = {
    kind: 'length',
    si: 'mm',
    example: units.weight === 'metric' ? '0.8 mm' : '1/32 in or 0.8 mm',
    unitQuestion: 'Is that # mm or # in?',
    least: 0,
    most: 1e5,
    find: simple(LENGTH_WORDS, MM),
  }
  const length = readMeasure(typed, measure, options)
  return length.ok ? read({ millimetres: length.value, typed: typed.trim() }) : length
}

const findTemperature = (phrase: string): Found | undefined => {
  const unit = TEMPERATURE_WORDS.get(phrase)
  if (unit === undefined) return undefined
  return { ok: true, toSi: unit === '°C' ? degrees => degrees : celsius, size: 1 }
}

/** A temperature in °C: "82C", "180 °F", "-5 °C". From −50 to 250 °C unless the limits say otherwise. */
export const readTemperature = (
  typed: string,
  units: Units,
  options: ReadOptions<TemperatureUnit>,
): Read<{ temperatureC: number; typed: string }> => {
  const measure: Measure = {
    kind: 'temperature',
    si: '°C',
    example: units.volume === 'us' ? '180 °F or 82 °C' : '82 °C or 180 °F',
    unitQuestion: 'Is that # °C or # °F?',
    least: -50,
    most: 250,
    find: findTemperature,
  }
  const temperature = readMeasure(typed, measure, options)
  return temperature.ok ? read({ temperatureC: temperature.value, typed: typed.trim() }) : temperature
}

/** A whole number: "12", or "12 ties" where `noun` is "tie". */
export const readCount = (
  typed: string,
  options: { label: string; min?: number | undefined; max?: number | undefined; noun?: string | undefined },
): Read<{ count: number; typed: string }> => {
  const { label, noun } = options
  const parted = splitOrSay(typed, label, '3')
  if (!parted.ok) return parted
  const { first, more, negative } = parted.value
  const word = first.words.join(' ')
  const allowed = word === '' || (noun !== undefined && (word === noun || word === `${noun}s`))
  if (!allowed || more.length > 0)
    return unread(`${quote(typed)} is not a whole number. Enter the ${label} in figures, for example 3.`)
  if (negative) return unread(negativeSentence(typed, label, '3'))
  if (!Number.isInteger(first.amount))
    return unread(`${quote(typed)} is not a whole number. Enter the ${label} without parts, for example 3.`)
  const sentence = outside(first.amount, typed, '', options)
  return sentence === undefined ? read({ count: first.amount, typed: typed.trim() }) : unread(sentence)
}
