/**
 * How a figure was worked out, so that a page can open it: the formula in words, the same formula with its numbers, and
 * every input with its unit and where it comes from. A recipe's `How` is one of these.
 */
import type { Figure, Provenance } from './catalogue.js'
import { Refusal } from './refusal.js'
import { sayFigure } from './say-quantity.js'

export type WorkingInput = { label: string; value: number; unit: string; provenance: Provenance }
export type Working = { words: string; numbers: string; inputs: WorkingInput[] }

/** What the dyer weighed, measured or typed for this one reckoning. */
export const MEASURED: Provenance = { kind: 'own experience', source: 'measured in this workshop' }

export const measured = (label: string, value: number, unit: string): WorkingInput => ({
  label,
  value,
  unit,
  provenance: MEASURED,
})

export const given = (label: string, { value, provenance }: Figure, unit: string): WorkingInput => ({
  label,
  value,
  unit,
  provenance,
})

const withUnit = (value: number, unit: string): string => `${sayFigure(value, 6)} ${unit}`.trim()

/**
 * Fills a formula such as "{wet} ÷ (1 + {moisture} ÷ 100)" with the inputs' labels and again with their numbers, and
 * sets the result behind both. Every input must stand in the formula.
 */
export const working = (
  formula: string,
  inputs: Record<string, WorkingInput>,
  result: { label: string; value: number; unit: string },
): Working => {
  const fill = (say: (input: WorkingInput) => string): string => {
    const filled = Object.entries(inputs).reduce((text, [key, input]) => {
      if (!text.includes(`{${key}}`)) throw new Error(`the formula ${formula} does not use ${key}`)
      return text.replaceAll(`{${key}}`, say(input))
    }, formula)
    return filled
  }
  return {
    words: `${result.label} = ${fill(input => input.label)}`,
    numbers: `${fill(input => withUnit(input.value, input.unit))} = ${withUnit(result.value, result.unit)}`,
    inputs: Object.values(inputs),
  }
}

/** Refuses a figure outside its limits (both included), in a sentence that names it. */
export const within = ({ label, value, unit }: WorkingInput, min: number, max: number): void => {
  if (value >= min && value <= max) return
  const shown = Number.isFinite(value) ? `, not ${withUnit(value, unit)}` : ''
  throw new Refusal('wrong', `The ${label} must be from ${sayFigure(min)} to ${withUnit(max, unit)}${shown}.`)
}
