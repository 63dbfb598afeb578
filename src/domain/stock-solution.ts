/**
 * Stock solutions, for amounts too small to weigh: how many mL of stock hold what the recipe asks for, how much stock to
 * make, and the smallest amount that a scale weighs well. Weights in g, volumes in mL.
 */
import { sayFigure } from './say-quantity.js'
import { measured, type Working, type WorkingInput, within, working } from './working.js'

/** "5 g/L", or "1 %", which is grams in 100 mL of finished stock (w/v), so ten times as many g/L. */
export type Strength = { value: number; unit: 'g/L' | '% w/v' }
export type Scale = { stepG: number; allowedErrorPercent: number }

const GRAMS_PER_LITRE_OF_ONE: Record<Strength['unit'], number> = { 'g/L': 1, '% w/v': 10 }
const HEAVIEST_G = 1e6
const LARGEST_ML = 1e9

export const gramsPerLitre = ({ value, unit }: Strength): number => value * GRAMS_PER_LITRE_OF_ONE[unit]

/** The strength as an input, and the mL that hold one unit of it: 1000 for g/L, 100 for per cent. */
const strengthOf = (strength: Strength): { input: WorkingInput; perMl: number } => {
  const input = measured('strength of the stock', strength.value, strength.unit)
  within(input, 0.001, strength.unit === 'g/L' ? 1000 : 100)
  return { input, perMl: 1000 / GRAMS_PER_LITRE_OF_ONE[strength.unit] }
}

const amountOf = (grams: number): WorkingInput => {
  const amount = measured('amount wanted', grams, 'g')
  within(amount, 0, HEAVIEST_G)
  return amount
}

type Portion = { volumeMl: number; how: Working }

const holding = (amount: WorkingInput, strength: Strength, label: string): Portion => {
  const { input, perMl } = strengthOf(strength)
  const volumeMl = (amount.value / strength.value) * perMl
  const how = working(
    `{amount} ÷ {strength} × ${perMl}`,
    { amount, strength: input },
    { label, value: volumeMl, unit: 'mL' },
  )
  return { volumeMl, how }
}

/** mL of stock that hold `grams`: 0.1 g of a 5 g/L stock is 20 mL. */
export const stockVolume = (grams: number, strength: Strength): Portion =>
  holding(amountOf(grams), strength, 'stock to measure')

/** Stock to make, what to weigh for it, and how both were reckoned. */
export type StockToMake = { makeMl: number; weighG: number; how: Working; weighHow: Working }

/**
 * How much stock to make for `neededMl`, with a spare for what stays in the measure, rounded up to whole `roundUpMl`; and
 * the grams to weigh for it.
 */
export const stockToMake = (
  neededMl: number,
  strength: Strength,
  { sparePercent, roundUpMl }: { sparePercent: number; roundUpMl: number },
): StockToMake => {
  const needed = measured('stock needed', neededMl, 'mL')
  const spare = measured('spare', sparePercent, '%')
  within(needed, 0, LARGEST_ML)
  within(spare, 0, 100)
  within(measured('round measure', roundUpMl, 'mL'), 1, 10_000)
  const { input, perMl } = strengthOf(strength)
  const withSpare = neededMl * (1 + sparePercent / 100)
  const makeMl = roundUpTo(withSpare, roundUpMl)
  const make = { label: 'stock to make', value: makeMl, unit: 'mL' }
  const round = `rounded up to whole ${sayFigure(roundUpMl, 6)} mL`
  const weighG = (makeMl / perMl) * strength.value
  const weigh = { label: 'to weigh for the stock', value: weighG, unit: 'g' }
  return {
    makeMl,
    weighG,
    how: working(`{needed} × (1 + {spare} ÷ 100), ${round}`, { needed, spare }, make),
    weighHow: working(
      `{make} × {strength} ÷ ${perMl}`,
      { make: measured('stock to make', makeMl, 'mL'), strength: input },
      weigh,
    ),
  }
}

