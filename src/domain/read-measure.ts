/**
 * What the readers of quantity.ts have in common: figures and units added up, or a sentence that names the field.
 */
import { type Read, read, unread } from './refusal.js'
import { sayFigure } from './say-quantity.js'
import { type Flaw, LONGEST, type Part, type Split, splitQuantity } from './typed-number.js'
import { type Kind, kindOf } from './unit.js'

/**
 * `label` names the thing in the sentence, without "the": "dry weight of bundle 2". `min` and `max` are inclusive and
 * in g, mL, mm or °C. `defaultUnit` is what a bare number means, for a field whose label says so.
 */
export type ReadOptions<Unit = never> = {
  label: string
  min?: number | undefined
  max?: number | undefined
  defaultUnit?: Unit | undefined
}

/** How one unit turns a figure into SI, or the question that has to be answered first. */
type Known = { ok: true; toSi: (figure: number) => number; size: number }
export type Found = Known | { ok: false; sentence: string }

export type Measure = {
  kind: Kind
  si: string
  /** Two ways of writing one, for the end of a sentence. */
  example: string
  unitQuestion: string
  least: number
  most: number
  find: (phrase: string, written: string) => Found | undefined
}

export const scaled = (size: number): Found => ({ ok: true, toSi: figure => figure * size, size })
export const asked = (sentence: string): Found => ({ ok: false, sentence })

/** What was typed, short enough for a sentence. */
export const quote = (typed: string): string => {
  const text = typed.trim().replace(/\s+/g, ' ')
  return `“${[...text].length > 40 ? `${[...text].slice(0, 40).join('')}…` : text}”`
}

const flawSentence = (flaw: Flaw, near: string, typed: string, label: string, example: string): string => {
  const enter = `Enter the ${label}, for example ${example}.`
  const said: Record<Flaw, string> = {
    empty: enter,
    long: `That is more than ${LONGEST} characters. ${enter}`,
    comma: `Does ${quote(near)} mean ${near.replace(',', '')} or ${near.replace(',', '.')}? Write the ${label} without a comma.`,
    range: `${quote(typed)} gives two figures. Enter one figure for the ${label}, for example ${example}.`,
    'zero-below': `${quote(near)} divides by nothing. ${enter}`,
    'two-figures': `${quote(typed)} has two figures with nothing between them. ${enter}`,
    unclear: `${quote(typed)} cannot be read. ${enter}`,
  }
  return said[flaw]
}

const KIND_NAMES: Record<Kind, string> = {
  weight: 'a weight',
  volume: 'a volume',
  length: 'a length',
  temperature: 'a temperature',
}

const unknownUnit = (measure: Measure, phrase: string, typed: string, label: string): string => {
  const other = kindOf(phrase)
  const enter = `Enter the ${label}, for example ${measure.example}.`
  if (other && other !== measure.kind) return `${quote(typed)} is ${KIND_NAMES[other]}. ${enter}`
  return `${quote(typed)} cannot be read: ${quote(phrase)} is not a unit of ${measure.kind} known here. ${enter}`
}

/** One part in SI; a part without words falls to `defaultUnit`. */
const partUnit = (part: Part, typed: string, measure: Measure, label: string, fallback?: string): Found => {
  const phrase = part.words.length > 0 ? part.words.join(' ') : fallback
  if (phrase === undefined) {
    const figure = sayFigure(part.amount)
    return asked(`${measure.unitQuestion.replaceAll('#', figure)} Write the unit after the ${label}.`)
  }
  return measure.find(phrase, typed) ?? asked(unknownUnit(measure, phrase, typed, label))
}

type Term = { amount: number; unit: Known }

/** Adds "1 lb 3 oz" up: whole numbers first, each unit smaller than the one before, and no part too large for it. */
const addUp = (terms: Term[]): number | undefined => {
  let total = 0
  let room = Number.POSITIVE_INFINITY
  for (const [i, { amount, unit }] of terms.entries()) {
    const value = unit.toSi(amount)
    const isLast = i === terms.length - 1
    if (value >= room || (!isLast && !Number.isInteger(amount))) return undefined
    total += value
    room = unit.size
  }
  return total
}

/** Sentence for a value outside the limits, as a question, or undefined when it is inside. */
export const outside = (
  value: number,
  typed: string,
  unit: string,
  options: ReadOptions<unknown>,
  measure?: Measure,
) => {
  const min = options.min ?? measure?.least ?? 0
  const max = options.max ?? measure?.most ?? Number.MAX_SAFE_INTEGER
  const check = unit === '' ? 'Check the figure.' : 'Check the figure and the unit.'
  const ask = `Is ${quote(typed)} right for the ${options.label}?`
  if (value < min) return `${ask} Less than ${sayLimit(min, unit)} cannot be entered. ${check}`
  if (value > max) return `${ask} More than ${sayLimit(max, unit)} cannot be entered. ${check}`
  return undefined
}

const sayLimit = (limit: number, unit: string): string => {
  if (limit < 1000 || (unit !== 'g' && unit !== 'mL')) return `${sayFigure(limit, 6)} ${unit}`.trim()
  return `${sayFigure(limit / 1000, 6)} ${unit === 'g' ? 'kg' : 'L'}`
}

export const negativeSentence = (typed: string, label: string, example: string): string =>
  `${quote(typed)} is less than nothing. Enter the ${label} without a minus sign, for example ${example}.`

/** The splitting half of every reader: figures and words, or the sentence. */
export const splitOrSay = (typed: string, label: string, example: string): Read<Split & { ok: true }> => {
  const parts = splitQuantity(typed)
  return parts.ok ? read(parts) : unread(flawSentence(parts.flaw, parts.near, typed, label, example))
}

export const readMeasure = (typed: string, measure: Measure, options: ReadOptions<string>): Read<number> => {
  const { label, defaultUnit } = options
  const parted = splitOrSay(typed, label, measure.example)
  if (!parted.ok) return parted
  const { first, more, negative } = parted.value
  if (negative && measure.kind !== 'temperature') return unread(negativeSentence(typed, label, measure.example))
  const terms: Term[] = []
  for (const part of [first, ...more]) {
    const unit = partUnit(part, typed, measure, label, more.length === 0 ? defaultUnit?.toLowerCase() : undefined)
    if (!unit.ok) return unread(unit.sentence)
    terms.push({ amount: negative ? -part.amount : part.amount, unit })
  }
  const value = addUp(terms)
  if (value === undefined || (measure.kind === 'temperature' && more.length > 0))
    return unread(
      `${quote(typed)} does not add up to one ${measure.kind}. Enter the ${label}, for example ${measure.example}.`,
    )
  const sentence = outside(value, typed, measure.si, options, measure)
  return sentence === undefined ? read(value) : unread(sentence)
}
