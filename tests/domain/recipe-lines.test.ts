import { describe, expect, test } from 'vitest'
import { DYE_CLASSES, type Substance } from '../../src/domain/catalogue.js'
import { fibre } from '../../src/domain/first-catalogue/figures.js'
import type { RecipeJob } from '../../src/domain/recipe.js'
import { depthFactor } from '../../src/domain/recipe-dose.js'
import { depthWords, reckon } from '../../src/domain/reckon.js'
import {
  aCatalogue,
  aDye,
  aJob,
  aMordant,
  anAssistant,
  cotton,
  dyed,
  figure,
  lineOf,
  mordanted,
  refusalOf,
  tested,
} from './recipe-kit.js'

const at = (substances: Substance[], given: Partial<RecipeJob> = {}) => reckon(aJob(given), aCatalogue(...substances))
const amounts = (substances: Substance[], given: Partial<RecipeJob> = {}) =>
  Object.fromEntries(at(substances, given).lines.map(line => [line.key, Number(line.amount.toFixed(9))]))

describe('a dye by weight of fibre', () => {
  test('goes with weight, depth, share and take-up, and against strength', () => {
    expect(amounts([aDye({})])).toEqual({ 'dye:dye': 100 })
    expect(amounts([aDye({})], { dryWeightG: 250 })).toEqual({ 'dye:dye': 25 })
    expect(amounts([aDye({})], { depth: 0.5 })).toEqual({ 'dye:dye': 50 })
    expect(amounts([aDye({ relativeStrength: figure(5) })])).toEqual({ 'dye:dye': 20 })
    const strong = at([aDye({ relativeStrength: figure(5) })])
    expect(lineOf(strong, 'dye:dye').how.numbers).toBe('1000 g × 10 % owf × 1 ÷ 5 = 20 g')
    const other = aDye({ id: 'other', name: 'the other' })
    const dyes = [dyed('dye', null, 3), dyed('other', null, 1)]
    expect(amounts([aDye({}), other], { dyes })).toEqual({ 'dye:dye': 75, 'dye:other': 25 })
    const thirsty = fibre({ ...cotton, takeUp: { ...cotton.takeUp, plant: figure(2) } })
    const recipe = reckon(aJob(), { ...aCatalogue(aDye({})), fibres: [thirsty] })
    expect(lineOf(recipe, 'dye:dye').amount).toBeCloseTo(200, 9)
    expect(lineOf(recipe, 'dye:dye').how.words).toBe(
      'dry weight × the dye, medium shade × depth of shade × take-up of cotton',
    )
  })

  test('a typed per cent stands as typed: neither depth, share, strength nor take-up touch it', () => {
    const dye = aDye({ relativeStrength: figure(5) })
    const dyes = [dyed('dye', 7), dyed('other')]
    const takeUp = Object.fromEntries(DYE_CLASSES.map(one => [one, figure(3)]))
    const thirsty = { ...cotton, takeUp: { ...cotton.takeUp, ...takeUp } }
    const catalogue = { ...aCatalogue(dye, aDye({ id: 'other' })), fibres: [thirsty] }
    const line = lineOf(reckon(aJob({ dyes, depth: 2 }), catalogue), 'dye:dye')
    expect(line.amount).toBeCloseTo(70, 9)
    expect(line.how.numbers).toBe('1000 g × 7 % owf = 70 g')
    expect(line.how.inputs.map(input => input.provenance.source)).toEqual([
      'typed for this recipe',
      'typed for this recipe',
    ])
  })

  test('its line says what, where, how much and at what rate', () => {
    const line = lineOf(at([aDye({})], { dryWeightG: 500 }), 'dye:dye')
    expect(line).toMatchObject({
      substanceId: 'dye',
      name: 'the dye',
      role: 'dye',
      bathKey: 'dye',
      unit: 'g',
      alsoShown: [],
    })
    expect(line.ratePerKg).toBeCloseTo(100, 9)
    expect(line.how.inputs.map(input => [input.label, input.value, input.unit, input.by])).toEqual([
      ['dry weight', 500, 'g', 'times'],
      ['the dye, medium shade', 10, '% owf', 'times'],
      ['depth of shade', 1, '', 'times'],
    ])
  })
})

