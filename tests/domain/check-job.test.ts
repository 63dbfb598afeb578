import { describe, expect, test } from 'vitest'
import type { RecipeJob } from '../../src/domain/recipe.js'
import { reckon } from '../../src/domain/reckon.js'
import { aCatalogue, aDye, aJob, aMordant, anAssistant, dyed, mordanted, refusalOf } from './recipe-kit.js'

const catalogue = aCatalogue(
  aDye({}),
  aDye({ id: 'bug', name: 'the bug', dyeClass: 'insect' }),
  aDye({ id: 'direct', name: 'the direct', dyeClass: 'direct' }),
  aDye({ id: 'blue', name: 'the blue', dyeClass: 'indigo' }),
  aDye({ id: 'bottle', name: 'the bottle', dyeClass: 'all-purpose' }),
  aDye({ id: 'rust', name: 'the rust', dyeClass: 'iron' }),
  aMordant({}),
  anAssistant({}),
)
const refused = (given: Partial<RecipeJob>) => refusalOf(aJob(given), catalogue)
const accepted = (given: Partial<RecipeJob>) => reckon(aJob(given), catalogue).lines.length

describe('ranges, each refused by its field with what to do', () => {
  test.each<[string, number, number, string, (value: number) => Partial<RecipeJob>]>([
    ['dryWeightG', 0.1, 100_000, 'The dry weight in grams', dryWeightG => ({ dryWeightG })],
    ['depth', 0.05, 4, 'The depth of shade (0.25 pale, 0.5 light, 1 medium, 1.5 full, 2 deep)', depth => ({ depth })],
    [
      'liquorRatioLPerKg',
      2,
      200,
      'The liquor ratio in litres per kilogram',
      liquorRatioLPerKg => ({ liquorRatioLPerKg }),
    ],
    ['dips', 1, 20, 'The number of dips', dips => ({ dips })],
    ['dyes.0.share', 0.001, 1000, 'The share of the dye', share => ({ dyes: [dyed('dye', null, share)] })],
    [
      'dyes.0.owfPercent',
      0.001,
      1000,
      'The per cent of fibre weight for the dye',
      owf => ({ dyes: [dyed('dye', owf)] }),
    ],
    [
      'mordants.0.owfPercent',
      0.001,
      1000,
      'The per cent of fibre weight for alum',
      owf => ({ mordants: [mordanted('alum', owf)] }),
    ],
    ['mordants.0.bath', 1, 5, 'The number of the bath', bath => ({ mordants: [mordanted('alum', 1, bath)] })],
    [
      'extras.0.amount',
      0.001,
      10_000,
      'The amount of salt',
      amount => ({ extras: [{ substanceId: 'salt', basis: '% owf', amount }] }),
    ],
    [
      'usedRates.0.perKg',
      0,
      20_000,
      'The used rate of salt per kilogram',
      perKg => ({ usedRates: [{ substanceId: 'salt', perKg, unit: 'g', from: 'lot 1' }] }),
    ],
  ])('%s from %d to %d', (field, least, most, what, given) => {
    expect(accepted(given(least))).toBeGreaterThan(0)
    expect(accepted(given(most))).toBeGreaterThan(0)
    const sentence = `wrong ${field}: ${what} must be a number from ${least} to ${most}. Check it and type it again.`
    for (const value of [least - 0.01, least - 1, most * 1.001 + 0.01, Number.NaN, Number.POSITIVE_INFINITY, -5]) {
      expect(refused(given(value))).toBe(sentence)
    }
  })

  test('dips and baths are whole numbers', () => {
    expect(refused({ dips: 2.5 })).toBe('wrong dips: The number of dips must be a whole number.')
    expect(refused({ mordants: [mordanted('alum', 1, 1.5)] })).toBe(
      'wrong mordants.0.bath: The number of the bath must be a whole number.',
    )
  })
})

describe('names', () => {
  test('an unknown fibre, dye, mordant, extra or used substance is refused by field', () => {
    expect(refused({ fibreId: 'moss' })).toBe(
      'wrong fibreId: The catalogue has no fibre "moss". Choose one of its fibres.',
    )
    expect(refused({ dyes: [dyed('dye'), dyed('tea')] })).toBe(
      'wrong dyes.1.substanceId: The catalogue has no dyestuff or mordant "tea". Choose one of its entries.',
    )
    expect(refused({ mordants: [mordanted('tea')] })).toContain('wrong mordants.0.substanceId: The catalogue has no')
    expect(refused({ extras: [{ substanceId: 'tea', basis: '% owf', amount: 1 }] })).toContain(
      'wrong extras.0.substanceId: The catalogue has no',
    )
    expect(refused({ usedRates: [{ substanceId: 'tea', perKg: 1, unit: 'g', from: 'lot' }] })).toContain(
      'wrong usedRates.0.substanceId: The catalogue has no',
    )
  })
})

