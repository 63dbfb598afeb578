/**
 * Products that can show themselves: an amount is the product of its inputs, and the same inputs print the formula.
 * So what a line shows is what was reckoned, by construction.
 */
import type { Provenance } from './catalogue.js'
import type { How, HowInput } from './recipe.js'

export const commonPractice: Provenance = { kind: 'common practice', source: 'common practice, no source' }

/** A number for people: at most six significant digits, never in powers of ten. */
export function plainNumber(value: number): string {
  const rounded = Number(value.toPrecision(6))
  if (Math.abs(rounded) >= 1e-6 || rounded === 0) return String(rounded)
  return rounded.toFixed(14).replace(/0+$/, '').replace(/\.$/, '')
}

export function times(label: string, value: number, unit: string, provenance: Provenance): HowInput {
  return { label, value, unit, by: 'times', provenance }
}

export function dividedBy(label: string, value: number, unit: string, provenance: Provenance): HowInput {
  return { label, value, unit, by: 'divided by', provenance }
}

/** Multiplies the inputs out; a unit that begins with "%" counts as hundredths. 5 g × 2 % owf = 0.1. */
export function product(inputs: HowInput[]): number {
  return inputs.reduce((sum, input) => {
    const value = input.unit.startsWith('%') ? input.value / 100 : input.value
    return input.by === 'times' ? sum * value : sum / value
  }, 1)
}

/** The formula in words and with its numbers: "dry weight × dye", "5 g × 2 % owf = 0.1 g". */
export function howOf(inputs: HowInput[], unit: string): How {
  return {
    words: chain(inputs, input => input.label),
    numbers: `${chain(inputs, input => measure(input.value, input.unit))} = ${measure(product(inputs), unit)}`,
    inputs,
  }
}

export function measure(value: number, unit: string): string {
  return unit === '' ? plainNumber(value) : `${plainNumber(value)} ${unit}`
}

function chain(inputs: HowInput[], print: (input: HowInput) => string): string {
  return inputs.map((input, at) => (at === 0 ? '' : sign(input)) + print(input)).join('')
}

const sign = (input: HowInput): string => (input.by === 'times' ? ' × ' : ' ÷ ')
