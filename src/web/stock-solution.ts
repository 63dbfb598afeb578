import type { FastifyInstance } from 'fastify'
import { z } from 'zod'
import { isBelowScale, STOCK_ROUND_ML, scaleOf } from '../domain/on-scale.js'
import { planStock, type Strength } from '../domain/stock-solution.js'
import { choice, readBy, readIfTyped } from './kit/fields.js'
import { atField, check, type Form } from './kit/form.js'
import { measuresOf, plainFigure } from './kit/measures.js'
import { type Shed, sumPage } from './kit/sum.js'

const UNITS = ['% w/v', 'g/L'] as const satisfies readonly Strength['unit'][]

/** What stays in the measure and the jug: common practice, no source. */
const SPARE_PERCENT = 10

const asked = ({ workshop }: Shed) => {
  const { grams, millilitres } = measuresOf(workshop)
  return z.object({
    weight: readBy(grams('amount wanted', { min: 0.0001, max: 1e6 })),
    strength: readBy(plainFigure({ label: 'strength of the stock', example: '1', min: 0.001, max: 1000 })),
    unit: choice('What the strength is in', UNITS),
    spare: readIfTyped(plainFigure({ label: 'spare', unit: '%', example: '10', min: 0, max: 100 })),
    round: readIfTyped(millilitres('round measure', { min: 1, max: 10_000 })),
  })
}

function answer(form: Form, shed: Shed) {
  const { weight, strength, unit, spare, round } = check(asked(shed), form)
  const stepG = shed.workshop.scaleStepG
  const rounding = { sparePercent: spare ?? SPARE_PERCENT, roundUpMl: round ?? STOCK_ROUND_ML }
  const plan = atField('strength', () => planStock(weight, { value: strength, unit }, scaleOf(stepG), rounding))
  const isTooLittleToWeigh = isBelowScale(weight, 'g', stepG)
  return { weightG: weight, strength: { value: strength, unit }, stepG, isTooLittleToWeigh, ...plan }
}

/** A stock solution: what to measure off, how much to make, and what this scale weighs well. */
export function stockSolution(app: FastifyInstance): void {
  const choices = () => ({ units: UNITS, sparePercent: SPARE_PERCENT, roundUpMl: STOCK_ROUND_ML })
  sumPage(app, '/reckon/stock-solution', { title: 'A stock solution', view: 'reckon/stock-solution', choices, answer })
}