/** Up to whole steps, forgiving the last digits of a floating-point figure: 60.000000001 mL is not 70 mL. */
const roundUpTo = (value: number, step: number): number => Math.max(0, Math.ceil(value / step - 1e-9)) * step

/**
 * The smallest amount that the scale weighs well: where one step of the display is the allowed part of the amount. Half
 * a step is lost at the tare and half at the reading, at worst. Common practice, no source.
 */
export const smallestWeighed = ({ stepG, allowedErrorPercent }: Scale): { grams: number; how: Working } => {
  const step = measured('step of the scale', stepG, 'g')
  const allowed = measured('allowed error', allowedErrorPercent, '%')
  within(step, 0.0001, 1000)
  within(allowed, 0.1, 50)
  const grams = (stepG / allowedErrorPercent) * 100
  const result = { label: 'smallest amount weighed well', value: grams, unit: 'g' }
  return { grams, how: working('{step} ÷ {allowed} × 100', { step, allowed }, result) }
}

/** Whether an amount is too small for the scale, with the sentence that asks for a stock solution. Nothing needs none. */
export const needsStock = (grams: number, scale: Scale): { needed: boolean; sentence: string | null; how: Working } => {
  within(measured('amount wanted', grams, 'g'), 0, HEAVIEST_G)
  const smallest = smallestWeighed(scale)
  const needed = grams > 0 && grams < smallest.grams * (1 - 1e-9)
  const sentence = needed
    ? `${sayFigure(grams)} g is too little for a scale with steps of ${sayFigure(scale.stepG)} g: below ${sayFigure(smallest.grams)} g make a stock solution and measure mL.`
    : null
  return { needed, sentence, how: smallest.how }
}

/** `least` is the smallest stock that the scale can weigh out well; `make` is never smaller. */
export type StockPlan = {
  portion: Portion
  smallest: { grams: number; how: Working }
  least: Portion
  make: StockToMake
}

/** A stock solution for `grams`: what to measure off, and a stock to make that this scale can weigh. */
export const planStock = (
  grams: number,
  strength: Strength,
  scale: Scale,
  rounding: { sparePercent: number; roundUpMl: number },
): StockPlan => {
  const portion = stockVolume(grams, strength)
  const smallest = smallestWeighed(scale)
  const weighed = measured('smallest amount weighed well', smallest.grams, 'g')
  const least = holding(weighed, strength, 'least stock that this scale can make')
  return { portion, smallest, least, make: stockToMake(Math.max(portion.volumeMl, least.volumeMl), strength, rounding) }
}

/** What a bath of this strength holds: 3 g/L in 20 L are 60 g. */
export const gramsInBath = (gPerL: number, bathMl: number): { grams: number; how: Working } => {
  const inputs = { strength: strengthOfBath(gPerL), bath: measured('bath', bathMl, 'mL') }
  within(inputs.bath, 0, LARGEST_ML)
  const value = (gPerL * bathMl) / 1000
  const result = { label: 'what goes in', value, unit: 'g' }
  return { grams: value, how: working('{strength} × {bath} ÷ 1000', inputs, result) }
}

/** Per cent of dry fibre from a strength in the bath: g/L × L/kg ÷ 10. 20 g/L at 20 L/kg is 40 %. */
export const owfFromBath = (gPerL: number, liquorRatioLPerKg: number): { owfPercent: number; how: Working } => {
  const inputs = {
    strength: strengthOfBath(gPerL),
    ratio: measured('liquor ratio', liquorRatioLPerKg, 'L/kg'),
  }
  within(inputs.ratio, 1, 200)
  const value = (gPerL * liquorRatioLPerKg) / 10
  const result = { label: 'on weight of fibre', value, unit: '%' }
  return { owfPercent: value, how: working('{strength} × {ratio} ÷ 10', inputs, result) }
}

const strengthOfBath = (gPerL: number): WorkingInput => {
  const strength = measured('strength of the bath', gPerL, 'g/L')
  within(strength, 0, 1000)
  return strength
}
