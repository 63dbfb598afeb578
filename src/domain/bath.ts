/**
 * Water for a bath: how much, what the soaked fibre already holds, what covers the fibre in a pot, and how large the pot
 * must be. Weights in g, volumes in mL, lengths in mm. A litre of water is reckoned as a kilogram (common practice).
 */
import type { Figure } from './catalogue.js'
import { sayFigure } from './say-quantity.js'
import { given, measured, type Working, type WorkingInput, within, working } from './working.js'

export type Volume = { volumeMl: number; how: Working }

const HEAVIEST_G = 1e6
const LARGEST_ML = 1e7
const LONGEST_MM = 5000

/** Bath for this much dry fibre: 15 L/kg is "fifteen times the weight" (Beech 1901, p. 108). */
export const liquor = (dryWeightG: number, ratioLPerKg: Figure): Volume => {
  const dry = measured('dry weight', dryWeightG, 'g')
  const ratio = given('liquor ratio', ratioLPerKg, 'L/kg')
  within(dry, 0, HEAVIEST_G)
  within(ratio, 1, 200)
  const volumeMl = dryWeightG * ratioLPerKg.value
  const result = { label: 'bath', value: volumeMl / 1000, unit: 'L' }
  return { volumeMl, how: working('{dry} × {ratio} ÷ 1000', { dry, ratio }, result) }
}

/** Water in soaked fibre, from its weight drained and its dry weight. */
export const heldByWeighing = (soakedG: number, dryWeightG: number): Volume => {
  const dry = measured('dry weight', dryWeightG, 'g')
  const soaked = measured('weight soaked and drained', soakedG, 'g')
  within(dry, 0, HEAVIEST_G)
  within(soaked, dryWeightG, HEAVIEST_G)
  const volumeMl = soakedG - dryWeightG
  return {
    volumeMl,
    how: working('{soaked} − {dry}', { soaked, dry }, { label: 'water held', value: volumeMl, unit: 'mL' }),
  }
}

/** Water in soaked fibre, from what such fibre takes up: cotton its own weight (Beech 1901, p. 109). */
export const heldByTakeUp = (dryWeightG: number, takeUpLPerKg: Figure): Volume => {
  const dry = measured('dry weight', dryWeightG, 'g')
  const takeUp = given('water taken up', takeUpLPerKg, 'L/kg')
  within(dry, 0, HEAVIEST_G)
  within(takeUp, 0, 20)
  const volumeMl = dryWeightG * takeUpLPerKg.value
  return {
    volumeMl,
    how: working('{dry} × {takeUp}', { dry, takeUp }, { label: 'water held', value: volumeMl, unit: 'mL' }),
  }
}

/** Water still to pour for a bath, when the fibre goes in wet; nothing when it holds more than the bath. */
export const waterToAdd = (bathMl: number, heldMl: number): Volume => {
  const bath = measured('bath', bathMl, 'mL')
  const held = measured('water held by the fibre', heldMl, 'mL')
  within(bath, 0, LARGEST_ML)
  within(held, 0, LARGEST_ML)
  const volumeMl = Math.max(0, bathMl - heldMl)
  const formula = bathMl >= heldMl ? '{bath} − {held}' : 'the larger of 0 and {bath} − {held}'
  return { volumeMl, how: working(formula, { bath, held }, { label: 'water to add', value: volumeMl, unit: 'mL' }) }
}

/** The floor of a pot, measured inside. */
export type PotFloor =
  | { shape: 'round'; diameterMm: number }
  | { shape: 'oval'; lengthMm: number; widthMm: number }
  | { shape: 'oblong'; lengthMm: number; widthMm: number }

type Floor = { areaMm2: number; formula: string; inputs: Record<string, WorkingInput> }

/** π as it is printed in a formula. */
const PI = sayFigure(Math.PI, 6)

