import { describe, expect, test } from 'vitest'
import { ADDING_CARE, type Addition, additionBounds, asksWhyAdded, usedRatesOf } from '../../src/domain/addition.js'
import { reckon } from '../../src/domain/reckon.js'
import { Refusal } from '../../src/domain/refusal.js'
import { aCatalogue, aDye, aJob, aMordant, anAssistant, figure, lineOf, mordanted } from './recipe-kit.js'

const dye = aDye({ assistants: [{ substanceId: 'salt', basis: 'per kg', amount: figure(80), words: '' }] })
const substances = aCatalogue(dye, anAssistant({ unit: 'mL' }), aMordant({}))
const recipe = reckon(aJob({ mordants: [mordanted('alum', 10, 1), mordanted('alum', 10, 2)] }), substances)

describe('adding during the bath (bounds are common practice, no source)', () => {
  test('half the dye again at a time, as much again in all', () => {
    expect(additionBounds(recipe, 'dye', 0)).toMatchObject({
      substanceId: 'dye',
      name: 'the dye',
      unit: 'g',
      once: 50,
      inAll: 100,
      left: 100,
      words: 'At most 50 g of the dye now; 100 g more in all.',
      provenance: { kind: 'common practice', source: 'common practice, no source' },
    })
    expect(additionBounds(recipe, 'dye', 70)).toMatchObject({ once: 30, left: 30, inAll: 100 })
    expect(additionBounds(recipe, 'dye', 100)).toMatchObject({ once: 0, left: 0 })
    expect(additionBounds(recipe, 'dye', 130)).toMatchObject({ once: 0, left: 0 })
  })

  test('a quarter at a time and half in all of anything else, over all its baths', () => {
    expect(additionBounds(recipe, 'salt', 0)).toMatchObject({ unit: 'mL', once: 20, inAll: 40 })
    expect(additionBounds(recipe, 'alum', 0)).toMatchObject({ once: 50, inAll: 100 })
  })

  test('what is not in the recipe is refused', () => {
    const refusal = new Refusal('wrong', 'That is not in this recipe: choose one of its lines.', 'substanceId')
    expect(() => additionBounds(recipe, 'vinegar', 0)).toThrow(refusal)
  })

  test('are said in three figures that may be added as they are said', () => {
    const third = reckon(aJob({ dryWeightG: 1000 / 3 }), aCatalogue(aDye({})))
    const { once, words } = additionBounds(third, 'dye', 0)
    expect(once).toBeCloseTo(100 / 6, 9)
    expect(words).toBe('At most 16.6 g of the dye now; 33.3 g more in all.')
  })

  test('within them needs no word', () => {
    const dyeOf = (amount: number): Addition => ({ substanceId: 'dye', name: 'the dye', amount, unit: 'g' })
    expect(asksWhyAdded(recipe, dyeOf(50), 0)).toBeNull()
    expect(asksWhyAdded(recipe, dyeOf(50 * (1 + 1e-12)), 0)).toBeNull()
    expect(asksWhyAdded(recipe, dyeOf(30), 70)).toBeNull()
    expect(asksWhyAdded(recipe, { substanceId: 'salt', name: 'salt', amount: 20, unit: 'mL' }, 0)).toBeNull()
    expect(ADDING_CARE).toContain('half an hour')
  })

  test('outside them asks for one, and says what they are', () => {
    const dyeOf = (amount: number, unit: 'g' | 'mL' = 'g'): Addition => ({
      substanceId: 'dye',
      name: 'the dye',
      amount,
      unit,
    })
    expect(asksWhyAdded(recipe, dyeOf(50.001), 0)).toBe('At most 50 g of the dye should go in at a time.')
    expect(asksWhyAdded(recipe, dyeOf(31), 70)).toBe('At most 30 g of the dye should go in at a time.')
    expect(asksWhyAdded(recipe, dyeOf(1), 100)).toBe('This bath has had as much of the dye as it should get.')
    // The catalogue measures it otherwise by now: the bounds say nothing about that.
    expect(asksWhyAdded(recipe, dyeOf(1, 'mL'), 0)).toBe('At most 50 g of the dye should go in at a time.')
    expect(asksWhyAdded(recipe, { substanceId: 'vinegar', name: 'vinegar', amount: 1, unit: 'mL' }, 0)).toBe(
      'There is no vinegar in this recipe.',
    )
  })
})

describe('what was really used', () => {
  test('is summed by substance and put on the kilogram', () => {
    const used = [
      { substanceId: 'dye', amount: 100, unit: 'g' },
      { substanceId: 'salt', amount: 30, unit: 'mL' },
      { substanceId: 'dye', amount: 25, unit: 'g' },
    ] as const
    expect(usedRatesOf(500, [...used], 'really used for lot 12')).toEqual([
      { substanceId: 'dye', perKg: 250, unit: 'g', from: 'really used for lot 12', asComputed: false },
      { substanceId: 'salt', perKg: 60, unit: 'mL', from: 'really used for lot 12', asComputed: false },
    ])
    const partly = usedRatesOf(500, [used[0], { ...used[2], asComputed: true }, used[1]], 'really used for lot 12')
    expect(partly.map(({ from, asComputed }) => [from, asComputed])).toEqual([
      ['really used for lot 12, taken as computed', true],
      ['really used for lot 12', false],
    ])
  })

  test('repeats the lot for 1.8 times the weight', () => {
    const added = { substanceId: 'dye', amount: 40, unit: 'g' } as const
    const usedRates = usedRatesOf(1000, [...recipe.lines, added], 'really used for lot 12')
    const repeat = reckon({ ...recipe.job, dryWeightG: 1800, usedRates }, substances)
    expect(lineOf(repeat, 'dye:dye').amount).toBeCloseTo(252, 9)
    expect(lineOf(repeat, 'dye:salt').amount).toBeCloseTo(144, 9)
    expect(lineOf(repeat, 'mordant-1:alum').amount).toBeCloseTo(180, 9)
  })

  test.each([0, -1, Number.NaN])('a lot of %d grams has no rates', weight => {
    const refusal = new Refusal('wrong', 'The dry weight of the lot must be more than nothing.', 'dryWeightG')
    expect(() => usedRatesOf(weight, [], 'lot')).toThrow(refusal)
  })
})
