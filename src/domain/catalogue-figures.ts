/** What each figure of the catalogue is called, its unit, and the bounds outside which it is a slip of the pen. */

export type Bounds = { label: string; unit: string; least: number; most: number }

const figure = (label: string, unit: string, least: number, most: number): Bounds => ({ label, unit, least, most })
const WEEK_MINUTES = 10_080
const DAY_MINUTES = 1440

/** By the last word of its path; of a dose the unit goes by how it is reckoned. */
export const FIGURES = {
  regainPercent: figure('regain', '% of oven-dry weight', 0, 100),
  liquorRatioLPerKg: figure('liquor ratio', 'L/kg', 2, 200),
  soakMinutes: figure('soak', 'minutes', 0, WEEK_MINUTES),
  soakTemperatureC: figure('soak temperature', '°C', 0, 100),
  dyeMinutes: figure('shortest time in a synthetic dye bath', 'minutes', 0, WEEK_MINUTES),
  hottestC: figure('hottest bath', '°C', 0, 100),
  dryingHours: figure('drying', 'hours', 0, 1000),
  takeUp: figure('take-up', '× ordinary fibre', 0.05, 20),
  molarMassGPerMol: figure('molar mass', 'g/mol', 1, 10_000),
  metalFraction: figure('metal in one gram', 'g', 0, 1),
  gramsPerTeaspoon: figure('one US teaspoon holds', 'g', 0.1, 50),
  relativeStrength: figure('strength beside the form of the figures', '×', 0.01, 1000),
  pale: figure('pale shade', '% owf', 0.001, 1000),
  medium: figure('medium shade', '% owf', 0.001, 1000),
  deep: figure('deep shade', '% owf', 0.001, 1000),
  containerHolds: figure('one bottle or packet holds', 'g or mL', 0.1, 10_000),
  containersPerKg: figure("the label's rate for ordinary fibre", 'containers/kg', 0.001, 1000),
  minutes: figure('time in the bath', 'minutes', 0, WEEK_MINUTES),
  temperatureC: figure('temperature of the bath', '°C', 0, 100),
  amount: figure('how much', 'by its basis', 0, 10_000),
  ratio: figure('for each gram of indigo', 'g per g', 0, 10_000),
  stockLPerG: figure('stock for each gram of indigo', 'L', 0.001, 10),
  lowestPh: figure('lowest pH', 'pH', 0, 14),
  highestPh: figure('highest pH', 'pH', 0, 14),
  lowestC: figure('lowest temperature of the vat', '°C', 0, 100),
  highestC: figure('highest temperature of the vat', '°C', 0, 100),
  dips: figure('dips for a medium shade', 'dips', 1, 20),
  dipMinutes: figure('length of a dip', 'minutes', 0, DAY_MINUTES),
  airingMinutes: figure('length of an airing', 'minutes', 0, DAY_MINUTES),
} as const

/** Longest words, and most rows of a list, in one entry. */
export const LONGEST = {
  name: 80,
  latin: 120,
  words: 1000,
  formula: 80,
  source: 300,
  container: 40,
  code: 20,
  sentence: 300,
} as const
export const MOST_ROWS = 20
