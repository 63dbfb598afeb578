import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  exchangeByMetal,
  exchangeByMole,
  exchangeLots,
  metalOfBoth,
  relativeStrength,
  SALTS,
  type Salt,
  saltsIn,
} from '../../src/domain/exchange.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { Refusal } from '../../src/domain/refusal.js'
import { workedAgain } from './working-numbers.js'

describe('factors worked by hand from the atomic weights of CIAAW/IUPAC 2021', () => {
  test.each<[Salt, Salt, number]>([
    [SALTS.sodaCrystals, SALTS.sodaAsh, 0.37041],
    [SALTS.sodaAsh, SALTS.sodaCrystals, 2.69973],
    [SALTS.glaubersSalt, SALTS.sodiumSulfate, 0.44085],
    [SALTS.sodiumSulfate, SALTS.glaubersSalt, 2.26834],
    [SALTS.ironSulfate1, SALTS.ironSulfate7, 1.63614],
    [SALTS.citricAcid, SALTS.citricAcid1, 1.09377],
    [SALTS.copperSulfate5, SALTS.copperSulfate, 159.602 / 249.677],
  ])('%o for %o, mole for mole', (from, to, factor) => {
    expect(exchangeByMole(100, from, to).grams).toBeCloseTo(100 * factor, 2)
  })

  test.each<[Salt, Salt, number]>([
    [SALTS.potassiumAlum, SALTS.aluminiumSulfate18, 0.7024],
    [SALTS.potassiumAlum, SALTS.aluminiumSulfate14, 0.62645],
    [SALTS.potassiumAlum, SALTS.ammoniumAlum, 0.95561],
    [SALTS.potassiumAlum, SALTS.aluminiumSulfate, 5.688 / 15.772],
    [SALTS.potassiumAlum, SALTS.aluminiumSulfate16, 5.688 / 8.561],
  ])('%o for %o, on equal aluminium', (from, to, factor) => {
    expect(exchangeByMetal(100, from, to, 'aluminium').grams).toBeCloseTo(100 * factor, 1)
    expect(exchangeByMetal(1, from, to, 'aluminium').grams).toBeCloseTo(factor, 4)
  })

  test('iron and copper by their metal', () => {
    expect(exchangeByMetal(1, SALTS.ironSulfate1, SALTS.ironSulfate7, 'iron').grams).toBeCloseTo(1.63614, 5)
    expect(exchangeByMetal(1, SALTS.copperSulfate, SALTS.copperSulfate5, 'copper').grams).toBeCloseTo(1.56437, 5)
  })
})

test('the metal that a salt brings: 5.688 % in potassium alum, 20.088 % in iron sulfate with seven waters', () => {
  const metal = (name: string, formula: string): Salt => ({ name, formula })
  expect(exchangeByMetal(100, SALTS.potassiumAlum, metal('aluminium', 'Al'), 'aluminium').grams).toBeCloseTo(5.688, 3)
  expect(exchangeByMetal(100, SALTS.ironSulfate7, metal('iron', 'Fe'), 'iron').grams).toBeCloseTo(20.088, 3)
})

test('every salt has a name of its own that says its water', () => {
  const names = Object.values(SALTS).map(salt => salt.name)
  expect(new Set(names).size).toBe(names.length)
  expect(names).toEqual([
    'potassium alum',
    'ammonium alum',
    'aluminium sulfate, anhydrous',
    'aluminium sulfate, 14 water',
    'aluminium sulfate, 16 water',
    'aluminium sulfate, 18 water',
    'iron(II) sulfate, 7 water',
    'iron(II) sulfate, 1 water',
    'copper(II) sulfate, 5 water',
    'copper(II) sulfate, anhydrous',
    'soda crystals',
    'soda ash',
    "Glauber's salt",
    'sodium sulfate, anhydrous',
    'citric acid, 1 water',
    'citric acid, anhydrous',
  ])
})

