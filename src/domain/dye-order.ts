/**
 * What goes into a dye bath when, in words for the step: dye, salt, then soda; or by the label, soap and salt. The order
 * is common practice, no source. What is not weighed out for the bath is not named.
 */
import type { Substance } from './catalogue.js'

export type BathOrder = { before: string; after: string }

const NOTHING: BathOrder = { before: '', after: '' }
const SALTS = ['common-salt', 'glaubers-salt', 'sodium-sulfate']
const SOAP = 'dish-soap'

const named = (substances: readonly Substance[]): string => substances.map(({ name }) => name).join(' and ')

/** `inBath`: everything that is weighed out for the dye bath, dyes and all. */
export function bathOrder(inBath: readonly Substance[]): BathOrder {
  const salts = inBath.filter(({ id }) => SALTS.includes(id))
  const dye = inBath.find(({ dyeClass }) => dyeClass !== null)
  if (dye?.dyeClass === 'fibre-reactive') return reactiveOrder(salts, alkalisIn(inBath))
  if (dye?.dyeClass === 'all-purpose')
    return labelOrder(
      salts,
      inBath.filter(({ id }) => id === SOAP),
    )
  if (dye?.dyeClass === 'direct' || dye?.dyeClass === 'union') return saltedOrder(salts)
  return NOTHING
}

const alkalisIn = (inBath: readonly Substance[]) => inBath.filter(({ kind }) => kind === 'alkali')

/** Salt drives the dye onto the fibre; the alkali then binds it, and dye that meets it in the water alone is lost. */
function reactiveOrder(salts: readonly Substance[], alkalis: readonly Substance[]): BathOrder {
  const salt = salts.length === 0 ? '' : `Dissolve the ${named(salts)} in the bath first, then `
  const stir = 'stir in the dye, pasted and dissolved.'
  const soda =
    alkalis.length === 0
      ? ''
      : `After a third of the time lift the fibre out, stir in the ${named(alkalis)}, dissolved apart in a little hot water, in three parts some minutes from each other, and put the fibre back each time: from then on the dye binds.`
  return { before: salt === '' ? `S${stir.slice(1)}` : salt + stir, after: soda }
}

function labelOrder(salts: readonly Substance[], soaps: readonly Substance[]): BathOrder {
  const soap = soaps.length === 0 ? '' : `The ${named(soaps)} goes into the hot water first, `
  const dye = soap === '' ? 'The dye goes into the hot water first' : 'then the dye'
  const salt =
    salts.length === 0 ? '' : `, then the ${named(salts)}, dissolved apart in hot water; stir until it is even`
  return { before: `${soap}${dye}${salt}.`, after: '' }
}

/** Salt from the start drives these on unevenly. */
const saltedOrder = (salts: readonly Substance[]): BathOrder =>
  salts.length === 0
    ? NOTHING
    : {
        before: 'Stir in the dye, pasted and dissolved.',
        after: `Lift the fibre out after a quarter of an hour and again later, and stir in half of the ${named(salts)} each time, dissolved apart.`,
      }
