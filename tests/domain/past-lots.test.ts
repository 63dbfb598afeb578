/** Looking for past lots: letters and figures of any writing are words, every other sign only parts them. */
import { describe, expect, test } from 'vitest'
import {
  asksInSignsOnly,
  FIND_IN,
  finishedFirst,
  isShortened,
  type LotsAsk,
  lotNumberIn,
  MOST_WORDS,
  wordsAsked,
  wordsIn,
} from '../../src/domain/past-lots.js'

const ask = (more: Partial<LotsAsk> = {}): LotsAsk => ({
  words: '',
  client: '',
  colour: '',
  fibre: '',
  dye: '',
  ...more,
})
const many = (count: number): string => Array.from({ length: count }, (_, n) => `w${n + 1}`).join(' ')

describe('the words of a text', () => {
  test.each([
    ['walnut, dark-brown "7"', ['walnut', 'dark', 'brown', '7']],
    ['  ', []],
    ['', []],
    ['%_*--', []],
    ['Łódź crème Ωμέγα', ['Łódź', 'crème', 'Ωμέγα']],
    // "é" as a letter with an accent of its own (U+0065 U+0301) stays one word.
    ['cre\u0301me', ['cre\u0301me']],
    ['x', ['x']],
    ['12b', ['12b']],
  ])('%s', (text, words) => expect(wordsIn(text)).toEqual(words))

  test('an accent without its letter begins no word', () => expect(wordsIn('\u0301a')).toEqual(['a']))

  test('only the first dozen are looked for', () => {
    expect(MOST_WORDS).toBe(12)
    expect(wordsAsked(many(13))).toEqual(wordsIn(many(12)))
    expect(wordsAsked('one two')).toEqual(['one', 'two'])
  })
})

describe('a question', () => {
  test.each(FIND_IN)('of more than a dozen words for %s is shortened', field => {
    expect(isShortened(ask({ [field]: many(13) }))).toBe(true)
    expect(isShortened(ask({ [field]: many(12) }))).toBe(false)
  })

  test.each(FIND_IN)('in signs only for %s asks for nothing that a lot could answer', field => {
    expect(asksInSignsOnly(ask({ words: 'walnut', [field]: ' ?! ' }))).toBe(true)
    expect(asksInSignsOnly(ask({ [field]: ' a! ' }))).toBe(false)
    expect(asksInSignsOnly(ask({ [field]: '   ' }))).toBe(false)
  })
})

test('lots that went back stand first, each part in its order', () => {
  const lot = (id: number, closedAt: string | null) => ({ id, closedAt })
  const lots = [lot(1, null), lot(2, '2026-03-01'), lot(3, null), lot(4, '2026-02-01')]
  expect(finishedFirst(lots).map(({ id }) => id)).toEqual([2, 4, 1, 3])
  expect(finishedFirst([])).toEqual([])
})

describe('the number of a lot, typed by itself', () => {
  test.each([
    ['214', 214],
    ['#214', 214],
    ['lot 214', 214],
    ['Lot #214', 214],
    [' lot214 ', 214],
    ['lot  #  214', 214],
    ['123456789', 123_456_789],
    ['7', 7],
  ])('%s', (words, number) => expect(lotNumberIn(words)).toBe(number))

  test.each(['', 'lot', '#', 'lot 214 walnut', 'a lot 214', '214b', '1234567890', '##214', '-214', '2 14'])(
    '%s is none',
    words => expect(lotNumberIn(words)).toBeNull(),
  )
})
