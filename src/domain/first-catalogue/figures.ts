/** Short ways to write a figure with where it comes from, and the blanks that most entries share. */
import type { Fibre, Figure, Hazard, Provenance, Substance } from '../catalogue.js'

export const practised: Provenance = { kind: 'common practice', source: 'common practice, no source' }
export const remembered: Provenance = { kind: 'from memory', source: 'from memory, no source' }
export const handbook = (source: string): Provenance => ({ kind: 'handbook', source })
export const standard = (source: string): Provenance => ({ kind: 'standard', source })

export const practice = (value: number): Figure => ({ value, provenance: practised })
export const memory = (value: number): Figure => ({ value, provenance: remembered })
export const book = (value: number, source: string): Figure => ({ value, provenance: handbook(source) })
export const norm = (value: number, source: string): Figure => ({ value, provenance: standard(source) })

/** Ethel M. Mairet, Vegetable Dyes, 1916. */
export const mairet = (value: number, where: string): Figure => book(value, `Mairet 1916, ${where}`)
/** Franklin Beech, The Dyeing of Cotton Fabrics, 1901. */
export const beech = (value: number, where: string): Figure => book(value, `Beech 1901, ${where}`)
/** From the abridged standard atomic weights, CIAAW/IUPAC 2021 (Pure Appl. Chem. 2022). */
export const atomic = (value: number): Figure => norm(value, 'atomic weights, CIAAW/IUPAC 2021')

export const notClassified: Hazard = {
  signalWord: null,
  statements: [],
  standing: "supplier's sheet decides",
  provenance: { kind: 'from memory', source: 'from memory: not classified by most suppliers' },
}

export const NO_TAKE_UP: Fibre['takeUp'] = {
  'all-purpose': null,
  direct: null,
  acid: null,
  basic: null,
  'fibre-reactive': null,
  union: null,
  plant: null,
  insect: null,
  iron: null,
  indigo: null,
}

type FibreHead = Pick<Fibre, 'id' | 'name' | 'latin' | 'part' | 'words'>

const WATER_SOURCE = 'Beech 1901, pp. 108-109: fifteen to twenty-five times the weight, for cotton; taken over here'

export function fibre(given: FibreHead & Partial<Fibre>): Fibre {
  return {
    regainPercent: null,
    liquorRatioLPerKg: book(20, WATER_SOURCE),
    soakMinutes: practice(60),
    soakTemperatureC: null,
    takeUp: NO_TAKE_UP,
    dyeMinutes: null,
    hottestC: null,
    dryingHours: null,
    ...given,
  }
}

type SubstanceHead = Pick<Substance, 'id' | 'name' | 'kind' | 'form' | 'words'>

export function substance(given: SubstanceHead & Partial<Substance>): Substance {
  return {
    latin: null,
    dyeClass: null,
    unit: 'g',
    formula: null,
    molarMassGPerMol: null,
    metal: null,
    metalFraction: null,
    gramsPerTeaspoon: null,
    label: null,
    owfPercent: { pale: null, medium: null, deep: null },
    relativeStrength: null,
    assistants: [],
    mordantDose: null,
    mordantAssistants: [],
    bath: { minutes: null, temperatureC: null, standsOvernight: false },
    vat: null,
    hazard: notClassified,
    care: [],
    ...given,
  }
}
