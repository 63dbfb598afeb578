/**
 * Warming a bath and carrying it: hot and cold water to a temperature, the time on a burner, the weight of a filled pot.
 * Volumes in mL, temperatures in °C, weights in g. A litre of water is reckoned as a kilogram (common practice).
 */
import type { Figure } from './catalogue.js'
import { grams } from './pots.js'
import { Refusal } from './refusal.js'
import { sayFigure } from './say-quantity.js'
import { given, measured, type Working, type WorkingInput, within, working } from './working.js'

const LARGEST_ML = 1e7

const temperature = (label: string, temperatureC: number): WorkingInput => {
  const input = measured(label, temperatureC, '°C')
  within(input, 0, 100)
  return input
}

export type Mix = { hotMl: number; coldMl: number; hotHow: Working; coldHow: Working }

/**
 * Hot and cold water that make `totalMl` at `wantedC`. Equal heat for equal water; the pot's own warmth is left out, so
 * a cold pot takes a little more hot (common practice, no source).
 */
export const mixHotAndCold = (totalMl: number, hotC: number, coldC: number, wantedC: number): Mix => {
  const total = measured('water wanted', totalMl, 'mL')
  within(total, 0, LARGEST_ML)
  const hot = temperature('temperature of the hot water', hotC)
  const cold = temperature('temperature of the cold water', coldC)
  const wanted = temperature('temperature wanted', wantedC)
  if (hotC <= coldC) throw new Refusal('wrong', 'The hot water must be warmer than the cold water.')
  if (wantedC < coldC || wantedC > hotC)
    throw new Refusal(
      'wrong',
      `Water of ${sayFigure(coldC)} and ${sayFigure(hotC)} °C cannot be mixed to ${sayFigure(wantedC)} °C.`,
    )
  const hotMl = totalMl * ((wantedC - coldC) / (hotC - coldC))
  const coldMl = totalMl - hotMl
  const inputs = { total, wanted, cold, hot }
  return {
    hotMl,
    coldMl,
    hotHow: working('{total} × ({wanted} − {cold}) ÷ ({hot} − {cold})', inputs, {
      label: 'hot water',
      value: hotMl,
      unit: 'mL',
    }),
    coldHow: working('{total} × ({hot} − {wanted}) ÷ ({hot} − {cold})', inputs, {
      label: 'cold water',
      value: coldMl,
      unit: 'mL',
    }),
  }
}

/** kJ to warm a kilogram of water by a degree: the thermochemical calorie is 4.184 J exactly (NIST SP 811, B.8). */
export const WATER_HEAT: Figure = {
  value: 4.184,
  provenance: { kind: 'standard', source: 'NIST SP 811, B.8: thermochemical calorie' },
}

export type Burner = { powerW: number; efficiencyPercent: number }
export type Heating = { energyKj: number; minutes: number; energyHow: Working; how: Working }

/** Energy that the water takes, and minutes on this burner; none when the bath is already as hot. */
export const heating = (volumeMl: number, fromC: number, toC: number, burner: Burner): Heating => {
  const volume = measured('volume', volumeMl, 'mL')
  within(volume, 0, LARGEST_ML)
  const from = temperature('temperature now', fromC)
  const to = temperature('temperature wanted', toC)
  const power = measured('power of the burner', burner.powerW, 'W')
  const efficiency = measured('efficiency of the burner', burner.efficiencyPercent, '%')
  within(power, 50, 100_000)
  within(efficiency, 5, 100)
  const heat = given('heat of water', WATER_HEAT, 'kJ/kg °C')
  const rise = Math.max(0, toC - fromC)
  const energyKj = (volumeMl / 1000) * WATER_HEAT.value * rise
  const minutes = energyKj / (burner.powerW / 1000) / (burner.efficiencyPercent / 100) / 60
  const energy = measured('energy', energyKj, 'kJ')
  const formula =
    toC >= fromC
      ? '{volume} ÷ 1000 × {heat} × ({to} − {from})'
      : 'nothing, as {from} is above {to}: {volume} × {heat} × 0'
  return {
    energyKj,
    minutes,
    energyHow: working(formula, { volume, heat, to, from }, { label: 'energy', value: energyKj, unit: 'kJ' }),
    how: working(
      '{energy} × 1000 ÷ {power} ÷ ({efficiency} ÷ 100) ÷ 60',
      { energy, power, efficiency },
      {
        label: 'time to heat',
        value: minutes,
        unit: 'min',
      },
    ),
  }
}

/** Grams that one person may lift at best: the load constant of the revised lifting equation. */
export const ONE_PERSON_G: Figure = {
  value: 23_000,
  provenance: { kind: 'handbook', source: 'NIOSH 94-110, revised lifting equation: load constant' },
}

export type Lifted = { weightG: number; how: Working; caution: string | null }

/** Weight of a filled pot, and a caution above the weight that one person lifts. `weight` writes grams for the dyer. */
export const liftedPot = (
  { potG, waterMl, dryWeightG }: { potG: number; waterMl: number; dryWeightG: number },
  cautionAboveG: number,
  weight = grams,
): Lifted => {
  const pot = measured('empty pot', potG, 'g')
  const water = measured('water, 1 g to the mL', waterMl, 'mL')
  const dry = measured('dry weight of the fibre', dryWeightG, 'g')
  within(pot, 0, 1e6)
  within(water, 0, LARGEST_ML)
  within(dry, 0, 1e6)
  within(measured('weight for one person', cautionAboveG, 'g'), 1000, 1e5)
  const weightG = potG + waterMl + dryWeightG
  const result = { label: 'filled pot', value: weightG, unit: 'g' }
  const caution =
    weightG > cautionAboveG
      ? `Filled, this pot weighs about ${weight(weightG)}, more than the ${weight(cautionAboveG)} set for one person: lift it with two, or bail it out first.`
      : null
  return { weightG, how: working('{pot} + {water} + {dry}', { pot, water, dry }, result), caution }
}
