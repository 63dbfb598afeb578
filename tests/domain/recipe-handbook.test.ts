import { describe, expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { reckon } from '../../src/domain/reckon.js'
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
  OUNCE_G,
  POUND_G,
} from './recipe-kit.js'

/** Exact: 1 imperial gallon = 4.54609 L; Beech's and Mairet's books are English. */
const IMPERIAL_GALLON_L = 4.54609
const US_QUART_L = 0.946352946

const onCotton = { ...firstCatalogue, fibres: [cotton, ...firstCatalogue.fibres] }

describe('Beech 1901, p. 262 ff.: the swatch of 5 grams', () => {
  const direct = aDye({ id: 'direct', dyeClass: 'direct', owfPercent: { pale: null, medium: figure(2), deep: null } })
  const soda = anAssistant({ id: 'soda' })
  const glauber = anAssistant({ id: 'glauber' })
  const recipe = reckon(
    aJob({
      route: 'powder',
      dryWeightG: 5,
      dyes: [dyed('direct')],
      extras: [
        { substanceId: 'soda', basis: '% owf', amount: 3 },
        { substanceId: 'glauber', basis: '% owf', amount: 15 },
      ],
    }),
    aCatalogue(direct, soda, glauber),
  )

  test('2 per cent dye, 3 per cent soda, 15 per cent Glauber salt are 0.1, 0.15 and 0.75 gram', () => {
    expect(lineOf(recipe, 'dye:direct').amount).toBeCloseTo(0.1, 12)
    expect(lineOf(recipe, 'dye:soda').amount).toBeCloseTo(0.15, 12)
    expect(lineOf(recipe, 'dye:glauber').amount).toBeCloseTo(0.75, 12)
  })

  test('each prints the sum of the book', () => {
    expect(lineOf(recipe, 'dye:direct').how.numbers).toBe('5 g × 2 % owf × 1 = 0.1 g')
    expect(lineOf(recipe, 'dye:soda').how.numbers).toBe('5 g × 3 % owf = 0.15 g')
  })

  test('a sample of 83.3 per cent strength needs 30 for 25 (25 and 30 c.c. to the same shade)', () => {
    const weak = { ...direct, relativeStrength: figure(25 / 30) }
    const job = aJob({ route: 'powder', dryWeightG: 1250, dyes: [dyed('direct')] })
    expect(lineOf(reckon(job, aCatalogue(direct)), 'dye:direct').amount).toBeCloseTo(25, 9)
    expect(lineOf(reckon(job, aCatalogue(weak)), 'dye:direct').amount).toBeCloseTo(30, 9)
  })
})

/** [source, dry weight g, per cent printed or exactly derived, amount in the book, in g] */
const ROWS: [string, number, number, number][] = [
  ['Mairet ch. II: alum, ¼ lb to 1 lb of wool, "25 per cent"', POUND_G, 25, POUND_G / 4],
  ['Mairet ch. V, logwood (6): tartar, ½ oz to 1 lb', POUND_G, 3.125, OUNCE_G / 2],
  ['Mairet ch. V, logwood (6): logwood, ¼ lb to 1 lb', POUND_G, 25, POUND_G / 4],
  ['Mairet ch. V, logwood (5): madder 25 per cent of 2½ lb is 10 oz', 2.5 * POUND_G, 25, 10 * OUNCE_G],
  ['Mairet ch. VI, cochineal (1): 3 oz to 1 lb', POUND_G, 18.75, 3 * OUNCE_G],
  ['Mairet ch. VI, cochineal (1): 6 oz to 1 lb', POUND_G, 37.5, 6 * OUNCE_G],
  ['Mairet ch. VI, madder (1): 5 oz to 1 lb', POUND_G, 31.25, 5 * OUNCE_G],
  ['Mairet ch. VI, madder (1): 8 oz to 1 lb', POUND_G, 50, 8 * OUNCE_G],
  ['Mairet ch. VII, weld (2): 1 lb to 1 lb', POUND_G, 100, POUND_G],
  ['Mairet ch. VII, fustic (5): 6 oz to 1 lb', POUND_G, 37.5, 6 * OUNCE_G],
  ['Mairet ch. VIII, light grey: cutch, 1 oz to 6 lb', 6 * POUND_G, 100 / 96, OUNCE_G],
  ['Mairet ch. X, tannin: sumach, 10 lb to 50 lb of cotton', 50 * POUND_G, 20, 10 * POUND_G],
  ['Mairet ch. X (9), black: logwood, 12 oz to 1 lb of cotton', POUND_G, 75, 12 * OUNCE_G],
  ['Mairet ch. X (9), black: madder, 2½ oz', POUND_G, 15.625, 2.5 * OUNCE_G],
  ['Mairet ch. X (9), black: fustic, 8 oz', POUND_G, 50, 8 * OUNCE_G],
  ['Mairet ch. X (9), black: copperas, 1¼ oz', POUND_G, 7.8125, 1.25 * OUNCE_G],
  ['Beech, logwood black on hanks: sumac extract, 10 lb to 100 lb', 100 * POUND_G, 10, 10 * POUND_G],
  ['Beech, logwood black on hanks: copperas, 1½ lb to 100 lb', 100 * POUND_G, 1.5, 1.5 * POUND_G],
  ['Beech, brown: cutch, 20 lb to 100 lb', 100 * POUND_G, 20, 20 * POUND_G],
  ['Workshop Receipts II, browns (1): catechu, 22 lb to 110 lb', 110 * POUND_G, 20, 22 * POUND_G],
  ['Workshop Receipts II, browns (1): blue vitriol, 2 lb 3 oz to 110 lb', 110 * POUND_G, 1.988636363636, 35 * OUNCE_G],
  ['Workshop Receipts II, greys (1): sumach, 4½ oz to 11 lb', 11 * POUND_G, 2.556818181818, 4.5 * OUNCE_G],
  ['Pow-Wows 1820, green: fustic, 1 lb to 1 lb of cloth', POUND_G, 100, POUND_G],
  ['Pow-Wows 1820, green: alum, 3½ oz', POUND_G, 21.875, 3.5 * OUNCE_G],
  ['Fibres & Textiles in Eastern Europe, Oct 2023: madder, 400 per cent of 10 g', 10, 400, 40],
  ['Fibres & Textiles in Eastern Europe, Oct 2023: alum, 15 per cent of 10 g', 10, 15, 1.5],
]

