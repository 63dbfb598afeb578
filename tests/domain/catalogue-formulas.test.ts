import { describe, expect, test } from 'vitest'
import type { Metal } from '../../src/domain/catalogue.js'
import { exchangeByMetal } from '../../src/domain/exchange.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { formulaOf } from '../../src/domain/formula.js'

const SYMBOLS: Record<Metal, string> = { aluminium: 'Al', iron: 'Fe', copper: 'Cu', tin: 'Sn', chromium: 'Cr' }

const withFormula = firstCatalogue.substances.flatMap(substance =>
  substance.formula === null ? [] : [{ ...substance, formula: substance.formula }],
)

describe('the first catalogue agrees with its own formulas (CIAAW/IUPAC 2021)', () => {
  test('a good many substances have one', () => expect(withFormula.length).toBeGreaterThan(15))

  test.each(withFormula)('molar mass of $name', ({ formula, molarMassGPerMol }) => {
    if (molarMassGPerMol === null) expect(formulaOf(formula).molarMassGPerMol).toBeGreaterThan(1)
    else expect(formulaOf(formula).molarMassGPerMol).toBeCloseTo(molarMassGPerMol.value, 1)
  })

  test.each(
    withFormula.flatMap(({ name, formula, metal, metalFraction }) =>
      metal === null || metalFraction === null ? [] : [{ name, formula, metal, fraction: metalFraction.value }],
    ),
  )('$metal in $name', ({ name, formula, metal, fraction }) => {
    const { grams } = exchangeByMetal(1, { name, formula }, { name: metal, formula: SYMBOLS[metal] }, metal)
    expect(grams).toBeCloseTo(fraction, 4)
  })
})