describe('depth of shade', () => {
  const own = aDye({ owfPercent: { pale: figure(4), medium: figure(10), deep: figure(30) } })
  test.each([
    [0.125, 0.2],
    [1.25, 1.5],
    [0.25, 0.4],
    [0.625, 0.7],
    [1, 1],
    [1.5, 2],
    [2, 3],
    [4, 6],
  ])('%d with the own figures 4, 10 and 30 is %d times the medium', (depth, factor) => {
    expect(depthFactor(own, depth).value).toBeCloseTo(factor, 12)
    expect(depthFactor(own, depth).provenance.source).toBe(depth === 1 ? 'common practice, no source' : tested.source)
  })

  test('without own figures, or without a medium, it is the factor itself', () => {
    const halfKnown = aDye({ owfPercent: { pale: figure(4), medium: null, deep: figure(30) } })
    const zero = aDye({ owfPercent: { pale: figure(4), medium: figure(0), deep: figure(30) } })
    for (const depth of [0.3, 1.7]) {
      for (const dye of [aDye({}), halfKnown, zero]) {
        const factor = depthFactor(dye, depth)
        expect(factor.value).toBe(depth)
        expect(factor.provenance.kind).toBe('common practice')
      }
    }
    expect(depthFactor(aDye({ owfPercent: { ...own.owfPercent, pale: null } }), 0.5).value).toBe(0.5)
    expect(depthFactor(aDye({ owfPercent: { ...own.owfPercent, deep: null } }), 1.5).value).toBe(1.5)
  })

  test.each([
    [0.1, '0.1 (paler than pale)'],
    [0.25, '0.25 (pale)'],
    [0.8, '0.8 (light to medium)'],
    [1, '1 (medium)'],
    [1.2, '1.2 (medium to full)'],
    [2, '2 (deep)'],
    [3, '3 (deeper than deep)'],
  ])('%d reads %s', (depth, words) => {
    expect(depthWords(depth)).toBe(words)
    expect(at([aDye({})], { depth }).depthWords).toBe(words)
  })
})

describe('a dye by its label', () => {
  const label = { container: 'bottle', containerHolds: figure(250), containersPerKg: figure(2) }
  const bottle = aDye({ id: 'bottle', name: 'bottled dye', dyeClass: 'all-purpose', unit: 'mL', form: 'liquid', label })
  const job = { route: 'label', dyes: [dyed('bottle')] } as const

  test('is bottles per kilogram, times the bottle, times the depth', () => {
    const line = lineOf(at([bottle], { ...job, dyes: [dyed('bottle')], dryWeightG: 300, depth: 1.5 }), 'dye:bottle')
    expect(line).toMatchObject({ unit: 'mL', alsoShown: ['0.9 bottles'] })
    expect(line.amount).toBeCloseTo(225, 9)
    expect(line.how.numbers).toBe('0.3 kg × 2 bottles/kg × 250 mL each × 1.5 = 225 mL')
    expect(line.how.words).toBe("dry weight × the label's rate × one bottle × depth of shade")
  })

  test.each([
    ['rate', { ...label, containersPerKg: null }],
    ['bottle', { ...label, containerHolds: null }],
    ['label', null],
  ])('is refused, asking for a strip, when its %s is not known', (_what, unknown) => {
    const refusal = refusalOf(aJob({ ...job, dyes: [dyed('bottle')] }), aCatalogue({ ...bottle, label: unknown }))
    expect(refusal).toBe(
      'wrong dyes.0.owfPercent: How much bottled dye to use is not known: try a strip, then type the per cent of fibre weight.',
    )
  })

  test('shows no bottles when a bottle holds nothing', () => {
    const empty = { ...bottle, label: { ...label, containerHolds: figure(0) } }
    expect(lineOf(at([empty], { ...job, dyes: [dyed('bottle', 5)] }), 'dye:bottle').alsoShown).toEqual([])
  })
})