describe('handbook rows, by weight of fibre', () => {
  test.each(ROWS)('%s', (_source, dryWeightG, owfPercent, amountG) => {
    const dye = reckon(aJob({ dryWeightG, dyes: [dyed('dye', owfPercent)] }), aCatalogue(aDye({})))
    expect(lineOf(dye, 'dye:dye').amount).toBeCloseTo(amountG, 6)
    const job = aJob({ dryWeightG, mordants: [mordanted('alum', owfPercent)] })
    expect(lineOf(reckon(job, aCatalogue(aDye({}), aMordant({}))), 'mordant-1:alum').amount).toBeCloseTo(amountG, 6)
  })

  test('Mairet ch. X: soda crystals are a quarter of the alum, 6.25 per cent of the cotton, out of the first catalogue', () => {
    const recipe = reckon(aJob({ dyes: [dyed('weld')], mordants: [mordanted('potassium-alum')] }), onCotton)
    expect(lineOf(recipe, 'mordant-1:potassium-alum').amount).toBeCloseTo(250, 9)
    expect(lineOf(recipe, 'mordant-1:soda-crystals').amount).toBeCloseTo(62.5, 9)
  })

  test('Mairet ch. VI, cochineal (1): pale to deep is 3 to 6 oz to the pound, out of the first catalogue', () => {
    const ounces = (depth: number) => {
      const recipe = reckon(aJob({ dryWeightG: POUND_G, depth, dyes: [dyed('cochineal')] }), onCotton)
      return lineOf(recipe, 'dye:cochineal').amount / OUNCE_G
    }
    expect(ounces(0.25)).toBeCloseTo(3, 9)
    expect(ounces(1)).toBeCloseTo(4.5, 9)
    expect(ounces(2)).toBeCloseTo(6, 9)
  })

  test('Mairet ch. X (2): 2 oz indigo, 4 oz copperas, 5 oz quicklime in about 5 gallons', () => {
    const recipe = reckon(
      aJob({ route: 'indigo', dryWeightG: 20 * OUNCE_G, dyes: [dyed('indigo-copperas-vat', 10)] }),
      onCotton,
    )
    expect(lineOf(recipe, 'stock:indigo-copperas-vat').amount / OUNCE_G).toBeCloseTo(2, 9)
    expect(lineOf(recipe, 'stock:ferrous-sulfate').amount / OUNCE_G).toBeCloseTo(4, 9)
    expect(lineOf(recipe, 'stock:quicklime').amount / OUNCE_G).toBeCloseTo(5, 9)
    expect((recipe.baths.find(bath => bath.key === 'stock')?.waterL ?? 0) / IMPERIAL_GALLON_L).toBeCloseTo(5, 4)
  })

  test('White 1902 and Gill: 3 oz of alum to the US quart is 89.87 g/L', () => {
    const alum = aMordant({ mordantDose: { basis: 'per litre', amount: figure((3 * OUNCE_G) / US_QUART_L) } })
    const job = aJob({ dryWeightG: 500, liquorRatioLPerKg: 2, mordants: [mordanted('alum')] })
    expect(lineOf(reckon(job, aCatalogue(aDye({}), alum)), 'mordant-1:alum').amount).toBeCloseTo(89.87, 2)
  })

  test('Beech pp. 108-109: fifteen times the weight is 1½ imperial gallons to the pound, and not US gallons', () => {
    const { waterL } = reckon(aJob({ dryWeightG: POUND_G, liquorRatioLPerKg: 15 }), aCatalogue(aDye({})))
    expect(waterL / IMPERIAL_GALLON_L).toBeCloseTo(1.5, 2)
    expect(Math.abs(waterL / 3.785411784 - 1.5)).toBeGreaterThan(0.2)
  })

  test('Workshop Receipts II, greys (1): 87 imperial pints to 11 lb are 9.909 litres to the kilogram', () => {
    const job = aJob({ dryWeightG: 11 * POUND_G, liquorRatioLPerKg: 9.909 })
    expect(reckon(job, aCatalogue(aDye({}))).waterL / (IMPERIAL_GALLON_L / 8)).toBeCloseTo(87, 2)
  })

  test('20 g/L at 20:1 is 40 % owf, and 5 g/L at 15:1 is 7.5 % owf (identity)', () => {
    const salted = (gPerL: number, liquorRatioLPerKg: number) => {
      const extras = [{ substanceId: 'salt', basis: 'per litre', amount: gPerL }] as const
      const job = aJob({ liquorRatioLPerKg, extras: [...extras] })
      return lineOf(reckon(job, aCatalogue(aDye({}), anAssistant({}))), 'dye:salt').ratePerKg / 10
    }
    expect(salted(20, 20)).toBeCloseTo(40, 9)
    expect(salted(5, 15)).toBeCloseTo(7.5, 9)
  })
})

