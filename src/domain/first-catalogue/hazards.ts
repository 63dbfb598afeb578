/** GHS labels of the first catalogue. Codes and sentences are those of Regulation (EC) 1272/2008 (CLP). */
import type { Hazard, HazardStanding, Provenance, SignalWord } from '../catalogue.js'
import { remembered, standard } from './figures.js'

const STATEMENTS = {
  H226: 'Flammable liquid and vapour',
  H251: 'Self-heating: may catch fire',
  H290: 'May be corrosive to metals',
  H302: 'Harmful if swallowed',
  H315: 'Causes skin irritation',
  H318: 'Causes serious eye damage',
  H319: 'Causes serious eye irritation',
  H334: 'May cause allergy or asthma symptoms or breathing difficulties if inhaled',
  H335: 'May cause respiratory irritation',
  H410: 'Very toxic to aquatic life with long lasting effects',
  EUH031: 'Contact with acids liberates toxic gas',
} as const
type Code = keyof typeof STATEMENTS

function hazard(signalWord: SignalWord, codes: Code[], standing: HazardStanding, provenance: Provenance): Hazard {
  return { signalWord, statements: codes.map(code => ({ code, words: STATEMENTS[code] })), standing, provenance }
}

const SHEET: HazardStanding = "supplier's sheet decides"
const ANNEX = 'Regulation (EC) 1272/2008, Annex VI'
const fromMemory = (source: string): Provenance => ({ kind: 'from memory', source })

export const ferrousSulfateHazard = hazard(
  'Warning',
  ['H302', 'H315', 'H319'],
  'harmonised',
  standard(`${ANNEX}, as listed by GisChem, no. 916`),
)
export const copperSulfateHazard = hazard(
  'Danger',
  ['H302', 'H318', 'H410'],
  'harmonised',
  standard('International Chemical Safety Card 1416 (ILO/WHO, 2023); harmonised entry from memory'),
)
export const sodaHazard = hazard('Warning', ['H319'], 'harmonised', fromMemory(`${ANNEX}, from memory`))
export const citricAcidHazard = hazard('Warning', ['H319', 'H335'], 'harmonised', fromMemory(`${ANNEX}, from memory`))
export const dithioniteHazard = hazard(
  'Danger',
  ['H251', 'H302', 'EUH031'],
  'harmonised',
  fromMemory(`${ANNEX}, from memory`),
)
export const aluminiumSulfateHazard = hazard('Danger', ['H318', 'H290'], SHEET, {
  kind: 'standard',
  source: "suppliers' own classification under Regulation (EC) 1272/2008",
})
export const limeHazard = hazard('Danger', ['H315', 'H318', 'H335'], SHEET, remembered)
export const thioureaDioxideHazard = hazard('Danger', ['H251', 'H302', 'H318'], SHEET, remembered)
export const reactiveDyeHazard = hazard('Danger', ['H334'], SHEET, remembered)
