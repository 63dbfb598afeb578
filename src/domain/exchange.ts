/**
 * Exchange of one salt for another that does the same work: for the same metal ("potassium alum for aluminium sulfate"),
 * or mole for mole ("soda crystals for soda ash"); and of dye lots by relative strength. Weights in g.
 */
import { METALS, type Metal, type Provenance, type Substance } from './catalogue.js'
import { type Formula, formulaOf, readFormula } from './formula.js'
import { Refusal } from './refusal.js'
import { given, measured, type Working, type WorkingInput, within, working } from './working.js'

export type Salt = { name: string; formula: string }
export type Exchanged = { grams: number; how: Working }

/** Formulas of the pairs that are exchanged most; a catalogue entry carries its own. */
export const SALTS = {
  potassiumAlum: { name: 'potassium alum', formula: 'KAl(SO4)2·12H2O' },
  ammoniumAlum: { name: 'ammonium alum', formula: 'NH4Al(SO4)2·12H2O' },
  aluminiumSulfate: { name: 'aluminium sulfate, anhydrous', formula: 'Al2(SO4)3' },
  aluminiumSulfate14: { name: 'aluminium sulfate, 14 water', formula: 'Al2(SO4)3·14H2O' },
  aluminiumSulfate16: { name: 'aluminium sulfate, 16 water', formula: 'Al2(SO4)3·16H2O' },
  aluminiumSulfate18: { name: 'aluminium sulfate, 18 water', formula: 'Al2(SO4)3·18H2O' },
  ironSulfate7: { name: 'iron(II) sulfate, 7 water', formula: 'FeSO4·7H2O' },
  ironSulfate1: { name: 'iron(II) sulfate, 1 water', formula: 'FeSO4·H2O' },
  copperSulfate5: { name: 'copper(II) sulfate, 5 water', formula: 'CuSO4·5H2O' },
  copperSulfate: { name: 'copper(II) sulfate, anhydrous', formula: 'CuSO4' },
  sodaCrystals: { name: 'soda crystals', formula: 'Na2CO3·10H2O' },
  sodaAsh: { name: 'soda ash', formula: 'Na2CO3' },
  glaubersSalt: { name: "Glauber's salt", formula: 'Na2SO4·10H2O' },
  sodiumSulfate: { name: 'sodium sulfate, anhydrous', formula: 'Na2SO4' },
  citricAcid1: { name: 'citric acid, 1 water', formula: 'C6H8O7·H2O' },
  citricAcid: { name: 'citric acid, anhydrous', formula: 'C6H8O7' },
} as const satisfies Record<string, Salt>

export type NamedSalt = Salt & { id: string }

/**
 * What can be exchanged: whatever of the catalogue is weighed and has a formula that can be read, and after it those of
 * `SALTS` that the catalogue does not name.
 */
export function saltsIn(substances: readonly Pick<Substance, 'id' | 'name' | 'unit' | 'formula'>[]): NamedSalt[] {
  const own = substances.flatMap(({ id, name, unit, formula }) =>
    unit === 'g' && formula !== null && readFormula(formula).ok ? [{ id, name, formula }] : [],
  )
  const others = Object.entries(SALTS).map(([id, salt]) => ({ id, ...salt }))
  return [...own, ...others.filter(({ formula }) => !own.some(salt => salt.formula === formula))]
}

const ATOMIC_WEIGHTS: Provenance = { kind: 'standard', source: 'CIAAW/IUPAC standard atomic weights 2021' }
const SYMBOLS: Record<Metal, string> = { aluminium: 'Al', iron: 'Fe', copper: 'Cu', tin: 'Sn', chromium: 'Cr' }
const HEAVIEST_G = 1e6

const fixed = (label: string, value: number, unit: string): WorkingInput =>
  given(label, { value, provenance: ATOMIC_WEIGHTS }, unit)

const massOf = ({ name }: Salt, { molarMassGPerMol }: Formula): WorkingInput =>
  fixed(`molar mass of ${name}`, molarMassGPerMol, 'g/mol')

const weightOf = (grams: number, { name }: Salt): WorkingInput => {
  const weight = measured(name, grams, 'g')
  within(weight, 0, HEAVIEST_G)
  return weight
}

