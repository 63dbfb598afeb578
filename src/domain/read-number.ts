import { outside, quote, splitOrSay } from './read-measure.js'
import { type Read, read, unread } from './refusal.js'
import { splitQuantity } from './typed-number.js'

export type NumberOptions = {
  /** Names the figure in a sentence, without "the": "share of dye 2". */
  label: string
  /** The unit that the label of the field says; it may be typed after the figure. */
  unit?: string
  example: string
  min?: number
  max?: number
}

/** A liquor ratio may be written as such: "1 : 20" is 20 L/kg. */
const ONE_TO = /^\s*1\s*:\s*/

/** A plain figure: "1.5", "1,5", "¾", or "20 L/kg" where the unit is L/kg. Bounds are inclusive. */
export function readNumber(typed: string, { label, unit = '', example, min, max }: NumberOptions): Read<number> {
  const parted = splitOrSay(unit === 'L/kg' ? typed.replace(ONE_TO, '') : typed, label, example)
  if (!parted.ok) return parted
  const { first, more, negative } = parted.value
  if (more.length > 0 || !isUnit(first.words, unit)) {
    const how = unit === '' ? 'as a plain figure' : `in ${unit}`
    return unread(`${quote(typed)} cannot be read. Enter the ${label} ${how}, for example ${example}.`)
  }
  const value = negative ? -first.amount : first.amount
  const sentence = outside(value, typed, unit, { label, min, max })
  return sentence === undefined ? read(value) : unread(sentence)
}

/** No unit at all, the whole unit, or its first word: "12 %" for "% of oven-dry weight". */
function isUnit(words: string[], unit: string): boolean {
  if (words.length === 0) return true
  const whole = splitQuantity(`1 ${unit}`)
  if (!whole.ok || unit === '') return false
  const said = words.join(' ')
  return said === whole.first.words.join(' ') || said === whole.first.words[0]
}
