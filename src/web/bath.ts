import type { FastifyInstance } from 'fastify'
import {
  heldByTakeUp,
  heldByWeighing,
  liquor,
  type PotFloor,
  potNeeded,
  waterToAdd,
  waterToCover,
  waterToDepth,
} from '../domain/bath.js'
import { heating, liftedPot, mixHotAndCold, ONE_PERSON_G } from '../domain/bath-heat.js'
import type { Figure } from '../domain/catalogue.js'
import { sayWeight } from '../domain/quantity.js'
import { liquorRatioOf } from '../domain/recipe-bench.js'
import { gramsInBath, owfFromBath } from '../domain/stock-solution.js'
import { MEASURED, type Working } from '../domain/working.js'
import { type BathAsked, bathAsked } from './bath-form.js'
import { atField, check, type Form } from './kit/form.js'
import { type Shed, sumPage } from './kit/sum.js'
import { unitsOf } from './pots.js'
import { fibresByName } from './recipe-working.js'

const typedFigure = (value: number): Figure => ({ value, provenance: MEASURED })

type Bath = { volumeMl: number; how: Working | null }

/** The bath as it is known, or as the weight and the fibre ask for it; what was typed has no formula. */
function bathOf({ bath, weight, fibreId, liquorRatioLPerKg }: BathAsked, { catalogue }: Shed): Bath {
  if (bath !== null) return { volumeMl: bath, how: null }
  const fibre = catalogue.fibres.find(({ id }) => id === fibreId) ?? { name: 'it', liquorRatioLPerKg: null }
  return liquor(weight ?? 0, liquorRatioOf(liquorRatioLPerKg, fibre))
}

/** What the wet fibre holds already, and what is still to pour. */
function wetFibre({ wet, weight }: BathAsked, bathMl: number) {
  if (!wet) return null
  const dryG = weight ?? 0
  const { soaked, takeUp } = wet
  const held = atField('wet.soaked', () =>
    soaked === null ? heldByTakeUp(dryG, typedFigure(takeUp ?? 0)) : heldByWeighing(soaked, dryG),
  )
  return { held, toPour: waterToAdd(bathMl, held.volumeMl) }
}

function toCover({ pot, weight }: BathAsked) {
  if (!pot) return null
  const floor: PotFloor =
    pot.shape === 'round'
      ? { shape: 'round', diameterMm: pot.across }
      : { shape: pot.shape, lengthMm: pot.across, widthMm: pot.width }
  return atField('pot.depth', () =>
    weight === null ? waterToDepth(floor, pot.depth) : waterToCover(floor, pot.depth, weight),
  )
}

function lifted({ lift, weight }: BathAsked, bathMl: number, { workshop }: Shed) {
  if (!lift) return null
  const filled = { potG: lift.pot, waterMl: bathMl, dryWeightG: weight ?? 0 }
  return liftedPot(filled, lift.most ?? ONE_PERSON_G.value, grams => sayWeight(grams, unitsOf(workshop)))
}

function mixed({ mix }: BathAsked, pouredMl: number) {
  if (!mix) return null
  const { hot: hotC, cold: coldC, wanted: wantedC } = mix
  return { hotC, coldC, wantedC, ...atField('mix.wanted', () => mixHotAndCold(pouredMl, hotC, coldC, wantedC)) }
}

/** From the temperature to which it was mixed, unless it is said to be another by now. */
function heated({ heat, mix }: BathAsked, bathMl: number) {
  if (!heat) return null
  const fromC = heat.from ?? mix?.wanted ?? 0
  const burner = { powerW: heat.power, efficiencyPercent: heat.efficiency }
  return { fromC, toC: heat.to, ...burner, ...heating(bathMl, fromC, heat.to, burner) }
}

/** A strength that a recipe gives by the litre: what goes in, and what that is of the fibre when its weight is known. */
function byTheLitre({ byTheLitre: gPerL, weight }: BathAsked, bathMl: number) {
  if (gPerL === null) return null
  const ofFibre = weight === null ? null : atField('byTheLitre', () => owfFromBath(gPerL, bathMl / weight))
  return { gPerL, ...gramsInBath(gPerL, bathMl), ofFibre }
}

function answer(form: Form, shed: Shed) {
  const asked = check(bathAsked(form, shed), form)
  const bath = bathOf(asked, shed)
  const wet = wetFibre(asked, bath.volumeMl)
  return {
    dryWeightG: asked.weight,
    bath,
    wet,
    toCover: toCover(asked),
    byTheLitre: byTheLitre(asked, bath.volumeMl),
    potNeeded: asked.headRoom === null ? null : potNeeded(bath.volumeMl, asked.headRoom),
    mix: mixed(asked, wet?.toPour.volumeMl ?? bath.volumeMl),
    heat: heated(asked, bath.volumeMl),
    lift: lifted(asked, bath.volumeMl, shed),
  }
}

/** The bath: water, its temperature, the time to heat it, and what the filled pot weighs. */
export function bath(app: FastifyInstance): void {
  sumPage(app, '/reckon/bath', {
    title: 'The bath',
    view: 'reckon/bath',
    choices: ({ catalogue }) => ({ fibres: fibresByName(catalogue), onePersonG: ONE_PERSON_G }),
    answer,
  })
}
