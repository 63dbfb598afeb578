import type { FastifyInstance } from 'fastify'
import { z } from 'zod'
import { exchangeLots, relativeStrength } from '../domain/exchange.js'
import { readBy } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { measuresOf, plainFigure } from './kit/measures.js'
import { type Shed, sumPage } from './kit/sum.js'

const KNOWN = 'How the strength of the new tin is known'

const strength = (label: string) => readBy(plainFigure({ label, unit: '%', example: '80', min: 1, max: 2000 }))

const asked = ({ workshop }: Shed) => {
  const { grams, millilitres } = measuresOf(workshop)
  const volume = (label: string) => readBy(millilitres(label, { min: 0.1, max: 1e6 }))
  const weight = { weight: readBy(grams('weight of the old dye', { max: 1e6 })) }
  const byStrength = z.object({
    by: z.literal('strength'),
    ...weight,
    oldStrength: strength('strength of the old tin'),
    newStrength: strength('strength of the new tin'),
  })
  const byVolume = z.object({
    by: z.literal('volume'),
    ...weight,
    sample: volume('volume of the new solution'),
    standard: volume('volume of the old solution'),
  })
  return z.discriminatedUnion('by', [byStrength, byVolume], { error: `Choose one: ${KNOWN.toLowerCase()}.` })
}

/** Strengths as they were told; or that of the new tin as two thinned solutions tell it, the old one being the standard. */
function answer(form: Form, shed: Shed) {
  const told = check(asked(shed), form)
  const measured = told.by === 'volume' ? relativeStrength(told.sample, told.standard) : null
  const [oldStrength, newStrength] =
    told.by === 'strength' ? [told.oldStrength, told.newStrength] : [100, measured?.percent ?? 100]
  const { grams, how } = exchangeLots(told.weight, oldStrength, newStrength)
  return {
    oldWeightG: told.weight,
    oldStrengthPercent: oldStrength,
    newStrengthPercent: newStrength,
    newWeightG: grams,
    how,
    strengthHow: measured?.how ?? null,
  }
}

/** As much of a new tin of dye as colours like the old one. */
export function dyeLots(app: FastifyInstance): void {
  sumPage(app, '/reckon/dye-lots', { title: 'A new tin of dye', view: 'reckon/dye-lots', choices: () => ({}), answer })
}
