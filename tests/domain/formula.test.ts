import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { askWhichMass, formulaOf, readFormula } from '../../src/domain/formula.js'
import { Refusal } from '../../src/domain/refusal.js'

describe('molar masses from the abridged atomic weights of CIAAW/IUPAC 2021 (Pure Appl. Chem. 2022)', () => {
  test.each([
    ['KAl(SO4)2·12H2O', 474.372],
    ['NH4Al(SO4)2·12H2O', 453.313],
    ['Al2(SO4)3', 342.131],
    ['Al2(SO4)3·14H2O', 594.341],
    ['Al2(SO4)3·16H2O', 630.371],
    ['Al2(SO4)3·18H2O', 666.401],
    ['Al(C2H3O2)3', 204.114],
    ['Al(OH)(C2H3O2)2', 162.077],
    ['FeSO4', 151.901],
    ['FeSO4·H2O', 169.916],
    ['FeSO4·7H2O', 278.006],
    ['CuSO4', 159.602],
    ['CuSO4·5H2O', 249.677],
    ['Na2CO3', 105.988],
    ['Na2CO3·10H2O', 286.138],
    ['Ca(OH)2', 74.092],
    ['CaCO3', 100.086],
    ['C6H8O7', 192.123],
    ['C6H8O7·H2O', 210.138],
    ['C2H4O2', 60.052],
    ['NaCl', 58.44],
    ['Na2SO4', 142.036],
    ['Na2SO4·10H2O', 322.186],
    ['Na2S2O4', 174.096],
    ['CH4N2O2S', 108.115],
    ['KHC4H4O6', 188.176],
    ['C76H52O46', 1701.206],
    ['ZnCl2', 136.28],
  ])('%s is %d g/mol', (formula, molarMass) => {
    expect(Math.abs(formulaOf(formula).molarMassGPerMol - molarMass)).toBeLessThanOrEqual(0.001)
  })
  test('ILO/WHO International Chemical Safety Card 1416 prints 249.7 for the copper sulfate with five waters', () => {
    expect(formulaOf('CuSO4·5H2O').molarMassGPerMol).toBeCloseTo(249.7, 1)
  })
})

describe('spellings', () => {
  const alum = [...formulaOf('KAl(SO4)2·12H2O').atoms]
  test.each([
    'KAl(SO4)2.12H2O',
    'KAl(SO4)2  •  12 H2O',
    'KAl(SO4)2*12H2O',
    'KAl[SO4]2∙12H2O',
    'KAl(SO₄)₂⋅12H₂O',
    'KAl((SO4))2·12(H2O)',
    'KAl(SO4)2·6H2O·6H2O',
  ])('“%s” is potassium alum', typed => {
    expect([...formulaOf(typed).atoms]).toEqual(alum)
    expect(alum).toEqual([
      ['K', 1],
      ['Al', 1],
      ['S', 2],
      ['O', 20],
      ['H', 24],
    ])
  })

  test.each([
    '',
    ' ',
    'alum',
    'KAl(SO4',
    'KAl SO4)2',
    'KAl()2',
    '()',
    ')',
    'Xx2',
    'nacl',
    'Co2O3',
    'NaCl·',
    '·H2O',
    'Na0Cl',
    'Na-Cl',
    '12',
    '2 2H2O)',
    'H10000',
    `${'('.repeat(40)}H${')'.repeat(40)}`,
    `H${'2'.repeat(100)}`,
  ])('“%s” is asked back', typed => {
    const result = readFormula(typed)
    expect(result.ok ? result.value : result.sentence).toMatch(
      /cannot be read as a formula\. Write it like KAl\(SO4\)2·12H2O\.$/,
    )
    expect(() => formulaOf(typed)).toThrow(Refusal)
    expect(() => formulaOf(typed)).toThrow(expect.objectContaining({ code: 'wrong' }))
  })
  test('the largest count and the longest formula that are still read', () => {
    expect(formulaOf('H9999').atoms.get('H')).toBe(9999)
    expect(readFormula('HO'.repeat(40)).ok).toBe(true)
    expect(readFormula(`${'HO'.repeat(40)}H`).ok).toBe(false)
    expect(readFormula('H5000(H)5000').ok).toBe(false)
  })
})

describe('for any text', () => {
  test('never an error; a mass that is finite and positive when it is read', () => {
    const piece = fc.constantFrom('K', 'Al', 'H', 'O', '2', '12', '(', ')', '·', '[', ']', 'x')
    const text = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 90 }),
      fc.array(piece, { maxLength: 12 }).map(p => p.join('')),
    )
    fc.assert(
      fc.property(text, typed => {
        const result = readFormula(typed)
        if (result.ok) expect(result.value.molarMassGPerMol).toBeGreaterThan(0.9)
        return !result.ok || Number.isFinite(result.value.molarMassGPerMol)
      }),
      { numRuns: 200 },
    )
  })
  test('a hydrate is its salt and its water', () => {
    const salt = fc.constantFrom('Na2CO3', 'Al2(SO4)3', 'FeSO4', 'Na2SO4')
    fc.assert(
      fc.property(salt, fc.integer({ min: 1, max: 30 }), (dry, water) => {
        const sum = formulaOf(dry).molarMassGPerMol + water * formulaOf('H2O').molarMassGPerMol
        expect(formulaOf(`${dry}·${water}H2O`).molarMassGPerMol).toBeCloseTo(sum, 9)
      }),
      { numRuns: 50 },
    )
  })
})

describe('a molar mass beside its formula (CIAAW/IUPAC 2021)', () => {
  // Soda ash is 105.988 g/mol: half a per cent of it is 0.52994.
  test.each([
    ['Na2CO3', 105.988],
    ['Na2CO3', 106.5],
    ['Na2CO3', 105.46],
    ['a plant juice', 1],
    ['SnCl2', 1],
  ])('%s of %d g/mol is let be', (formula, mass) => {
    expect(askWhichMass(formula, mass)).toBeNull()
  })

  test.each([
    ['Na2CO3', 106.53, /^Na2CO3 comes to 105\.99 g\/mol .* the molar mass says 106\.53 g\/mol\. Which one is right\?/],
    ['Na2CO3', 105.45, /105\.99 g\/mol .* 105\.45 g\/mol/],
    ['Na2CO3·10H2O', 105.988, /286\.14 g\/mol .* 105\.99 g\/mol/],
  ])('%s of %d g/mol is asked about, with both figures', (formula, mass, question) => {
    expect(askWhichMass(formula, mass)).toMatch(question)
  })
})
