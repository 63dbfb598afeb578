import { describe, expect, test } from 'vitest'
import { additionBounds, readAddition, usedRatesOf } from '../../src/domain/addition.js'
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
      words:
        'At most 50 g of the dye now; 100 g more in all. Dissolve it first, lift the fibre out, stir it in, and give it half an hour.',
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

  test('an addition is read, or sent back with a sentence', () => {
    expect(readAddition(recipe, 'dye', 0, 50)).toEqual({ ok: true, value: 50 })
    expect(readAddition(recipe, 'dye', 0, 50 * (1 + 1e-12))).toMatchObject({ ok: true })
    expect(readAddition(recipe, 'dye', 0, 50.001)).toEqual({
      ok: false,
      sentence: 'Add at most 50 g of the dye at a time. Wait, then look again.',
    })
    const more = { ok: false, sentence: 'How much was added of the dye, in g? Type more than nothing.' }
    for (const amount of [0, -3, Number.NaN]) expect(readAddition(recipe, 'dye', 0, amount)).toEqual(more)
    expect(readAddition(recipe, 'dye', 100, 1)).toEqual({
      ok: false,
      sentence: 'This bath has had as much of the dye as it should get: make a new bath, or leave the shade as it is.',
    })
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
      { substanceId: 'dye', perKg: 250, unit: 'g', from: 'really used for lot 12' },
      { substanceId: 'salt', perKg: 60, unit: 'mL', from: 'really used for lot 12' },
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
