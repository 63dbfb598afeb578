/**
 * Moisture that wood comes to in air of a given temperature and relative humidity: the equation of the USDA Wood
 * Handbook, ch. 4 (Hailwood and Horrobin; coefficients by Simpson 1973), with its coefficients for °C.
 * It stands in for bark and bast, for which no such table was found.
 */
import type { Figure, Provenance } from './catalogue.js'
import { celsius } from './unit.js'
import { given, type Working, type WorkingInput, working } from './working.js'

export type Air = { temperatureC: number; relativeHumidityPercent: number }

export const WOOD_HANDBOOK: Provenance = {
  kind: 'handbook',
  source: 'USDA Wood Handbook, ch. 4 (Hailwood-Horrobin equation, coefficients by Simpson 1973)',
}

/** M = 1800/W · [Kh/(1 − Kh) + (K₁Kh + 2K₁K₂K²h²)/(1 + K₁Kh + K₁K₂K²h²)], h the relative humidity as a fraction. */
const FORMULA =
  '1800 ÷ {w} × ({kh} ÷ (1 − {kh}) + ({k1} × {kh} + 2 × {k1} × {k2} × {kh} × {kh}) ÷ (1 + {k1} × {kh} + {k1} × {k2} × {kh} × {kh}))'

const coefficients = (t: number): { w: number; k: number; k1: number; k2: number } => ({
  w: 349 + 1.29 * t + 0.0135 * t * t,
  k: 0.805 + 0.000736 * t - 0.00000273 * t * t,
  k1: 6.27 - 0.00938 * t - 0.000303 * t * t,
  k2: 1.91 + 0.0407 * t - 0.000293 * t * t,
})

/** Per cent of the oven-dry weight. Temperature from 0 to 80 °C and humidity to 98 %; the caller holds to that. */
export const woodMoisture = ({ temperatureC, relativeHumidityPercent }: Air): { percent: number; how: Working } => {
  const { w, k, k1, k2 } = coefficients(temperatureC)
  const kh = (k * relativeHumidityPercent) / 100
  const bound = k1 * kh
  const twice = k1 * k2 * kh * kh
  const percent = (1800 / w) * (kh / (1 - kh) + (bound + 2 * twice) / (1 + bound + twice))
  const coefficient = (label: string, value: number): WorkingInput => given(label, handbookFigure(value), '')
  const inputs = {
    w: coefficient('W at this temperature', w),
    kh: coefficient('K at this temperature times relative humidity', kh),
    k1: coefficient('K₁ at this temperature', k1),
    k2: coefficient('K₂ at this temperature', k2),
  }
  return {
    percent,
    how: working(FORMULA, inputs, { label: 'moisture of wood in that air', value: percent, unit: '%' }),
  }
}

const handbookFigure = (value: number): Figure => ({ value, provenance: WOOD_HANDBOOK })

/** Said with every figure that rests on the equation. */
export const STAND_IN =
  'The moisture is that of wood in the same air, standing in for bark and bast. Inner bark of western hemlock held ' +
  'slightly more than its wood (Meyer, Kellogg and Warren 1980), so the dry weight may be a little lower than this.'
export const OUT_OF_TABLE =
  'The equation was checked against its table from 2 to 82 °C and from 20 to 80 % relative humidity; this air lies outside, so weigh a dried strip if it matters.'

/** 35 to 180 °F and 20 to 80 % relative humidity: the range of the published comparison (NC State Extension). */
export const inTable = ({ temperatureC, relativeHumidityPercent }: Air): boolean =>
  temperatureC >= celsius(35) &&
  temperatureC <= celsius(180) &&
  relativeHumidityPercent >= 20 &&
  relativeHumidityPercent <= 80