describe('dyes', () => {
  test('at least one', () => {
    expect(refused({ dyes: [] })).toBe('wrong dyes: Choose at least one dye.')
  })

  test('of the classes that the route takes', () => {
    expect(accepted({ dyes: [dyed('bug')] })).toBe(1)
    expect(accepted({ route: 'powder', dyes: [dyed('direct')] })).toBe(1)
    expect(accepted({ route: 'iron', dyes: [dyed('rust')] })).toBe(1)
    expect(accepted({ route: 'label', dyes: [dyed('bottle', 5)] })).toBe(1)
    expect(refused({ route: 'powder', dyes: [dyed('dye')] })).toBe(
      'wrong dyes.0.substanceId: the dye does not belong to the route "dye powder, by weight of fibre": choose another dye or another route.',
    )
    expect(refused({ route: 'plant', dyes: [dyed('rust')] })).toContain(
      'does not belong to the route "plant or insect dye on a mordant"',
    )
    expect(refused({ route: 'label', dyes: [dyed('direct')] })).toContain(
      'does not belong to the route "bottled or packet dye, by its label"',
    )
    expect(refused({ route: 'iron', dyes: [dyed('dye')] })).toContain('does not belong to the route "iron alone"')
    expect(refused({ route: 'indigo', dyes: [dyed('dye')] })).toContain('does not belong to the route "indigo vat"')
    expect(refused({ dyes: [dyed('salt')] })).toContain('wrong dyes.0.substanceId: salt does not belong')
  })

  test('each once, and one indigo to a vat', () => {
    expect(refused({ dyes: [dyed('dye'), dyed('bug'), dyed('dye')] })).toBe(
      'wrong dyes.2.substanceId: the dye is named twice: give it one line with its whole share.',
    )
    expect(refused({ route: 'indigo', dyes: [dyed('blue'), dyed('blue')] })).toBe(
      'wrong dyes.1.substanceId: A vat is made from one indigo: choose one.',
    )
    expect(accepted({ dyes: [dyed('dye'), dyed('bug')] })).toBe(2)
  })
})

describe('mordants', () => {
  const within = { substanceId: 'alum', when: 'in the dye bath', bath: 1, owfPercent: 1 } as const

  test('must be one', () => {
    expect(refused({ mordants: [mordanted('salt')] })).toBe(
      'wrong mordants.0.substanceId: salt is not a mordant in this catalogue: choose one that is.',
    )
  })

  test('are in each bath once, but may be in several baths', () => {
    const sentence = 'wrong mordants.1.substanceId: alum is in that bath already: give it one line.'
    expect(refused({ mordants: [mordanted('alum'), mordanted('alum')] })).toBe(sentence)
    expect(refused({ mordants: [within, { ...within, bath: 2 }] })).toBe(sentence)
    expect(accepted({ mordants: [mordanted('alum', 1, 1), mordanted('alum', 1, 2)] })).toBe(3)
    expect(accepted({ mordants: [mordanted('alum'), within, { ...within, when: 'after dye' }] })).toBe(4)
  })

  test('are not the dye of the same bath', () => {
    const iron = aMordant({
      id: 'iron',
      name: 'iron',
      dyeClass: 'iron',
      owfPercent: { pale: null, medium: null, deep: null },
    })
    const own = aCatalogue(iron)
    const job = aJob({ route: 'iron', dyes: [dyed('iron', 1)] })
    const use = { ...within, substanceId: 'iron' }
    expect(refusalOf({ ...job, mordants: [use] }, own)).toBe(
      'wrong mordants.0.substanceId: iron is in that bath already: give it one line.',
    )
    expect(reckon({ ...job, mordants: [{ ...use, when: 'after dye' }] }, own).lines).toHaveLength(2)
  })
})

describe('extras', () => {
  const salt = { substanceId: 'salt', basis: '% owf', amount: 5 } as const

  test('are reckoned by weight, by litre or by bath', () => {
    expect(refused({ extras: [{ ...salt, basis: 'per gram' }] })).toBe(
      "wrong extras.0.basis: Say how much salt by the fibre's weight, per litre or per bath.",
    )
  })

  test('are in the bath once', () => {
    const sentence = (at: number, name: string) =>
      `wrong extras.${at}.substanceId: ${name} is in the bath already: give it one line.`
    expect(refused({ extras: [salt, salt] })).toBe(sentence(1, 'salt'))
    expect(refused({ extras: [{ ...salt, substanceId: 'dye' }] })).toBe(sentence(0, 'the dye'))
    const within = { substanceId: 'alum', when: 'in the dye bath', bath: 1, owfPercent: 1 } as const
    expect(refused({ extras: [{ ...salt, substanceId: 'alum' }], mordants: [within] })).toBe(sentence(0, 'alum'))
    expect(accepted({ extras: [{ ...salt, substanceId: 'alum' }], mordants: [mordanted('alum')] })).toBe(3)
  })
})

describe('used rates and reasons', () => {
  const used = { substanceId: 'salt', perKg: 5, unit: 'g', from: 'lot 12' } as const

  test('a used rate names its source and the unit of its substance, once', () => {
    expect(refused({ usedRates: [{ ...used, unit: 'mL' }] })).toBe(
      'wrong usedRates.0.unit: salt is measured in g: give its used rate in g per kilogram.',
    )
    expect(refused({ usedRates: [{ ...used, from: '  ' }] })).toBe(
      'wrong usedRates.0.from: Say where the used rate of salt comes from.',
    )
    expect(refused({ usedRates: [used, used] })).toBe(
      'wrong usedRates.1.substanceId: salt has two used rates: give their sum once.',
    )
    expect(accepted({ usedRates: [used, { ...used, substanceId: 'dye' }] })).toBe(2)
  })

  test('a reason has words', () => {
    expect(
      refused({
        reasons: [
          { ruleId: 'a', words: 'why' },
          { ruleId: 'b', words: ' ' },
        ],
      }),
    ).toBe('wrong reasons.1.words: Say why in a few words, or leave the reason out.')
    expect(accepted({ reasons: [{ ruleId: 'a', words: 'why' }] })).toBe(1)
  })
})