const floorOf = (pot: PotFloor): Floor => {
  if (pot.shape === 'round') {
    const diameter = measured('diameter of the pot', pot.diameterMm, 'mm')
    within(diameter, 10, LONGEST_MM)
    const areaMm2 = (Math.PI / 4) * pot.diameterMm ** 2
    return { areaMm2, formula: `${PI} ÷ 4 × {diameter} × {diameter}`, inputs: { diameter } }
  }
  const length = measured('length of the pot', pot.lengthMm, 'mm')
  const width = measured('width of the pot', pot.widthMm, 'mm')
  within(length, 10, LONGEST_MM)
  within(width, 10, LONGEST_MM)
  const oblongMm2 = pot.lengthMm * pot.widthMm
  return pot.shape === 'oval'
    ? { areaMm2: (Math.PI / 4) * oblongMm2, formula: `${PI} ÷ 4 × {length} × {width}`, inputs: { length, width } }
    : { areaMm2: oblongMm2, formula: '{length} × {width}', inputs: { length, width } }
}

/** Water up to a depth in a straight-sided pot. */
export const waterToDepth = (pot: PotFloor, depthMm: number): Volume => {
  const { areaMm2, formula, inputs } = floorOf(pot)
  const depth = measured('depth of water', depthMm, 'mm')
  within(depth, 0, LONGEST_MM)
  const volumeMl = (areaMm2 * depthMm) / 1000
  const result = { label: 'water to that depth', value: volumeMl, unit: 'mL' }
  return { volumeMl, how: working(`${formula} × {depth} ÷ 1000`, { ...inputs, depth }, result) }
}

/** Oven-dry plant cell wall, g/mL: what the fibre itself takes up of the room under the water. */
export const CELL_WALL_DENSITY: Figure = {
  value: 1.5,
  provenance: { kind: 'from memory', source: 'from memory, no source' },
}

/** Water that covers fibre lying in the pot: up to `coveredMm` deep, less what the fibre itself displaces. */
export const waterToCover = (pot: PotFloor, coveredMm: number, dryWeightG: number): Volume => {
  const { areaMm2, formula, inputs } = floorOf(pot)
  const depth = measured('depth that covers the fibre', coveredMm, 'mm')
  const dry = measured('dry weight', dryWeightG, 'g')
  const density = given('density of the fibre’s substance', CELL_WALL_DENSITY, 'g/mL')
  within(depth, 0, LONGEST_MM)
  const roomMl = (areaMm2 * coveredMm) / 1000
  within(dry, 0, roomMl * density.value)
  const volumeMl = roomMl - dryWeightG / density.value
  const result = { label: 'water to cover', value: volumeMl, unit: 'mL' }
  return {
    volumeMl,
    how: working(`${formula} × {depth} ÷ 1000 − {dry} ÷ {density}`, { ...inputs, depth, dry, density }, result),
  }
}

/** What a pot may be filled to, leaving head-room in per cent of its brim volume. */
export const usableVolume = (brimMl: number, headRoomPercent: number): Volume => {
  const brim = measured('volume to the brim', brimMl, 'mL')
  const head = measured('head-room', headRoomPercent, '%')
  within(brim, 0, LARGEST_ML)
  within(head, 0, 80)
  const volumeMl = brimMl * (1 - headRoomPercent / 100)
  const result = { label: 'usable volume', value: volumeMl, unit: 'mL' }
  return { volumeMl, how: working('{brim} × (1 − {head} ÷ 100)', { brim, head }, result) }
}

/** The smallest brim volume that holds a bath with its head-room. */
export const potNeeded = (bathMl: number, headRoomPercent: number): Volume => {
  const bath = measured('bath', bathMl, 'mL')
  const head = measured('head-room', headRoomPercent, '%')
  within(bath, 0, LARGEST_ML)
  within(head, 0, 80)
  const volumeMl = bathMl / (1 - headRoomPercent / 100)
  const result = { label: 'volume to the brim', value: volumeMl, unit: 'mL' }
  return { volumeMl, how: working('{bath} ÷ (1 − {head} ÷ 100)', { bath, head }, result) }
}
