import { expect, test } from 'vitest'
import { comesNext, type LotStanding } from '../../src/domain/lot.js'

const next = (standing: Partial<LotStanding>) =>
  comesNext({ places: ['arrivals shelf'], hasRecipe: false, wasLaid: false, hasOutcome: false, ...standing })

test('a lot on the arrivals shelf wants its recipe, and with a recipe a pot', () => {
  expect(next({})).toEqual(['recipe', 'outcome'])
  expect(next({ hasRecipe: true })).toEqual(['pot', 'recipe', 'outcome'])
})

test('a lot of which a part is in a pot leads to the other part first, then to the pots', () => {
  const laid = { hasRecipe: true, wasLaid: true }
  expect(next({ ...laid, places: ['arrivals shelf', 'pot'] })).toEqual(['pot', 'today', 'recipe', 'outcome'])
  expect(next({ ...laid, places: ['rinse', 'drying line', 'ready shelf'] })).toEqual([
    ...['today', 'hand-back'],
    ...['recipe', 'outcome'],
  ])
})

test('a lot that is dry wants a word on what came out, then its hand-back', () => {
  const dry = { places: ['ready shelf', 'ready shelf'] as const, hasRecipe: true, wasLaid: true }
  expect(next(dry)).toEqual(['outcome', 'hand-back', 'repeat', 'recipe'])
  expect(next({ ...dry, hasOutcome: true })).toEqual(['hand-back', 'repeat', 'recipe', 'outcome'])
})

test('a lot that went back can be made again, and a later word on its colour is still taken', () => {
  const gone = { places: ['handed back', 'not found'] as const, hasRecipe: true, wasLaid: true, hasOutcome: true }
  expect(next(gone)).toEqual(['repeat', 'outcome'])
})
