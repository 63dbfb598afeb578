/** What was really weighed out of a line, beside what was computed for it. */
import type { Substance } from './catalogue.js'
import type { Units } from './quantity.js'
import { readAmount, type TypedAmount } from './read-amount.js'
import { type Read, read } from './refusal.js'

const NONE = /^0([.,]0*)? ?(g|grams?|kg|ml|l)?$/i

/** Like an addition, but a line may have been left out on purpose: "0" is an answer here. */
export function readWeighed(
  typed: string,
  substance: Pick<Substance, 'name' | 'unit' | 'gramsPerTeaspoon'>,
  units: Units,
): Read<TypedAmount> {
  const text = typed.trim()
  return NONE.test(text) ? read({ amount: 0, unit: substance.unit, typed: text }) : readAmount(text, substance, units)
}

/** Nearer than this, two amounts are the same: they differ by the last digits of a conversion alone. */
const SAME = 1e-9
export const isAsComputed = (computed: number, weighed: number): boolean =>
  Math.abs(weighed - computed) <= SAME * Math.max(computed, weighed)

/** Whether of all lines it was said what was weighed out; a load without lines has nothing to weigh. */
export const isWeighedOut = (lines: readonly { weighed: unknown }[]): boolean =>
  lines.length > 0 && lines.every(({ weighed }) => weighed !== null)
