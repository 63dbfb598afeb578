/** A count compares a list that was made beforehand with what is physically there: Spectrum 5.0, Audit. */
import { expect, test } from 'vitest'
import { ANSWERS, ANSWERS_TO, findingsOf, needsWords } from '../../src/domain/shelf-count.js'

const of = (listed: number[], seen: number[], here: number[]) =>
  Object.fromEntries(findingsOf({ listed: new Set(listed), seen: new Set(seen), here: new Set(here) }))

test('what is listed and seen is fine, what is only listed is missing, what is only seen is unexpected', () => {
  expect(of([1, 2], [1, 3], [1, 2])).toEqual({ 1: 'fine', 2: 'missing', 3: 'unexpected' })
})

test('what a step took away or brought during the count is no question', () => {
  expect(of([1, 2], [1, 3], [1, 3])).toEqual({ 1: 'fine', 2: 'moved since', 3: 'moved since' })
  expect(of([1], [1], [])).toEqual({ 1: 'fine' })
})

test('an empty shelf has nothing to answer', () => {
  expect(of([], [], [])).toEqual({})
})

test('every answer is offered for a question, and finding or explaining needs words', () => {
  const offered = [...ANSWERS_TO.missing, ...ANSWERS_TO.unexpected].map(([answer]) => answer)
  expect(new Set(offered)).toEqual(new Set(ANSWERS))
  expect(ANSWERS.filter(needsWords)).toEqual(['found', 'explained'])
})
