/**
 * SI figures in the words of a reader: "539 g", "1 lb 3 oz", "2 cups 1 tbsp". Rounded for reading, never for reckoning.
 * A figure that is not finite is a fault of the program and throws, so that "NaN g" can never reach a pot sheet.
 */
import { fahrenheit, GRAMS, IMPERIAL_ML, MM, type Units, US_ML } from './unit.js'

const EIGHTHS = ['', '⅛', '¼', '⅜', '½', '⅝', '¾', '⅞'] as const

const finite = (figure: number): number => {
  if (!Number.isFinite(figure)) throw new Error(`a figure to be shown must be finite, not ${figure}`)
  return figure
}

const plain = new Intl.NumberFormat('en-GB', { useGrouping: false, maximumFractionDigits: 12 })

/** `digits` significant figures without trailing zeros and without an exponent: 12.5, 0.75, 1230. */
export const sayFigure = (figure: number, digits = 3): string => {
  const whole = Math.abs(finite(figure)) >= 10 ** digits
  const rounded = whole ? Math.round(figure) : Number(figure.toPrecision(digits))
  const text = plain.format(rounded)
  return text === '-0' ? '0' : text
}

/** A number of eighths as people write it: 26 is "3¼", 4 is "½". */
const sayEighths = (eighths: number): string => {
  const whole = Math.floor(eighths / 8)
  const part = EIGHTHS[eighths % 8] ?? ''
  return whole === 0 && part !== '' ? part : `${whole}${part}`
}

const signed = (figure: number, say: (size: number) => string): string =>
  figure < 0 ? `−${say(-figure)}` : say(figure)

/** Small and large unit of one scale: three figures in the small one until it would read 1000. */
const sayThousands = (figure: number, small: string, large: string): string => {
  const inSmall = Number(figure.toPrecision(3))
  return inSmall < 1000 ? `${sayFigure(figure)} ${small}` : `${sayFigure(figure / 1000)} ${large}`
}

const sayPounds = (grams: number): string => {
  if (grams < GRAMS.oz) return `${sayFigure(grams)} g` // a scale in ounces cannot show it
  const eighths = Math.round((grams / GRAMS.oz) * 8)
  const pounds = Math.floor(eighths / 128)
  const rest = eighths % 128
  const ounces = rest === 0 ? [] : [`${sayEighths(rest)} oz`]
  return (pounds === 0 ? ounces : [`${pounds} lb`, ...ounces]).join(' ')
}

/**
 * A weight for reading. Metric: three figures below 1 kg, and kg to the gram from there, for people sign for sums.
 * Pounds: to the eighth of an ounce, and in grams below an ounce. Throws when `grams` is not finite.
 */
export const sayWeight = (grams: number, units: Pick<Units, 'weight'>): string =>
  signed(finite(grams), size => (units.weight === 'metric' ? sayMetric(size) : sayPounds(size)))

const sayMetric = (grams: number): string =>
  Number(grams.toPrecision(3)) < 1000 ? `${sayFigure(grams)} g` : `${plain.format(Math.round(grams) / 1000)} kg`

/** A sum of weights to the gram, so that what went and what came back can be held against each other by hand. */
export const sayWeightToGram = (grams: number, units: Pick<Units, 'weight'>): string =>
  units.weight === 'metric' && Math.abs(finite(grams)) >= 999.5 ? `${Math.round(grams)} g` : sayWeight(grams, units)

/**
 * One way of saying a volume: `unit` of `ml` serves from `fromMl` up, its rest is given in `rest`, of which `perUnit`
 * make one, rounded to `toEighths` eighths.
 */
type Rung = { unit: string; ml: number; fromMl: number; rest: string; perUnit: number; toEighths: number }

/** What rounds up to a whole unit is said as one: "1 cup", not "16 tbsp". */
const ALMOST_ONE = 63 / 64

const rung = (
  unit: string,
  ml: number,
  perUnit: number,
  rest: string,
  toEighths: number,
  fromMl = ml * ALMOST_ONE,
): Rung => ({
  unit,
  ml,
  fromMl,
  rest,
  perUnit,
  toEighths,
})