describe('known misprints, as negative controls', () => {
  test('Mairet ch. X, zinc-lime vat: 10 oz of 20 per cent paste are 2 oz of indigo, not the 2½ oz printed', () => {
    const paste = aDye({ relativeStrength: figure(0.2) })
    const pasteFor = (ounces: number) => {
      const owf = { pale: null, medium: figure(ounces), deep: null }
      const job = aJob({ dryWeightG: 100 * OUNCE_G })
      return lineOf(reckon(job, aCatalogue({ ...paste, owfPercent: owf })), 'dye:dye').amount / OUNCE_G
    }
    expect(pasteFor(2)).toBeCloseTo(10, 9)
    expect(pasteFor(2.5)).toBeCloseTo(12.5, 9)
  })

  test.each([
    ['myrobalans, 25 to 40 per cent tannin', 0.25, 0.4, 18],
    ['divi-divi, 20 to 35 per cent tannin', 0.2, 0.35, 14],
  ])('Mairet ch. X: 1 lb of tannic acid does not equal the printed pounds of %s', (_what, weak, strong, printedLb) => {
    const poundsAt = (strength: number) => {
      const owfPercent = { pale: null, medium: figure(1), deep: null }
      const job = aJob({ dryWeightG: 100 * POUND_G })
      return (
        lineOf(reckon(job, aCatalogue(aDye({ owfPercent, relativeStrength: figure(strength) }))), 'dye:dye').amount /
        POUND_G
      )
    }
    expect(poundsAt(strong)).toBeCloseTo(1 / strong, 9)
    expect(poundsAt(weak)).toBeLessThan(printedLb / 2)
  })

  test('Beech p. 111: 4 oz to 1 lb per gallon in 10 to 15 gallons is 2½ to 15 lb, not the 3 to 10 printed', () => {
    const absorbedLb = (poundsPerGallon: number, gallons: number) => {
      const amount = (poundsPerGallon * POUND_G) / IMPERIAL_GALLON_L
      const extras = [{ substanceId: 'salt', basis: 'per litre', amount }] as const
      const liquorRatioLPerKg = (gallons * IMPERIAL_GALLON_L) / (5 * POUND_G * 0.001)
      const job = aJob({ dryWeightG: 5 * POUND_G, liquorRatioLPerKg, extras: [...extras] })
      return lineOf(reckon(job, aCatalogue(aDye({}), anAssistant({}))), 'dye:salt').amount / POUND_G
    }
    expect(absorbedLb(0.25, 10)).toBeCloseTo(2.5, 9)
    expect(absorbedLb(1, 15)).toBeCloseTo(15, 9)
  })

  test("Mairet ch. VI (6): 3 oz of chrome to 5 lb is 3.75 per cent, not the book's own 3", () => {
    const chrome = aMordant({ id: 'chrome', metal: 'chromium' })
    const at = (owfPercent: number) => {
      const job = aJob({ dryWeightG: 5 * POUND_G, mordants: [mordanted('chrome', owfPercent)] })
      return lineOf(reckon(job, aCatalogue(aDye({}), chrome)), 'mordant-1:chrome').amount / OUNCE_G
    }
    expect(at(3.75)).toBeCloseTo(3, 9)
    expect(at(3)).toBeCloseTo(2.4, 9)
  })
})