describe('assistants', () => {
  const dose = (basis: '% owf' | 'per litre' | 'per kg' | 'per bath' | 'per gram', value: number) => ({
    substanceId: 'salt',
    basis,
    amount: figure(value),
    words: '',
  })

  test.each([
    ['% owf', 25, 125, '500 g × 25 % owf = 125 g', 'dry weight × salt'],
    ['per litre', 3, 30, '0.5 kg × 20 L/kg × 3 g/L = 30 g', 'dry weight × liquor ratio × salt'],
    ['per kg', 40, 20, '0.5 kg × 40 g/kg = 20 g', 'dry weight × salt'],
    ['per bath', 7, 7, '7 g = 7 g', 'salt for one bath'],
    [
      'per gram',
      2,
      100,
      '500 g × 10 % owf × 1 × 2 g per g = 100 g',
      'dry weight × the dye, medium shade × depth of shade × salt',
    ],
  ] as const)('%s', (basis, value, amount, numbers, words) => {
    const recipe = at([aDye({ assistants: [dose(basis, value)] }), anAssistant({})], { dryWeightG: 500 })
    const line = lineOf(recipe, 'dye:salt')
    expect(line.amount).toBeCloseTo(amount, 9)
    expect(line.how).toMatchObject({ numbers, words })
    expect(line.role).toBe('assistant')
    expect(line.ratePerKg).toBeCloseTo(amount * 2, 9)
  })

  test('two dyes that ask for the same assistant get the larger dose once', () => {
    const dyes = [dyed('dye'), dyed('other')]
    const substances = [
      aDye({ assistants: [dose('% owf', 10)] }),
      aDye({ id: 'other', assistants: [dose('per litre', 10)] }),
      anAssistant({}),
    ]
    expect(amounts(substances, { dyes })).toEqual({ 'dye:dye': 50, 'dye:other': 50, 'dye:salt': 200 })
    expect(amounts([...substances].reverse(), { dyes: [...dyes].reverse() })['dye:salt']).toBe(200)
  })

  test('what the dyer types stands instead of what the catalogue asks, larger or smaller', () => {
    const substances = [aDye({ assistants: [dose('% owf', 10)] }), anAssistant({})]
    for (const amount of [3, 30]) {
      const extras = [{ substanceId: 'salt', basis: '% owf', amount } as const]
      expect(amounts(substances, { extras })).toEqual({ 'dye:dye': 100, 'dye:salt': amount * 10 })
    }
  })

  test('a typed extra belongs to the dye bath and leaves the mordant bath alone', () => {
    const alum = aMordant({ mordantAssistants: [dose('per gram', 0.1)] })
    const extras = [{ substanceId: 'salt', basis: 'per kg', amount: 5 } as const]
    expect(amounts([aDye({}), alum, anAssistant({})], { mordants: [mordanted('alum')], extras })).toEqual({
      'mordant-1:alum': 250,
      'mordant-1:salt': 25,
      'dye:dye': 100,
      'dye:salt': 5,
    })
  })

  test('one whose amount nobody knows is left out and said so', () => {
    const unknown = { ...dose('% owf', 1), amount: null }
    const recipe = at([aDye({ assistants: [unknown] }), anAssistant({})])
    expect(recipe.lines.map(line => line.key)).toEqual(['dye:dye'])
    expect(recipe.cautions.find(caution => caution.name === 'salt')).toMatchObject({
      about: 'recipe',
      words: ['How much salt goes with this is not known: try a strip.'],
    })
  })

  test('one that is in the bath as a mordant already is not asked for twice', () => {
    const mordants = [{ substanceId: 'alum', when: 'in the dye bath', bath: 1, owfPercent: 4 } as const]
    const dye = aDye({ assistants: [{ ...dose('% owf', 9), substanceId: 'alum' }] })
    expect(amounts([dye, aMordant({})], { mordants })).toEqual({ 'dye:alum': 40, 'dye:dye': 100 })
  })

  test('are shown in spoons and cups beside the weight', () => {
    const shown = (amount: number, unit: 'g' | 'mL', gramsPerTeaspoon: number | null) => {
      const grams = gramsPerTeaspoon === null ? null : figure(gramsPerTeaspoon)
      const dye = aDye({ assistants: [dose('per bath', amount)] })
      return lineOf(at([dye, anAssistant({ unit, gramsPerTeaspoon: grams })]), 'dye:salt').alsoShown
    }
    expect(shown(4.92892159375, 'mL', null)).toEqual(['1 US teaspoon'])
    expect(shown(10, 'g', 5)).toEqual(['2 US teaspoons'])
    expect(shown(15, 'g', 5)).toEqual(['1 US tablespoon'])
    expect(shown(45, 'g', 5)).toEqual(['3 US tablespoons'])
    expect(shown(60, 'g', 5)).toEqual(['0.25 US cups'])
    expect(shown(236.5882365, 'mL', null)).toEqual(['1 US cup'])
    expect(shown(0.5, 'g', 5)).toEqual(['0.1 US teaspoons'])
    expect(shown(0.49, 'g', 5)).toEqual([])
    expect(shown(10, 'g', null)).toEqual([])
    expect(shown(10, 'g', 0)).toEqual([])
  })

  test('a catalogue that names an assistant it does not have is refused', () => {
    expect(refusalOf(aJob(), aCatalogue(aDye({ assistants: [dose('% owf', 1)] })))).toContain(
      'wrong catalogue: The catalogue has no',
    )
  })
})