const LADDER: Record<'us' | 'imperial', Rung[]> = {
  us: [
    rung('gal', US_ML.gal, 4, 'qt', 2),
    rung('qt', US_ML.qt, 4, 'cup', 2),
    rung('cup', US_ML.cup, 16, 'tbsp', 4),
    rung('tbsp', US_ML.tbsp, 1, 'tbsp', 4, US_ML.tbsp * 4),
    rung('tbsp', US_ML.tbsp, 3, 'tsp', 2),
    rung('tsp', US_ML.tsp, 1, 'tsp', 1, US_ML.tsp / 2),
  ],
  imperial: [
    rung('gal', IMPERIAL_ML.gal, 8, 'pt', 2),
    rung('pt', IMPERIAL_ML.pt, 20, 'fl oz', 4),
    rung('fl oz', IMPERIAL_ML['fl oz'], 1, 'fl oz', 1),
  ],
}

/** "½ cup", "1 cup", "1½ cups". */
const counted = (eighths: number, unit: string): string =>
  `${sayEighths(eighths)} ${unit === 'cup' && eighths > 8 ? 'cups' : unit}`

const sayRung = (millilitres: number, { unit, ml, rest, perUnit, toEighths }: Rung): string => {
  const eighths = Math.round(((millilitres / ml) * perUnit * 8) / toEighths) * toEighths
  const restEighths = eighths % (8 * perUnit)
  if (perUnit === 1) return counted(eighths, unit)
  const wholes = (eighths - restEighths) / perUnit
  const said = [wholes > 0 ? counted(wholes, unit) : '', restEighths > 0 ? counted(restEighths, rest) : '']
  return said.filter(Boolean).join(' ')
}

/** In the kitchen's measures; what is smaller than the smallest of them, in mL. */
const sayKitchen = (millilitres: number, system: 'us' | 'imperial'): string => {
  const fitting = LADDER[system].find(each => millilitres >= each.fromMl)
  return fitting ? sayRung(millilitres, fitting) : `${sayFigure(millilitres)} mL`
}

/**
 * A volume for reading. Metric: three figures. US: to the ⅛ tsp, ¼ tsp, ½ tbsp, ¼ cup or ¼ qt as it grows. Imperial: to
 * the ⅛ fl oz, ½ fl oz or ¼ pt. Smaller than ½ tsp or 1 imperial fl oz in mL. Throws when not finite.
 */
export const sayVolume = (millilitres: number, units: Pick<Units, 'volume'>): string => {
  const { volume } = units
  return signed(finite(millilitres), size =>
    volume === 'metric' ? sayThousands(size, 'mL', 'L') : sayKitchen(size, volume),
  )
}

/** Dry fibre to bath by weight, as the trade writes it in any unit: 20 L per kg is "1 : 20". */
export const sayRatio = (lPerKg: number): string => `1 : ${sayFigure(lPerKg)}`

const SIXTY_FOURTH_MM = MM.in / 64

/** The nearest 1/64 inch in lowest terms: "1/32", "1 1/4". */
const sayInches = (millimetres: number): string => {
  let above = Math.round(millimetres / SIXTY_FOURTH_MM)
  let below = 64
  while (below > 1 && above % 2 === 0) {
    above /= 2
    below /= 2
  }
  const whole = Math.floor(above / below)
  const rest = above - whole * below
  return [whole > 0 || rest === 0 ? String(whole) : '', rest > 0 ? `${rest}/${below}` : ''].filter(Boolean).join(' ')
}

/** A length for reading: "0.8 mm", beside it "about 1/32 in" where the workshop weighs in pounds. */
export const sayLength = (millimetres: number, units: Pick<Units, 'weight'>): string =>
  signed(finite(millimetres), size => {
    const metric = sayThousands(size, 'mm', 'm')
    return units.weight === 'metric' || size < SIXTY_FOURTH_MM / 2 ? metric : `${metric} (about ${sayInches(size)} in)`
  })

/** A temperature for reading, to the degree: °F where the workshop measures in US volumes, else °C. */
export const sayTemperature = (temperatureC: number, units: Pick<Units, 'volume'>): string => {
  const degrees = Math.round(units.volume === 'us' ? fahrenheit(finite(temperatureC)) : finite(temperatureC))
  return signed(degrees, size => `${size} ${units.volume === 'us' ? '°F' : '°C'}`)
}