test('the working of both', () => {
  expect(exchangeByMole(100, SALTS.sodaCrystals, SALTS.sodaAsh).how).toEqual({
    words: 'soda ash = soda crystals × molar mass of soda ash ÷ molar mass of soda crystals',
    numbers: '100 g × 105.988 g/mol ÷ 286.138 g/mol = 37.0408 g',
    inputs: [
      expect.objectContaining({ label: 'soda crystals', value: 100, unit: 'g' }),
      expect.objectContaining({
        label: 'molar mass of soda ash',
        provenance: { kind: 'standard', source: 'CIAAW/IUPAC standard atomic weights 2021' },
      }),
      expect.objectContaining({ label: 'molar mass of soda crystals', unit: 'g/mol' }),
    ],
  })
  const { words, numbers } = exchangeByMetal(100, SALTS.potassiumAlum, SALTS.aluminiumSulfate18, 'aluminium').how
  expect(words).toBe(
    'aluminium sulfate, 18 water = potassium alum × (molar mass of aluminium sulfate, 18 water ÷ atoms of aluminium in aluminium sulfate, 18 water) ÷ (molar mass of potassium alum ÷ atoms of aluminium in potassium alum)',
  )
  expect(numbers).toBe('100 g × (666.401 g/mol ÷ 2) ÷ (474.372 g/mol ÷ 1) = 70.2404 g')
})

describe('what can be exchanged', () => {
  test('is what the catalogue weighs and has a formula for, and the usual hydrates besides', () => {
    const ids = saltsIn(firstCatalogue.substances).map(({ id }) => id)
    expect(ids).toEqual(expect.arrayContaining(['potassium-alum', 'soda-ash', 'ironSulfate1', 'citricAcid1']))
    expect(ids).not.toContain('vinegar') // measured in mL
    expect(ids).not.toContain('potassiumAlum') // the catalogue has it
    expect(ids).not.toContain('weld') // no formula
    expect(new Set(ids).size).toBe(ids.length)
  })
  test('is left out when its formula was mistyped', () => {
    const odd = { id: 'odd', name: 'odd', unit: 'g' as const, formula: 'Xx2' }
    expect(saltsIn([odd]).map(({ id }) => id)).not.toContain('odd')
  })
  test('goes by the metal that both bring', () => {
    expect(metalOfBoth(SALTS.potassiumAlum, SALTS.aluminiumSulfate)).toBe('aluminium')
    expect(metalOfBoth(SALTS.ironSulfate7, SALTS.ironSulfate1)).toBe('iron')
    expect(() => metalOfBoth(SALTS.sodaAsh, SALTS.sodaCrystals)).toThrow(
      'No metal of a mordant is in both soda ash and soda crystals. Exchange them mole for mole, or choose another.',
    )
    expect(() => metalOfBoth(SALTS.potassiumAlum, SALTS.ironSulfate7)).toThrow(Refusal)
  })
})

describe('dye lots', () => {
  test('Beech 1901, ch. IX: 30 : 25 :: 100 : 83.3', () => {
    expect(relativeStrength(25, 30).percent).toBeCloseTo(83.3, 1)
    expect(relativeStrength(25, 30).how).toMatchObject({
      words: 'strength of the sample = volume of the sample ÷ volume of the standard × 100',
      numbers: '25 mL ÷ 30 mL × 100 = 83.3333 %',
    })
  })
  test('a weaker lot needs more, in the same proportion', () => {
    const { grams, how } = exchangeLots(10, 100, 25 / 0.3)
    expect(grams).toBeCloseTo(12, 10)
    expect(how.words).toBe(
      'weight of the new lot = weight of the old lot × strength of the old lot ÷ strength of the new lot',
    )
    expect(how.numbers).toBe('10 g × 100 % ÷ 83.3333 % = 12 g')
    expect(exchangeLots(10, 50, 200).grams).toBe(2.5)
  })
})

