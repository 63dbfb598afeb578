/**
 * Reads alike bundles from one line: "12 bundles of 3 ties, 150 g each, 0.8 mm". The parts may come in any order, and
 * the thickness may be left out. A weight is always that of one bundle; a total is asked back.
 */
import { readLength, readWeight, type Units } from './quantity.js'
import { quote, splitOrSay } from './read-measure.js'
import { type Read, read, unread } from './refusal.js'
import type { Part } from './typed-number.js'
import { LENGTH_WORDS, WEIGHT_WORDS } from './unit.js'

/** What one bundle, or one line of bundles, can reasonably be; both ends included. Common practice, no source. */
export const BUNDLE_LIMITS = {
  bundles: { min: 1, max: 200 },
  ties: { min: 0, max: 200 },
  dryWeightG: { min: 1, max: 40_000 },
  thicknessMm: { min: 0.01, max: 50 },
} as const

export type BundlesLine = {
  count: number
  tiesEach: number
  dryWeightG: number
  /** As typed, in plain figures: "1 1/2 lb". */
  weightTyped: string
  thicknessMm: number | null
  thicknessTyped: string | null
}

const EXAMPLE = 'for example “12 bundles of 3 ties, 150 g each, 0.8 mm”'

type Slot = 'bundles' | 'ties' | 'weight' | 'thickness'
type Piece = { slot: Slot | 'bare' | 'total' | 'unknown'; text: string; amount: number; words: string[] }

/** Words that say nothing about which part it is. */
const FILLING = new Set(['of', 'with', 'at', 'x', '×', '*', 'each', 'apiece', 'thick', 'split', 'dry'])
const PER_BUNDLE = / (?:per|a|every|each) bundle /g
const TOTAL = /(?:^| )(?:total|in all|altogether|together|in total)(?: |$)/

const slotOf = (unit: string, phrase: string): Piece['slot'] => {
  if (TOTAL.test(phrase)) return 'total'
  if (unit === '') return 'bare'
  if (unit === 'bundle' || unit === 'bundles') return 'bundles'
  if (unit === 'tie' || unit === 'ties') return 'ties'
  if (WEIGHT_WORDS.has(unit) || unit === 'gr') return 'weight'
  return LENGTH_WORDS.has(unit) ? 'thickness' : 'unknown'
}

const pieceOf = (part: Part): Piece => {
  const phrase = ` ${part.words.join(' ').replace(/[;:]/g, ' ')} `.replace(PER_BUNDLE, ' ').trim()
  const unit = phrase
    .split(/ +/)
    .filter(word => !FILLING.has(word))
    .join(' ')
  return { slot: slotOf(unit, phrase), text: `${part.figure} ${unit}`, amount: part.amount, words: part.words }
}

const joins = (piece: Piece): boolean =>
  piece.words.some(word => word === 'of' || word === 'x' || word === '×' || word === '*')

/** A bare figure is the bundles in "12 x 3 ties", and the ties in "12 bundles of 3"; anywhere else it is open. */
const settle = (pieces: Piece[]): Piece[] => {
  const settled: Piece[] = []
  for (const piece of pieces) {
    const before = settled.at(-1)
    if (piece.slot !== 'bare') settled.push(piece)
    else if (before?.slot === 'bundles' && joins(before)) settled.push({ ...piece, slot: 'ties' })
    else settled.push({ ...piece, slot: before === undefined && joins(piece) ? 'bundles' : 'unknown' })
  }
  return settled
}

const QUESTIONS: Record<Slot, string> = {
  bundles: 'How many bundles are they',
  ties: 'How many ties has each bundle',
  weight: 'What does one bundle weigh dry',
  thickness: 'How thick is the fibre split',
}

const ask = (slot: Slot): Read<never> => unread(`${QUESTIONS[slot]}? Write the line of bundles anew, ${EXAMPLE}.`)

/** The pieces of one slot, which must stand together: "1 lb 3 oz" is two pieces of one weight. */
const take = (pieces: Piece[], slot: Slot): Piece[] | undefined => {
  const at = pieces.flatMap((piece, index) => (piece.slot === slot ? [index] : []))
  const together = at.every((index, i) => index === (at[0] ?? 0) + i)
  return together ? at.flatMap(index => pieces[index] ?? []) : undefined
}

const takeCount = (pieces: Piece[], slot: 'bundles' | 'ties'): Read<number> => {
  const [piece, more] = take(pieces, slot) ?? []
  if (!piece || more) return ask(slot)
  const { min, max } = BUNDLE_LIMITS[slot]
  if (!Number.isInteger(piece.amount) || piece.amount < min || piece.amount > max)
    return unread(
      `${quote(piece.text)} cannot be entered on one line of bundles: write a whole number from ${min} to ${max}.`,
    )
  return read(piece.amount)
}

const takeText = (pieces: Piece[], slot: 'weight' | 'thickness'): Read<string | null> => {
  const taken = take(pieces, slot)
  if (!taken) return ask(slot)
  return read(taken.length === 0 ? null : taken.map(piece => piece.text).join(' '))
}

const takeWeight = (pieces: Piece[], units: Units): Read<{ dryWeightG: number; weightTyped: string }> => {
  const text = takeText(pieces, 'weight')
  if (!text.ok) return text
  if (text.value === null) return ask('weight')
  const weight = readWeight(text.value, units, { label: 'dry weight of one bundle', ...BUNDLE_LIMITS.dryWeightG })
  return weight.ok ? read({ dryWeightG: weight.value.grams, weightTyped: text.value }) : weight
}

const takeThickness = (pieces: Piece[], units: Units): Read<Pick<BundlesLine, 'thicknessMm' | 'thicknessTyped'>> => {
  const text = takeText(pieces, 'thickness')
  if (!text.ok) return text
  if (text.value === null) return read({ thicknessMm: null, thicknessTyped: null })
  const length = readLength(text.value, units, { label: 'thickness', ...BUNDLE_LIMITS.thicknessMm })
  return length.ok ? read({ thicknessMm: length.value.millimetres, thicknessTyped: text.value }) : length
}

/** "a bundle of 3 ties" and "one bundle of 3 ties" are 1 bundle. */
const startInFigures = (typed: string): string => typed.trim().replace(/^(?:an?|one)(?= )/i, '1')

/** Alike bundles from one line, or a sentence that says what is missing or cannot be. */
export const readBundlesLine = (typed: string, units: Units): Read<BundlesLine> => {
  const split = splitOrSay(startInFigures(typed), 'line of bundles', '12 bundles of 3 ties, 150 g each, 0.8 mm')
  if (!split.ok) return split
  const { first, more, negative } = split.value
  if (negative) return ask('bundles')
  const pieces = settle([first, ...more].map(pieceOf))
  const stray = pieces.find(piece => piece.slot === 'unknown' || piece.slot === 'total')
  if (stray?.slot === 'total') return ask('weight')
  if (stray) return unread(`${quote(stray.text)} in the line of bundles cannot be read. Write it anew, ${EXAMPLE}.`)
  const count = takeCount(pieces, 'bundles')
  if (!count.ok) return count
  const tiesEach = takeCount(pieces, 'ties')
  if (!tiesEach.ok) return tiesEach
  const weight = takeWeight(pieces, units)
  if (!weight.ok) return weight
  const thickness = takeThickness(pieces, units)
  return thickness.ok
    ? read({ count: count.value, tiesEach: tiesEach.value, ...weight.value, ...thickness.value })
    : thickness
}