describe('mordants', () => {
  const tannin = aMordant({ id: 'tannin', name: 'tannin' })
  const iron = aMordant({ id: 'iron', name: 'iron', metal: 'iron' })

  test('in several baths before, in the dye bath, and after, in the order in which the baths are made', () => {
    const mordants: RecipeJob['mordants'] = [
      { substanceId: 'iron', when: 'after dye', bath: 1, owfPercent: 1.5 },
      { substanceId: 'alum', when: 'before dye', bath: 2, owfPercent: 20 },
      { substanceId: 'alum', when: 'in the dye bath', bath: 1, owfPercent: 2 },
      { substanceId: 'tannin', when: 'before dye', bath: 1, owfPercent: 5 },
    ]
    const recipe = at([aDye({}), aMordant({}), tannin, iron], { mordants })
    expect(recipe.lines.map(line => [line.key, line.role, Math.round(line.amount)])).toEqual([
      ['mordant-1:tannin', 'mordant', 50],
      ['mordant-2:alum', 'mordant', 200],
      ['dye:alum', 'mordant', 20],
      ['dye:dye', 'dye', 100],
      ['after-1:iron', 'iron', 15],
    ])
    expect(recipe.baths.map(bath => [bath.key, bath.title, bath.waterL, bath.how.numbers])).toEqual([
      ['mordant-1', 'Mordant bath', 20, '1 kg × 20 L/kg = 20 L'],
      ['mordant-2', 'Mordant bath', 20, '1 kg × 20 L/kg = 20 L'],
      ['dye', 'Dye bath', 20, '1 kg × 20 L/kg = 20 L'],
      ['after-1', 'Bath after dyeing', 20, '1 kg × 20 L/kg = 20 L'],
    ])
    expect(recipe.dyeWords).toBe('the dye on tannin and alum then iron')
  })

  test('that share a bath make one bath', () => {
    const mordants = [mordanted('alum'), mordanted('tannin')]
    expect(at([aDye({}), aMordant({}), tannin], { mordants }).baths.map(bath => bath.key)).toEqual(['mordant-1', 'dye'])
  })

  test('take the typed per cent instead of the dose of the catalogue', () => {
    expect(amounts([aDye({}), aMordant({})], { mordants: [mordanted('alum')] })['mordant-1:alum']).toBe(250)
    expect(amounts([aDye({}), aMordant({})], { mordants: [mordanted('alum', 12)] })['mordant-1:alum']).toBe(120)
  })

  test('without a known dose are refused until one is typed', () => {
    const galls = aMordant({ id: 'galls', name: 'galls', mordantDose: { basis: '% owf', amount: null } })
    const mordants = [mordanted('alum'), mordanted('galls')]
    expect(refusalOf(aJob({ mordants }), aCatalogue(aDye({}), aMordant({}), galls))).toBe(
      'wrong mordants.1.owfPercent: How much galls to use is not known: try a strip, then type the per cent of fibre weight.',
    )
  })
})