/** The atoms of a metal in one unit of a salt; a salt without it cannot stand in for one that has it. */
const atomsIn = (salt: Salt, formula: Formula, metal: Metal): WorkingInput => {
  const atoms = formula.atoms.get(SYMBOLS[metal])
  if (atoms === undefined) throw new Refusal('wrong', `There is no ${metal} in ${salt.name} (${salt.formula}).`)
  return fixed(`atoms of ${metal} in ${salt.name}`, atoms, '')
}

const has = ({ formula }: Salt, metal: Metal): boolean => formulaOf(formula).atoms.has(SYMBOLS[metal])

/** The metal that both bring, by which one can stand in for the other; refuses when there is none. */
export function metalOfBoth(from: Salt, to: Salt): Metal {
  const metal = METALS.find(one => has(from, one) && has(to, one))
  if (metal !== undefined) return metal
  const sentence = `No metal of a mordant is in both ${from.name} and ${to.name}. Exchange them mole for mole, or choose another.`
  throw new Refusal('wrong', sentence, 'to')
}

/** As many moles of `to` as `grams` of `from` are. */
export const exchangeByMole = (grams: number, from: Salt, to: Salt): Exchanged => {
  const inputs = {
    weight: weightOf(grams, from),
    to: massOf(to, formulaOf(to.formula)),
    from: massOf(from, formulaOf(from.formula)),
  }
  const value = (grams * inputs.to.value) / inputs.from.value
  return { grams: value, how: working('{weight} × {to} ÷ {from}', inputs, { label: to.name, value, unit: 'g' }) }
}

/** As much `to` as brings the same weight of `metal` that `grams` of `from` bring. */
export const exchangeByMetal = (grams: number, from: Salt, to: Salt, metal: Metal): Exchanged => {
  const [given, wanted] = [formulaOf(from.formula), formulaOf(to.formula)]
  const inputs = {
    weight: weightOf(grams, from),
    to: massOf(to, wanted),
    toAtoms: atomsIn(to, wanted, metal),
    from: massOf(from, given),
    fromAtoms: atomsIn(from, given, metal),
  }
  const value = (grams * inputs.to.value * inputs.fromAtoms.value) / inputs.toAtoms.value / inputs.from.value
  const formula = '{weight} × ({to} ÷ {toAtoms}) ÷ ({from} ÷ {fromAtoms})'
  return { grams: value, how: working(formula, inputs, { label: to.name, value, unit: 'g' }) }
}

/**
 * Strength of a sample beside a standard, in per cent, from the volumes that two solutions of one strength of powder
 * have when they were thinned to the same depth: 25 mL against 30 mL is 83.3 % (Beech 1901, ch. IX).
 */
export const relativeStrength = (sampleMl: number, standardMl: number): { percent: number; how: Working } => {
  const sample = measured('volume of the sample', sampleMl, 'mL')
  const standard = measured('volume of the standard', standardMl, 'mL')
  within(sample, 0.1, 1e6)
  within(standard, 0.1, 1e6)
  const percent = (sampleMl / standardMl) * 100
  const result = { label: 'strength of the sample', value: percent, unit: '%' }
  return { percent, how: working('{sample} ÷ {standard} × 100', { sample, standard }, result) }
}

/** As much of a new lot of dye as colours like `grams` of the old one; strengths in per cent of one standard. */
export const exchangeLots = (grams: number, oldStrengthPercent: number, newStrengthPercent: number): Exchanged => {
  const inputs = {
    weight: measured('weight of the old lot', grams, 'g'),
    old: measured('strength of the old lot', oldStrengthPercent, '%'),
    fresh: measured('strength of the new lot', newStrengthPercent, '%'),
  }
  within(inputs.weight, 0, HEAVIEST_G)
  within(inputs.old, 1, 2000)
  within(inputs.fresh, 1, 2000)
  const value = (grams * oldStrengthPercent) / newStrengthPercent
  const result = { label: 'weight of the new lot', value, unit: 'g' }
  return { grams: value, how: working('{weight} × {old} ÷ {fresh}', inputs, result) }
}
