/**
 * Splits what a person typed into figures and the words after each: "1 lb 3½ oz" gives [1, lb] and [3.5, oz].
 * Knows nothing of units. Work is linear in the length, and anything over LONGEST characters is turned away first.
 */
/** `figure` is how `amount` was written, tidied: "1 1/2". */
export type Part = { amount: number; figure: string; words: string[] }

/** Why a text could not be split; `near` is the piece that could not be read. */
export type Flaw = 'empty' | 'long' | 'comma' | 'range' | 'zero-below' | 'two-figures' | 'unclear'
export type Split = { ok: true; first: Part; more: Part[]; negative: boolean } | { ok: false; flaw: Flaw; near: string }

/** More than anyone needs for one quantity. */
export const LONGEST = 100

const VULGAR_FRACTION = /[\u00bc-\u00be\u2150-\u215f\u2189]/g
const DEGREE_LOOKALIKES = /[\u00ba\u02da]/g
const INVISIBLE = /[\u00ad\u200b-\u200f\u2060\ufeff]/g
const DASHES = /[\u2010-\u2015\u2212]/g
const SINGLE_QUOTES = /[\u2018\u2019\u2032]/g
const DOUBLE_QUOTES = /[\u201c\u201d]|''/g

/** One plain spelling: ordinary digits, spaces, dashes, quotes and fractions, in lower case. */
export const tidy = (typed: string): string =>
  typed
    .replace(DEGREE_LOOKALIKES, '°')
    .replace(VULGAR_FRACTION, fraction => ` ${fraction}`) // before NFKC, or 1½ would become 11/2
    .normalize('NFKC')
    .replace(INVISIBLE, '')
    .replace(DASHES, '-')
    .replace(SINGLE_QUOTES, "'")
    .replace(DOUBLE_QUOTES, '"')
    .replace(/[\u2044\u2215]/g, '/')
    .replace(/\s+/g, ' ')
    .trim()
    .toLowerCase()

const MIXED = /^(\d+)(?: - | -|- | |-)(\d+) ?\/ ?(\d+)/
const FRACTION = /^(\d+) ?\/ ?(\d+)/
const PLAIN = /^\.?\d+(?:[.,]\d+)*/

const POINT_DECIMAL = /^\d*\.\d+$/
const COMMA_DECIMAL = /^\d+,\d+$/
const COULD_BE_THOUSANDS = /^[1-9]\d{0,2},\d{3}$/
const COMMA_GROUPS = /^[1-9]\d{0,2}(?:,\d{3})+\.\d+$|^[1-9]\d{0,2}(?:,\d{3}){2,}$/
const POINT_GROUPS = /^[1-9]\d{0,2}(?:\.\d{3})+,\d+$|^[1-9]\d{0,2}(?:\.\d{3}){2,}$/

/** A figure without a fraction bar. A point is the decimal sign; a comma too, unless "1,234" leaves it open. */
const plainAmount = (figure: string): number | Flaw => {
  if (/^\d+$/.test(figure) || POINT_DECIMAL.test(figure)) return Number(figure)
  if (COULD_BE_THOUSANDS.test(figure)) return 'comma'
  if (COMMA_DECIMAL.test(figure)) return Number(figure.replace(',', '.'))
  if (COMMA_GROUPS.test(figure)) return Number(figure.replaceAll(',', ''))
  if (POINT_GROUPS.test(figure)) return Number(figure.replaceAll('.', '').replace(',', '.'))
  return 'unclear'
}

const fractionAmount = (whole: number, above: number, below: number, mixed: boolean): number | Flaw => {
  if (below === 0) return 'zero-below'
  if (mixed && above >= below) return 'unclear'
  return whole + above / below
}

/** The figure at the start of `text`, and how many characters it takes. */
const leadingAmount = (text: string): { amount: number | Flaw; length: number } | undefined => {
  const mixed = MIXED.exec(text)
  if (mixed) {
    const [all, whole, above, below] = mixed
    return { amount: fractionAmount(Number(whole), Number(above), Number(below), true), length: all.length }
  }
  const fraction = FRACTION.exec(text)
  if (fraction) {
    const [all, above, below] = fraction
    return { amount: fractionAmount(0, Number(above), Number(below), false), length: all.length }
  }
  const plain = PLAIN.exec(text)
  return plain ? { amount: plainAmount(plain[0]), length: plain[0].length } : undefined
}

/** Everything up to the next figure; a point before a figure belongs to it only after a space. */
const WORDS_BEFORE_FIGURE = /^.*?(?= \.\d|\d|$)/

const wordsOf = (run: string): string[] =>
  run
    .replace(/[.]/g, '')
    .replace(/(["'°])/g, ' $1 ')
    .split(/[ ,&+()-]+/)
    .filter(word => word !== '' && word !== 'and')

const isRange = (run: string, rest: string): boolean => rest !== '' && /^ ?(?:-|to|or) ?$/.test(run)

const failed = (flaw: Flaw, near: string): Split => ({ ok: false, flaw, near })

const splitTidied = (text: string, negative: boolean): Split => {
  const parts: Part[] = []
  for (let rest = text; rest !== ''; ) {
    const figure = leadingAmount(rest)
    if (!figure) return failed('unclear', rest)
    const written = rest.slice(0, figure.length)
    if (typeof figure.amount !== 'number') return failed(figure.amount, written)
    rest = rest.slice(figure.length)
    const run = WORDS_BEFORE_FIGURE.exec(rest)?.[0] ?? ''
    rest = rest.slice(run.length).trimStart()
    if (isRange(run, rest)) return failed('range', text)
    if (rest !== '' && run.trim() === '') return failed('two-figures', text)
    if (rest !== '' && run.endsWith('.')) return failed('unclear', text)
    parts.push({ amount: figure.amount, figure: written, words: wordsOf(run) })
  }
  const [first, ...more] = parts
  return first ? { ok: true, first, more, negative } : failed('empty', '')
}

/** Splits a typed quantity; a leading minus sign is reported, not refused, since a temperature may have one. */
export const splitQuantity = (typed: string): Split => {
  if (typed.trim().length > LONGEST) return failed('long', '')
  const text = tidy(typed)
  const negative = text.startsWith('-')
  return splitTidied(negative ? text.slice(1).trimStart() : text, negative)
}
