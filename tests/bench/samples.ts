import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import type { RecipeJob } from '../../src/domain/recipe.js'
import { reckon } from '../../src/domain/reckon.js'
import type { Sample } from './generate.js'

/** An everyday job; what differs is said. */
export const job = (
  fibreId: string,
  dyeId: string,
  route: RecipeJob['route'],
  more: Partial<RecipeJob> = {},
): RecipeJob => ({
  fibreId,
  dryWeightG: 900,
  dryBasis: 'conditioned',
  route,
  dyes: [{ substanceId: dyeId, share: 1, owfPercent: null }],
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
  ...more,
})

const alum = { substanceId: 'potassium-alum', when: 'before dye' as const, bath: 1, owfPercent: null }

export const JOBS: readonly RecipeJob[] = [
  job('red-cedar-inner-bark', 'all-purpose-bottled', 'label'),
  job('soft-rush', 'weld', 'plant', { mordants: [alum] }),
  job('willow-rods-buff', 'ferrous-sulfate', 'iron'),
  job('raffia', 'madder-root', 'plant', { mordants: [alum], depth: 1.5 }),
  job('lime-inner-bark', 'all-purpose-bottled', 'label', { depth: 0.5 }),
]

/** Real recipes for the generated lots to share. */
export const samples = (): Sample[] =>
  JOBS.map(one => ({
    fibreId: one.fibreId,
    dyeId: one.dyes[0]?.substanceId ?? '',
    route: one.route,
    recipe: reckon(one, firstCatalogue),
  }))
