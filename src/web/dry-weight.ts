import type { FastifyInstance } from 'fastify'
import { z } from 'zod'
import { dryOut } from '../domain/damp.js'
import { dampIn } from './damp-form.js'
import { choice, readBy } from './kit/fields.js'
import { check } from './kit/form.js'
import { measuresOf } from './kit/measures.js'
import { type Shed, sumPage } from './kit/sum.js'
import { unitsOf } from './pots.js'
import { fibresByName } from './recipe-working.js'

const asked = ({ workshop, catalogue }: Shed) => {
  const ids = catalogue.fibres.map(({ id }) => id)
  return z.object({
    weight: readBy(measuresOf(workshop).grams('weight as received', { min: 0.1, max: 1e6 })),
    damp: dampIn(unitsOf(workshop)),
    // Only a conditioned weight needs the regain of the fibre.
    fibreId: workshop.dryBasis === 'conditioned' ? choice('Fibre', ids) : choice('Fibre', ['', ...ids]).catch(''),
  })
}

/** Damp to dry: what of a damp weight counts in a recipe. */
export function dryWeight(app: FastifyInstance): void {
  sumPage(app, '/reckon/dry-weight', {
    title: 'Damp to dry',
    view: 'reckon/dry-weight',
    choices: ({ catalogue }) => ({ fibres: fibresByName(catalogue) }),
    answer: (form, shed) => {
      const { weight, damp, fibreId } = check(asked(shed), form)
      const fibre = shed.catalogue.fibres.find(({ id }) => id === fibreId) ?? {
        name: 'this fibre',
        regainPercent: null,
      }
      return { fibreName: fibre.name, damp, ...dryOut(weight, damp, shed.workshop.dryBasis, fibre) }
    },
  })
}