describe('what was really used before', () => {
  const used = (substanceId: string, perKg: number, unit: 'g' | 'mL' = 'g') => ({
    substanceId,
    perKg,
    unit,
    from: 'really used for lot 12',
  })
  const salted = aDye({ assistants: [{ substanceId: 'salt', basis: 'per gram', amount: figure(2), words: '' }] })

  test('stands instead of what would be computed, whatever depth is asked', () => {
    const recipe = at([aDye({})], { dryWeightG: 1800, depth: 2, usedRates: [used('dye', 130)] })
    const line = lineOf(recipe, 'dye:dye')
    expect(line.amount).toBeCloseTo(234, 9)
    expect(line.ratePerKg).toBeCloseTo(130, 9)
    expect(line.how.numbers).toBe('1.8 kg × 130 g/kg = 234 g')
    expect(line.how.words).toBe('dry weight × the dye really used')
    expect(line.how.inputs[1]?.provenance).toEqual({ kind: 'own experience', source: 'really used for lot 12' })
  })

  test('what goes per gram with it follows the used amount, unless it was recorded too', () => {
    expect(amounts([salted, anAssistant({})], { usedRates: [used('dye', 50)] })).toEqual({
      'dye:dye': 50,
      'dye:salt': 100,
    })
    const both = [used('dye', 50), used('salt', 7)]
    expect(amounts([salted, anAssistant({})], { usedRates: both })).toEqual({ 'dye:dye': 50, 'dye:salt': 7 })
  })

  test('a substance that went into two baths is shared out as they were computed', () => {
    const mordants = [mordanted('alum', 10, 1), mordanted('alum', 30, 2)]
    const recipe = at([aDye({}), aMordant({})], { mordants, usedRates: [used('alum', 200)] })
    expect(lineOf(recipe, 'mordant-1:alum').amount).toBeCloseTo(50, 9)
    expect(lineOf(recipe, 'mordant-2:alum').amount).toBeCloseTo(150, 9)
    expect(lineOf(recipe, 'mordant-2:alum').how.words).toBe('dry weight × alum really used × part for this bath')
  })

  test('and evenly when the computed amounts are not known', () => {
    const galls = aMordant({ mordantDose: { basis: '% owf', amount: null } })
    const mordants = [mordanted('alum', null, 1), mordanted('alum', null, 2)]
    expect(amounts([aDye({}), galls], { mordants, usedRates: [used('alum', 200)] })).toMatchObject({
      'mordant-1:alum': 100,
      'mordant-2:alum': 100,
    })
  })

  test('makes a dye reckonable whose own figure is not known', () => {
    const unknown = aDye({ owfPercent: { pale: null, medium: null, deep: null } })
    expect(refusalOf(aJob(), aCatalogue(unknown))).toContain(
      'wrong dyes.0.owfPercent: How much the dye to use is not known',
    )
    expect(amounts([unknown], { usedRates: [used('dye', 30)] })).toEqual({ 'dye:dye': 30 })
    const zero = aDye({ owfPercent: { pale: null, medium: figure(0), deep: null } })
    expect(refusalOf(aJob(), aCatalogue(zero))).toContain('not known')
  })

  test('what was added beside the recipe comes back as a line of its own in the dye bath', () => {
    const vinegar = anAssistant({ id: 'vinegar', name: 'vinegar', unit: 'mL' })
    const iron = { substanceId: 'alum', when: 'after dye', bath: 1, owfPercent: 1 } as const
    const recipe = at([aDye({}), aMordant({}), vinegar], { mordants: [iron], usedRates: [used('vinegar', 40, 'mL')] })
    expect(recipe.lines.map(line => line.key)).toEqual(['dye:dye', 'dye:vinegar', 'after-1:alum'])
    expect(lineOf(recipe, 'dye:vinegar')).toMatchObject({ role: 'as used', unit: 'mL', amount: 40 })
  })

  test('nothing used is nothing weighed', () => {
    expect(amounts([aDye({})], { usedRates: [used('dye', 0)] })).toEqual({ 'dye:dye': 0 })
  })
})

