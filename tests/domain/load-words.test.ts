import { describe, expect, test } from 'vitest'
import { asksIfMeant, begunWords, nowWords } from '../../src/domain/load-words.js'
import { STEP_KEYS } from '../../src/domain/recipe.js'

describe('where a load is now', () => {
  test('is said for every kind of step, and for none', () => {
    for (const key of STEP_KEYS) expect(nowWords({ key, title: 'Dip 2' })).toMatch(/^(now|the vat) /)
    expect(nowWords({ key: 'stand', title: 'Leave it in the bath overnight' })).toBe('now left in the bath overnight')
    expect(nowWords({ key: 'dip', title: 'Dip 2' })).toBe('now at Dip 2')
    expect(nowWords(null)).toBe('now on the ready shelf')
  })
})

test('how a load begins is said by where its first step is', () => {
  expect(begunWords({ title: 'Soak, and take the ties off', place: 'soak tub' }, 'Pot 1')).toBe(
    'begun: soaking, for Pot 1',
  )
  expect(begunWords({ title: 'Dye', place: 'pot' }, 'Pot 1')).toBe('put in Pot 1')
  expect(begunWords({ title: 'Rinse', place: 'rinse' }, 'Pot 1')).toBe('begun: Rinse, for Pot 1')
})

describe('a press is asked about', () => {
  const pace = { title: 'Dye', atLeastMinutes: 60, minutes: 60, tapS: null }

  test.each([
    [0, 'Less than a minute of at least 1 h so far: Dye.'],
    [0.9, 'Less than a minute of at least 1 h so far: Dye.'],
    [1, 'Only 1 min of at least 1 h so far: Dye.'],
    [53.9, 'Only 54 min of at least 1 h so far: Dye.'],
    [54, null],
    [90, null],
  ])('when the step has run for %f min of 60', (minutes, sentence) => {
    expect(asksIfMeant({ ...pace, minutes })).toBe(sentence)
  })

  test('never for its time alone when its least time is not known', () => {
    expect(asksIfMeant({ ...pace, atLeastMinutes: null, minutes: 0 })).toBeNull()
  })

  test.each([
    [0, 'This was pressed a moment ago: Dye has only just begun.'],
    [9.9, 'This was pressed a moment ago: Dye has only just begun.'],
    [10, null],
    [null, null],
  ])('when the last press was %j s ago', (tapS, sentence) => {
    expect(asksIfMeant({ ...pace, atLeastMinutes: null, tapS })).toBe(sentence)
  })
})