describe('what cannot be', () => {
  test.each([
    [
      () => exchangeByMetal(5, SALTS.sodaAsh, SALTS.potassiumAlum, 'aluminium'),
      'There is no aluminium in soda ash (Na2CO3).',
    ],
    [
      () => exchangeByMetal(5, SALTS.potassiumAlum, SALTS.ironSulfate7, 'aluminium'),
      'There is no aluminium in iron(II) sulfate, 7 water (FeSO4·7H2O).',
    ],
    [
      () => exchangeByMetal(5, SALTS.potassiumAlum, SALTS.ammoniumAlum, 'tin'),
      'There is no tin in ammonium alum (NH4Al(SO4)2·12H2O).',
    ],
    [() => exchangeByMole(5, SALTS.sodaAsh, { name: 'x', formula: 'x' }), '“x” cannot be read as a formula.'],
    [
      () => exchangeByMole(-5, SALTS.sodaAsh, SALTS.sodaCrystals),
      'The soda ash must be from 0 to 1000000 g, not -5 g.',
    ],
    [
      () => exchangeByMetal(Number.NaN, SALTS.potassiumAlum, SALTS.ammoniumAlum, 'aluminium'),
      'The potassium alum must be',
    ],
    [() => exchangeLots(5, 0, 100), 'The strength of the old lot must be from 1 to 2000 %, not 0 %.'],
    [() => exchangeLots(5, 100, 2001), 'The strength of the new lot must be from 1 to 2000 %, not 2001 %.'],
    [() => exchangeLots(1e7, 100, 100), 'The weight of the old lot must be from 0 to 1000000 g'],
    [() => relativeStrength(0, 30), 'The volume of the sample must be from 0.1 to 1000000 mL, not 0 mL.'],
    [() => relativeStrength(30, 0), 'The volume of the standard must be from 0.1 to 1000000 mL, not 0 mL.'],
  ])('refusal %#', (reckon, sentence) => {
    expect(reckon).toThrow(Refusal)
    expect(reckon).toThrow(expect.objectContaining({ code: 'wrong' }))
    expect(reckon).toThrow(sentence)
  })
})

describe('for any weight', () => {
  const grams = fc.double({ min: 0.01, max: 1e5, noNaN: true })
  const salt = fc.constantFrom<Salt>(...Object.values(SALTS))
  const alum = fc.constantFrom<Salt>(
    SALTS.potassiumAlum,
    SALTS.ammoniumAlum,
    SALTS.aluminiumSulfate,
    SALTS.aluminiumSulfate18,
  )

  test('there and back is the same weight, and the printed numbers work out', () => {
    fc.assert(
      fc.property(grams, salt, salt, alum, alum, (weight, a, b, c, d) => {
        const there = exchangeByMole(weight, a, b)
        const metal = exchangeByMetal(weight, c, d, 'aluminium')
        expect(exchangeByMole(there.grams, b, a).grams / weight).toBeCloseTo(1, 12)
        expect(exchangeByMetal(metal.grams, d, c, 'aluminium').grams / weight).toBeCloseTo(1, 12)
        for (const { grams: value, how } of [there, metal]) {
          const { left, right } = workedAgain(how)
          expect([left / value, right / value]).toEqual([expect.closeTo(1, 4), expect.closeTo(1, 4)])
        }
      }),
      { numRuns: 100 },
    )
  })
  test('twice the weight, twice the exchange', () => {
    fc.assert(
      fc.property(grams, salt, salt, fc.integer({ min: 1, max: 2000 }), (weight, a, b, strength) => {
        expect(exchangeByMole(2 * weight, a, b).grams).toBeCloseTo(2 * exchangeByMole(weight, a, b).grams, 6)
        expect(exchangeLots(2 * weight, strength, 100).grams).toBeCloseTo(
          2 * exchangeLots(weight, strength, 100).grams,
          6,
        )
      }),
      { numRuns: 100 },
    )
  })
})
