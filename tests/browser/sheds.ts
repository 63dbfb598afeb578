/** Two workshops that differ in all that a set-up asks, what a client brings to them, and how each says a weight. */
import { LAPTOP, PHONE } from './chromium.js'
import type { Device } from './visitor.js'

/** Exact by definition: NIST Handbook 44, Appendix C. */
export const POUND_G = 453.59237
export const OUNCE_G = POUND_G / 16
export const US_FLUID_OUNCE_ML = 29.5735295625

export type Shed = {
  device: Device
  weights: string
  volumes: string
  paper: 'A5' | 'Letter'
  /** A weight in grams as this workshop's pages are to say it. */
  say: (grams: number) => string
  /** The same for the sums of a slip, to the gram. */
  total: (grams: number) => string
}

const sayMetric = (grams: number): string =>
  grams < 1000 ? `${Number(grams.toPrecision(3))} g` : `${Math.round(grams) / 1000} kg`

/** To the eighth of an ounce; less than an ounce in grams. */
function sayPounds(grams: number): string {
  if (grams < OUNCE_G) return sayMetric(grams)
  const eighths = Math.round((grams / OUNCE_G) * 8)
  const [pounds, ounces] = [Math.floor(eighths / 128), Math.floor((eighths % 128) / 8)]
  const part = ['', '⅛', '¼', '⅜', '½', '⅝', '¾', '⅞'][eighths % 8]
  return [pounds ? `${pounds} lb` : '', `${ounces || ''}${part}` ? `${ounces || ''}${part} oz` : '']
    .filter(Boolean)
    .join(' ')
}

export const METRIC_ON_A_LAPTOP: Shed = {
  device: { javaScriptEnabled: false, hasTouch: false, isMobile: false, viewport: LAPTOP },
  weights: 'grams and kilograms',
  volumes: 'millilitres and litres',
  paper: 'A5',
  say: sayMetric,
  total: grams => `${Math.round(grams)} g`,
}

export const POUNDS_ON_A_PHONE: Shed = {
  device: { javaScriptEnabled: true, hasTouch: true, isMobile: true, viewport: PHONE },
  weights: 'pounds and ounces',
  volumes: 'US cups, pints, gallons',
  paper: 'Letter',
  say: sayPounds,
  total: sayPounds,
}

/** Lot 1: red cedar inner bark, all bundles alike. */
export const BARK = { line: '12 bundles of 3 ties, 150 g each, 0.8 mm', bundles: 12, ties: 36, grams: 12 * 150 }
/** Lot 1 again a year later, for 1.8 times the weight. */
export const MORE_BARK = { line: '12 bundles of 3 ties, 270 g each, 0.8 mm', grams: 1.8 * BARK.grams }

/** Lot 2: flax, weighed by three people on three scales. */
export const FLAX_ROWS = [
  { ties: 2, weight: '1 lb 3 oz', grams: POUND_G + 3 * OUNCE_G },
  { ties: 1, weight: '1½ lb', grams: 1.5 * POUND_G },
  { ties: 4, weight: '540g', grams: 540 },
]
export const FLAX = { bundles: 3, ties: 7, grams: FLAX_ROWS.reduce((sum, { grams }) => sum + grams, 0) }

export const DYE = 'all-purpose dye, bottled'
export const PURPOSE = 'hats for the spring class'
export const PASSPHRASE = 'nettle rush willow lime'
