import type { Catalogue, Fibre, Provenance, Substance } from '../../src/domain/catalogue.js'
import { fibre, substance } from '../../src/domain/first-catalogue/figures.js'
import type { Recipe, RecipeJob, RecipeLine } from '../../src/domain/recipe.js'
import { reckon } from '../../src/domain/reckon.js'
import { Refusal } from '../../src/domain/refusal.js'

export const POUND_G = 453.59237
export const OUNCE_G = 28.349523125

export const tested: Provenance = { kind: 'own experience', source: 'written for this test' }
export const figure = (value: number) => ({ value, provenance: tested })

/** Textile of the handbooks: the amounts are for it as they stand. */
export const cotton: Fibre = fibre({
  id: 'cotton',
  name: 'cotton',
  latin: null,
  part: 'bast',
  words: 'stands for the cotton and wool of the handbooks',
  liquorRatioLPerKg: figure(20),
})

export function aDye(given: Partial<Substance>): Substance {
  const head = { id: 'dye', name: 'the dye', kind: 'dyestuff', form: 'powder', words: '', dyeClass: 'plant' } as const
  return substance({ ...head, owfPercent: { pale: null, medium: figure(10), deep: null }, ...given })
}

export function anAssistant(given: Partial<Substance>): Substance {
  return substance({ id: 'salt', name: 'salt', kind: 'assistant', form: 'crystals', words: '', ...given })
}

export function aMordant(given: Partial<Substance>): Substance {
  const mordantDose = { basis: '% owf', amount: figure(25) } as const
  return substance({ id: 'alum', name: 'alum', kind: 'mordant', form: 'crystals', words: '', mordantDose, ...given })
}

export function aCatalogue(...substances: Substance[]): Catalogue {
  return { fibres: [cotton], substances, rules: [] }
}

export function aJob(given: Partial<RecipeJob> = {}): RecipeJob {
  return {
    fibreId: 'cotton',
    dryWeightG: 1000,
    dryBasis: 'conditioned',
    route: 'plant',
    dyes: [{ substanceId: 'dye', share: 1, owfPercent: null }],
    mordants: [],
    extras: [],
    depth: 1,
    liquorRatioLPerKg: null,
    dips: null,
    conditions: [],
    tiesUndyed: false,
    purposes: [],
    usedRates: [],
    reasons: [],
    ...given,
  }
}

export const dyed = (substanceId: string, owfPercent: number | null = null, share = 1) => ({
  substanceId,
  share,
  owfPercent,
})

export const mordanted = (substanceId: string, owfPercent: number | null = null, bath = 1) =>
  ({ substanceId, when: 'before dye', bath, owfPercent }) as const

/** The line with this key; a test that asks for a line that is not there fails here. */
export function lineOf(recipe: Recipe, key: string): RecipeLine {
  const found = recipe.lines.find(line => line.key === key)
  if (found === undefined) throw new Error(`no line ${key} among ${recipe.lines.map(line => line.key).join(', ')}`)
  return found
}

/** The refusal that this job gets, as "field: sentence". */
export function refusalOf(job: RecipeJob, catalogue: Catalogue): string {
  try {
    reckon(job, catalogue)
  } catch (error) {
    if (error instanceof Refusal) return `${error.code} ${error.field}: ${error.message}`
    throw error
  }
  throw new Error('the job was accepted')
}
