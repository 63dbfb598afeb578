/**
 * Units of weight, volume, length and temperature, by their exact definitions.
 * Source: NIST SP 811 Appendix B.8 and NIST Handbook 44 Appendix C for pound, inch and US measure; the imperial
 * gallon is 4.54609 L exactly (UK Weights and Measures Act). Metric spoons (5 and 15 mL) and the metric cup (250 mL)
 * are common practice, no source.
 */
export type System = 'metric' | 'us' | 'imperial'

/** What the workshop chose once: how weights and volumes are shown, and which gallon a bare "gallon" is. */
export type Units = { weight: 'metric' | 'pounds'; volume: System }

export type WeightUnit = 'mg' | 'g' | 'kg' | 'grain' | 'oz' | 'lb'
export type VolumeUnit = 'mL' | 'cL' | 'dL' | 'L' | 'tsp' | 'tbsp' | 'fl oz' | 'cup' | 'pt' | 'qt' | 'gal'
export type LengthUnit = 'mm' | 'cm' | 'm' | 'in' | 'ft'
export type TemperatureUnit = '°C' | '°F'
export type Kind = 'weight' | 'volume' | 'length' | 'temperature'

const GRAIN_G = 0.06479891
const US_GALLON_ML = 3785.411784 // 231 cubic inches
const IMPERIAL_GALLON_ML = 4546.09

export const GRAMS: Record<WeightUnit, number> = {
  mg: 0.001,
  g: 1,
  kg: 1000,
  grain: GRAIN_G,
  oz: 453.59237 / 16,
  lb: 453.59237,
}

export const METRIC_ML = { mL: 1, cL: 10, dL: 100, L: 1000, tsp: 5, tbsp: 15, cup: 250 }

export const US_ML = {
  tsp: US_GALLON_ML / 768,
  tbsp: US_GALLON_ML / 256,
  'fl oz': US_GALLON_ML / 128,
  cup: US_GALLON_ML / 16,
  pt: US_GALLON_ML / 8,
  qt: US_GALLON_ML / 4,
  gal: US_GALLON_ML,
}

export const IMPERIAL_ML = {
  'fl oz': IMPERIAL_GALLON_ML / 160,
  cup: IMPERIAL_GALLON_ML / 16,
  pt: IMPERIAL_GALLON_ML / 8,
  qt: IMPERIAL_GALLON_ML / 4,
  gal: IMPERIAL_GALLON_ML,
}

/** mL of each unit by system. A unit that a system does not define exactly is not in its row. */
export const ML: Record<System, Partial<Record<VolumeUnit, number>>> = {
  metric: METRIC_ML,
  us: US_ML,
  imperial: IMPERIAL_ML,
}

export const MM: Record<LengthUnit, number> = { mm: 1, cm: 10, m: 1000, in: 25.4, ft: 304.8 }

/** °C from °F: (°F − 32)/1.8, exact by definition (NIST SP 811 B.8). */
export const celsius = (fahrenheit: number): number => (fahrenheit - 32) / 1.8
export const fahrenheit = (celsius: number): number => celsius * 1.8 + 32

/** Every way of writing a unit, by kind; lower case, no dots. */
const SPELLINGS = {
  weight: {
    mg: ['mg', 'milligram', 'milligrams'],
    g: ['g', 'gm', 'gms', 'gram', 'grams', 'gramme', 'grammes'],
    kg: ['kg', 'kgs', 'kilo', 'kilos', 'kilogram', 'kilograms', 'kilogramme', 'kilogrammes'],
    grain: ['grain', 'grains'],
    oz: ['oz', 'ozs', 'ounce', 'ounces'],
    lb: ['lb', 'lbs', 'pound', 'pounds'],
  },
  volume: {
    mL: ['ml', 'mls', 'cc', 'millilitre', 'millilitres', 'milliliter', 'milliliters'],
    cL: ['cl', 'centilitre', 'centilitres', 'centiliter', 'centiliters'],
    dL: ['dl', 'decilitre', 'decilitres', 'deciliter', 'deciliters'],
    L: ['l', 'litre', 'litres', 'liter', 'liters'],
    tsp: ['tsp', 'tsps', 'teaspoon', 'teaspoons', 'teaspoonful', 'teaspoonfuls'],
    tbsp: ['tbsp', 'tbsps', 'tablespoon', 'tablespoons', 'tablespoonful', 'tablespoonfuls'],
    'fl oz': ['fl oz', 'floz', 'fl ozs', 'fluid ounce', 'fluid ounces', 'fluid oz'],
    cup: ['cup', 'cups', 'cupful', 'cupfuls'],
    pt: ['pt', 'pts', 'pint', 'pints'],
    qt: ['qt', 'qts', 'quart', 'quarts'],
    gal: ['gal', 'gals', 'gallon', 'gallons'],
  },
  length: {
    mm: ['mm', 'millimetre', 'millimetres', 'millimeter', 'millimeters'],
    cm: ['cm', 'centimetre', 'centimetres', 'centimeter', 'centimeters'],
    m: ['m', 'metre', 'metres', 'meter', 'meters'],
    in: ['in', 'ins', 'inch', 'inches', '"'],
    ft: ['ft', 'foot', 'feet', "'"],
  },
  temperature: {
    '°C': ['c', '°c', '° c', 'deg c', 'degc', 'degree c', 'degrees c', 'celsius', 'degrees celsius', 'centigrade'],
    '°F': ['f', '°f', '° f', 'deg f', 'degf', 'degree f', 'degrees f', 'fahrenheit', 'degrees fahrenheit'],
  },
} satisfies Record<Kind, Record<string, string[]>>

/** A dictionary from spelling to unit name. */
const dictionary = <U extends string>(spellings: Record<U, string[]>): ReadonlyMap<string, U> => {
  const entries = new Map<string, U>()
  for (const unit in spellings) for (const spelling of spellings[unit]) entries.set(spelling, unit)
  return entries
}

export const WEIGHT_WORDS = dictionary<WeightUnit>(SPELLINGS.weight)
export const VOLUME_WORDS = dictionary<VolumeUnit>(SPELLINGS.volume)
export const LENGTH_WORDS = dictionary<LengthUnit>(SPELLINGS.length)
export const TEMPERATURE_WORDS = dictionary<TemperatureUnit>(SPELLINGS.temperature)

const KIND_WORDS: [Kind, ReadonlyMap<string, string>][] = [
  ['weight', WEIGHT_WORDS],
  ['volume', VOLUME_WORDS],
  ['length', LENGTH_WORDS],
  ['temperature', TEMPERATURE_WORDS],
]

/** Which kind of quantity a unit's name belongs to, so that "3 L" given for a weight can be named a volume. */
export const kindOf = (phrase: string): Kind | undefined => KIND_WORDS.find(([, words]) => words.has(phrase))?.[0]
