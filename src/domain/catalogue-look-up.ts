import type { Catalogue, Fibre, Substance } from './catalogue.js'
import { Refusal } from './refusal.js'

/** The fibre with this id; refuses by field when the catalogue has none. */
export function findFibre(catalogue: Catalogue, id: string, field: string): Fibre {
  const found = catalogue.fibres.find(fibre => fibre.id === id)
  if (found === undefined)
    throw new Refusal('wrong', `The catalogue has no fibre "${id}". Choose one of its fibres.`, field)
  return found
}

/** The substance with this id; refuses by field when the catalogue has none. */
export function findSubstance(catalogue: Catalogue, id: string, field: string): Substance {
  const found = catalogue.substances.find(substance => substance.id === id)
  if (found === undefined)
    throw new Refusal('wrong', `The catalogue has no dyestuff or mordant "${id}". Choose one of its entries.`, field)
  return found
}