describe('an indigo vat', () => {
  const vat = {
    perGram: [{ substanceId: 'salt', ratio: figure(2), words: 'lime' }],
    stockLPerG: figure(0.1),
    lowestPh: figure(10),
    highestPh: figure(11),
    lowestC: figure(20),
    highestC: figure(30),
    dips: figure(4),
    dipMinutes: figure(20),
    airingMinutes: figure(15),
  }
  const indigo = aDye({
    id: 'indigo',
    name: 'indigo',
    dyeClass: 'indigo',
    vat,
    owfPercent: { pale: null, medium: figure(5), deep: null },
  })
  const job = { route: 'indigo', dyes: [dyed('indigo')] } satisfies Partial<RecipeJob>

  test('weighs the stock by the gram of indigo, and fills the vat by the liquor ratio', () => {
    const recipe = at([indigo, anAssistant({})], job)
    expect(recipe.lines.map(line => [line.key, line.role, Math.round(line.amount)])).toEqual([
      ['stock:indigo', 'dye', 50],
      ['stock:salt', 'vat', 100],
    ])
    expect(recipe.baths.map(bath => [bath.key, bath.title, bath.waterL])).toEqual([
      ['stock', 'Stock for the vat', 5],
      ['vat', 'Vat', 20],
    ])
    expect(recipe.waterL).toBe(20)
    expect(recipe.waterHow.numbers).toBe('1 kg × 20 L/kg = 20 L')
  })

  test('is never smaller than its own stock', () => {
    const recipe = at([indigo, anAssistant({})], { ...job, liquorRatioLPerKg: 4 })
    expect(recipe.baths.map(bath => bath.waterL)).toEqual([5, 5])
    expect(recipe.waterL).toBe(5)
    expect(recipe.waterHow.words).toBe('dry weight × indigo, medium shade × depth of shade × stock')
    expect(recipe.waterHow.numbers).toBe('1000 g × 5 % owf × 1 × 0.1 L per g = 5 L')
  })

  test('has no stock bath when nobody knows how much stock', () => {
    const recipe = at([{ ...indigo, vat: { ...vat, stockLPerG: null } }, anAssistant({})], job)
    expect(recipe.baths.map(bath => bath.key)).toEqual(['vat'])
    expect(recipe.lines.map(line => line.key)).toEqual(['stock:indigo', 'stock:salt'])
  })

  test("extras and the dye's own assistants go into the vat and not into the stock", () => {
    const soap = anAssistant({ id: 'soap' })
    const withSoap = {
      ...indigo,
      assistants: [{ substanceId: 'soap', basis: 'per kg', amount: figure(3), words: '' } as const],
    }
    const extras = [{ substanceId: 'salt', basis: 'per kg', amount: 9 } as const]
    expect(amounts([withSoap, soap, anAssistant({})], { ...job, extras })).toEqual({
      'stock:indigo': 50,
      'stock:salt': 100,
      'vat:salt': 9,
      'vat:soap': 3,
    })
  })

  test('refuses acid beside a reducing agent, in the stock or in the vat', () => {
    const reducer = anAssistant({ kind: 'reducing agent', name: 'dithionite' })
    const acid = anAssistant({ id: 'acid', name: 'vinegar', kind: 'acid' })
    const extras = [{ substanceId: 'acid', basis: 'per kg', amount: 9 } as const]
    expect(refusalOf(aJob({ ...job, extras }), aCatalogue(indigo, reducer, acid))).toBe(
      'wrong extras.0.substanceId: vinegar is an acid and must never meet dithionite, a reducing agent: take one of them out.',
    )
    const soured = {
      ...indigo,
      assistants: [{ substanceId: 'acid', basis: 'per kg', amount: figure(3), words: '' } as const],
    }
    expect(refusalOf(aJob(job), aCatalogue(soured, reducer, acid))).toContain('wrong dyes: vinegar is an acid')
    const apart = {
      ...aMordant({}),
      mordantAssistants: [{ substanceId: 'acid', basis: 'per kg', amount: figure(3), words: '' } as const],
    }
    const recipe = at([indigo, reducer, acid, apart], { ...job, mordants: [mordanted('alum')] })
    expect(recipe.lines.map(line => line.key)).toEqual([
      'mordant-1:alum',
      'mordant-1:acid',
      'stock:indigo',
      'stock:salt',
    ])
  })

  test('a plant dye with vat figures on the plant route makes no stock', () => {
    expect(amounts([aDye({ vat }), anAssistant({})])).toEqual({ 'dye:dye': 100 })
  })
})

