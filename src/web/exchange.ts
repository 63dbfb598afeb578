import type { FastifyInstance } from 'fastify'
import { z } from 'zod'
import { exchangeByMetal, exchangeByMole, metalOfBoth, type NamedSalt, type Salt, saltsIn } from '../domain/exchange.js'
import { choice, readBy } from './kit/fields.js'
import { check } from './kit/form.js'
import { measuresOf } from './kit/measures.js'
import { type Shed, sumPage } from './kit/sum.js'

const BY = ['metal', 'mole'] as const

const oneOf = (label: string, salts: readonly NamedSalt[]) =>
  choice(
    label,
    salts.map(({ id }) => id),
  ).transform((id): Salt => salts.find(salt => salt.id === id) ?? { name: id, formula: '' })

const asked = ({ workshop }: Shed, salts: readonly NamedSalt[]) =>
  z.object({
    weight: readBy(measuresOf(workshop).grams('weight', { max: 1e6 })),
    from: oneOf('What the recipe asks for', salts),
    to: oneOf('What there is', salts),
    by: choice('By what they are exchanged', BY),
  })

function exchanged(weightG: number, from: Salt, to: Salt, by: (typeof BY)[number]) {
  if (by === 'mole') return { metal: null, ...exchangeByMole(weightG, from, to) }
  const metal = metalOfBoth(from, to)
  return { metal, ...exchangeByMetal(weightG, from, to, metal) }
}

/** One mordant or salt for another. */
export function exchange(app: FastifyInstance): void {
  sumPage(app, '/reckon/exchange', {
    title: 'One salt for another',
    view: 'reckon/exchange',
    choices: ({ catalogue }) => {
      const salts = saltsIn(catalogue.substances)
      return { salts: salts.sort((one, other) => one.name.localeCompare(other.name, 'en')) }
    },
    answer: (form, shed, { salts }) => {
      const { weight, from, to, by } = check(asked(shed, salts), form)
      const { grams, metal, how } = exchanged(weight, from, to, by)
      return { from: { ...from, weightG: weight }, to: { ...to, weightG: grams }, by, metal, how }
    },
  })
}
