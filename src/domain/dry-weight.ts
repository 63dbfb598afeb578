/**
 * The dry weight that a recipe is reckoned on: as weighed, or from damp fibre by its measured moisture, or by the air it
 * rested in. Weights in g, moisture in per cent. Definitions: USDA Wood Handbook (2021), Eq. 4-1 to 4-4.
 */
import type { Fibre, Figure } from './catalogue.js'
import { plainNumber } from './how.js'
import { type Air, inTable, OUT_OF_TABLE, STAND_IN, WOOD_HANDBOOK, woodMoisture } from './wood-moisture.js'
import { given, measured, type Working, type WorkingInput, within, working } from './working.js'

/** What "dry" means: without any water, or holding the fibre's regain (per cent of its oven-dry weight). */
export type ReckonedBasis = { kind: 'oven-dry' } | { kind: 'conditioned'; regainPercent: Figure }

/** Moisture in per cent of the oven-dry weight, or of the whole damp weight. The two are never mixed up in silence. */
export type Moisture = { percent: number; of: 'oven-dry weight' | 'damp weight' }

/**
 * `moistureHow` is how the moisture was worked out, where it was; `notes` are sentences for the dyer about how far the
 * figure can be trusted.
 */
export type DryWeight = { dryWeightG: number; how: Working; moistureHow: Working | null; notes: string[] }

/** Air of the standard atmosphere for testing textiles (ISO 139): what "conditioned" means where no regain is laid down. */
const STANDARD_AIR: Air = { temperatureC: 20, relativeHumidityPercent: 65 }

/**
 * What this workshop calls dry, for this fibre. Where the fibre's regain is not known, the moisture of wood in standard
 * air stands in for it, and a note says so.
 */
export const basisFor = (
  dryBasis: ReckonedBasis['kind'],
  { name, regainPercent }: Pick<Fibre, 'name' | 'regainPercent'>,
): { basis: ReckonedBasis; notes: string[] } => {
  if (dryBasis === 'oven-dry') return { basis: { kind: 'oven-dry' }, notes: [] }
  if (regainPercent !== null) return { basis: { kind: 'conditioned', regainPercent }, notes: [] }
  const value = woodMoisture(STANDARD_AIR).percent
  const note = `The regain of ${name} is not known: that of wood in air of 20 °C and 65 % humidity stands in for it.`
  return { basis: { kind: 'conditioned', regainPercent: { value, provenance: WOOD_HANDBOOK } }, notes: [note] }
}

/** "oven-dry weight: the fibre without any water". */
export const sayBasis = (basis: ReckonedBasis): string =>
  basis.kind === 'oven-dry'
    ? 'oven-dry weight: the fibre without any water'
    : `conditioned weight, at a regain of ${plainNumber(basis.regainPercent.value)} % (${basis.regainPercent.provenance.source})`

const HEAVIEST_G = 1e6
const WETTEST_PERCENT = 1000

/** A regain as moisture of the whole: R/(1 + R). 8.5 % regain is 7.834 % content. */
export const contentFromRegainPercent = (regainPercent: number): number => regainPercent / (1 + regainPercent / 100)

/** A content as moisture of the dry: C/(1 − C). */
export const regainFromContentPercent = (contentPercent: number): number => contentPercent / (1 - contentPercent / 100)

const asReceived = (grams: number): WorkingInput => measured('weight as received', grams, 'g')

const checkWeight = (weight: WorkingInput): void => within(weight, 0, HEAVIEST_G)

/** Brings an oven-dry formula to the basis that the workshop reckons on. */
const onBasis = (
  ovenDryG: number,
  formula: string,
  inputs: Record<string, WorkingInput>,
  basis: ReckonedBasis,
): { dryWeightG: number; how: Working } => {
  if (basis.kind === 'oven-dry') {
    const result = { label: 'oven-dry weight', value: ovenDryG, unit: 'g' }
    return { dryWeightG: ovenDryG, how: working(formula, inputs, result) }
  }
  const regain = given('regain', basis.regainPercent, '%')
  within(regain, 0, 100)
  const value = ovenDryG * (1 + regain.value / 100)
  const result = { label: 'conditioned weight', value, unit: 'g' }
  return { dryWeightG: value, how: working(`${formula} × (1 + {regain} ÷ 100)`, { ...inputs, regain }, result) }
}

/**
 * From the weight as received and its measured moisture. 1000 g at 25 % of the oven-dry weight hold 800 g of dry fibre;
 * 1000 g at 20 % of the damp weight hold the same.
 */
export const dryWeightFromMoisture = (grams: number, moisture: Moisture, basis: ReckonedBasis): DryWeight => {
  const weight = asReceived(grams)
  checkWeight(weight)
  const onDry = moisture.of === 'oven-dry weight'
  const percent = measured(`moisture, per cent of the ${moisture.of}`, moisture.percent, '%')
  within(percent, 0, onDry ? WETTEST_PERCENT : 99)
  const part = moisture.percent / 100
  const ovenDryG = onDry ? grams / (1 + part) : grams * (1 - part)
  const formula = onDry ? '{weight} ÷ (1 + {percent} ÷ 100)' : '{weight} × (1 − {percent} ÷ 100)'
  return { ...onBasis(ovenDryG, formula, { weight, percent }, basis), moistureHow: null, notes: [] }
}

/** From the weight as received and the air in which the fibre rested until its weight no longer changed. */
export const dryWeightFromAir = (grams: number, air: Air, basis: ReckonedBasis): DryWeight => {
  const weight = asReceived(grams)
  checkWeight(weight)
  const temperature = measured('temperature of the air', air.temperatureC, '°C')
  const humidity = measured('relative humidity of the air', air.relativeHumidityPercent, '%')
  within(temperature, 0, 80)
  within(humidity, 0, 98)
  const { percent, how: moistureHow } = woodMoisture(air)
  const moisture = given('moisture of wood in that air', { value: percent, provenance: WOOD_HANDBOOK }, '%')
  const formula = '{weight} ÷ (1 + {moisture} ÷ 100)'
  const { dryWeightG, how } = onBasis(grams / (1 + percent / 100), formula, { weight, moisture }, basis)
  const inputs = [...how.inputs, temperature, humidity]
  const notes = inTable(air) ? [STAND_IN] : [STAND_IN, OUT_OF_TABLE]
  return { dryWeightG, how: { ...how, inputs }, moistureHow, notes }
}