describe('water and what the recipe says of itself', () => {
  test('the typed liquor ratio goes before the fibre, and none at all is refused', () => {
    expect(at([aDye({})], { liquorRatioLPerKg: 15 })).toMatchObject({ waterL: 15 })
    expect(at([aDye({})]).waterHow.numbers).toBe('1 kg × 20 L/kg = 20 L')
    expect(at([aDye({})]).waterHow.words).toBe('dry weight × liquor ratio')
    const dry = { ...aCatalogue(aDye({})), fibres: [{ ...cotton, liquorRatioLPerKg: null }] }
    expect(refusalOf(aJob(), dry)).toBe(
      'wrong liquorRatioLPerKg: How much water cotton needs is not known: try a strip, then type the liquor ratio.',
    )
    expect(reckon(aJob({ liquorRatioLPerKg: 30 }), dry).waterL).toBe(30)
  })

  test('names the basis of the dry weight', () => {
    const basis = (dryBasis: RecipeJob['dryBasis'], regainPercent: number | null) => {
      const regain = regainPercent === null ? null : figure(regainPercent)
      return reckon(aJob({ dryBasis }), { ...aCatalogue(aDye({})), fibres: [{ ...cotton, regainPercent: regain }] })
        .basisWords
    }
    expect(basis('oven-dry', 12)).toBe('oven-dry weight: the fibre without any water')
    expect(basis('air-dry as weighed', 12)).toBe('air-dry weight, as weighed')
    expect(basis('conditioned', 12)).toBe('conditioned weight, at a regain of 12 % (written for this test)')
    expect(basis('conditioned', null)).toBe(
      'conditioned weight: air-dry as weighed, since the regain of this fibre is not known',
    )
  })

  test('names fibre, dyes, mordants and route, and keeps the job as asked', () => {
    const job = aJob({
      mordants: [mordanted('alum', 12, 1), mordanted('alum', 12, 2)],
      dyes: [dyed('dye'), dyed('other')],
    })
    const recipe = reckon(job, aCatalogue(aDye({}), aDye({ id: 'other', name: 'the other' }), aMordant({})))
    expect(recipe).toMatchObject({
      job,
      fibreName: 'cotton',
      dyeWords: 'the dye and the other on alum',
      routeWords: 'plant or insect dye on a mordant',
    })
    expect(at([aDye({})]).dyeWords).toBe('the dye')
    expect(at([aDye({ dyeClass: 'iron', metal: 'iron' })], { route: 'iron' }).baths[0]?.title).toBe('Iron bath')
    expect(at([aDye({ dyeClass: 'iron', metal: 'iron' })], { route: 'iron' }).lines[0]?.role).toBe('iron')
  })

  test('refuses an odd figure of an edited catalogue instead of printing it', () => {
    const odd = (value: number) => refusalOf(aJob(), aCatalogue(aDye({ relativeStrength: figure(value) })))
    const sentence = 'wrong catalogue: The amount of the dye cannot be reckoned: check its figures in the catalogue.'
    expect(odd(0)).toBe(sentence)
    expect(odd(-1)).toBe(sentence)
    expect(odd(Number.NaN)).toBe(sentence)
  })
})
