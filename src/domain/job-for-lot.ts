/** The job that a lot asks for as it stands, before the dyer adjusts anything. */
import type { Catalogue, Condition, DyeClass, Substance } from './catalogue.js'
import { feasibility, feasibilityAsk, unanswered } from './feasibility.js'
import type { DryBasis, MordantUse, Purpose, RecipeJob, Route, UsedRate } from './recipe.js'
import { JOB_DEFAULTS } from './reckon-job.js'

export type LotToDye = {
  fibreId: string
  route: Route
  dyeId: string
  tiesUndyed: boolean
  /** Why a warning was set aside at drop-off, or ''. */
  against: string
  /** What was said at drop-off of the fibre, and of what it is for. */
  conditions: Condition[]
  purposes: Purpose[]
  bundles: { dryWeightG: number }[]
}

/** The recipe of the lot that is repeated, and what was really used of each substance per kg. */
export type Before = { job: RecipeJob; used: UsedRate[] }

/** The route follows from the dye: each class of dye is used in one way. */
export const ROUTE_OF_CLASS: Record<DyeClass, Route> = {
  'all-purpose': 'label',
  direct: 'powder',
  acid: 'powder',
  basic: 'powder',
  'fibre-reactive': 'powder',
  union: 'powder',
  plant: 'plant',
  insect: 'plant',
  iron: 'iron',
  indigo: 'indigo',
}

/** Alum is what a plant or insect dye is put on unless the dyer says otherwise: common practice, no source. */
const USUAL_MORDANT_ID = 'potassium-alum'

/** Grams of all bundles together. */
export const dryWeightOf = (bundles: { dryWeightG: number }[]): number =>
  bundles.reduce((sum, bundle) => sum + bundle.dryWeightG, 0)

/** What a formula says of a weight that no one typed for the recipe. */
export const weighedAtDropOff = (bundles: number): string =>
  `weighed at drop-off, ${bundles} ${bundles === 1 ? 'bundle' : 'bundles'}`

/**
 * A job for the lot's summed dry weight on the workshop's basis: its dye at medium depth, alum under a plant dye, and
 * what was said of it at drop-off. A repeat of the same fibre, route and dye starts from the job of then, with what was
 * really used in place of what was computed.
 */
export function jobForLot(lot: LotToDye, dryBasis: DryBasis, catalogue: Catalogue, before: Before | null): RecipeJob {
  const plain = plainJob(lot, dryBasis, catalogue)
  const job = before && isSameWork(lot, before.job) ? again(plain, before) : plain
  return { ...job, reasons: reasonsOf(job, lot.against, catalogue) }
}

/** The mordant that a plant or insect dye gets by itself; none for other routes. */
export function usualMordants(route: Route, catalogue: Catalogue): MordantUse[] {
  const ready = catalogue.substances.filter(isReadyAlum)
  const usual = ready.find(({ id }) => id === USUAL_MORDANT_ID) ?? ready[0]
  if (route !== 'plant' || usual === undefined) return []
  return [{ substanceId: usual.id, when: 'before dye', bath: 1, owfPercent: null }]
}

const isReadyAlum = ({ metal, mordantDose }: Substance): boolean =>
  metal === 'aluminium' && mordantDose !== null && mordantDose.amount !== null

function plainJob(lot: LotToDye, dryBasis: DryBasis, catalogue: Catalogue): RecipeJob {
  return {
    ...JOB_DEFAULTS,
    fibreId: lot.fibreId,
    dryWeightG: dryWeightOf(lot.bundles),
    dryWeightFrom: weighedAtDropOff(lot.bundles.length),
    dryBasis,
    route: lot.route,
    dyes: [{ substanceId: lot.dyeId, share: 1, owfPercent: null }],
    mordants: usualMordants(lot.route, catalogue),
    conditions: lot.conditions,
    purposes: lot.purposes,
    tiesUndyed: lot.tiesUndyed,
  }
}

const isSameWork = (lot: LotToDye, then: RecipeJob): boolean => lot.fibreId === then.fibreId && isForDyeAsked(then, lot)

/**
 * The weight, the basis and the ties are those of now; the way of working is that of then. What was said then still
 * warns, beside what is said now: the dyer can untick it.
 */
function again(now: RecipeJob, { job, used }: Before): RecipeJob {
  const { dryWeightG, dryWeightFrom = '', dryBasis, tiesUndyed } = now
  const conditions = [...new Set([...job.conditions, ...now.conditions])]
  const purposes = [...new Set([...job.purposes, ...now.purposes])]
  return { ...job, dryWeightG, dryWeightFrom, dryBasis, tiesUndyed, conditions, purposes, usedRates: used }
}

/** Whether a recipe was made for the dye, and so on the route, that is asked of the lot now. */
export const isForDyeAsked = (
  job: Pick<RecipeJob, 'route' | 'dyes'>,
  lot: Pick<LotToDye, 'route' | 'dyeId'>,
): boolean => job.route === lot.route && job.dyes.some(({ substanceId }) => substanceId === lot.dyeId)

/** What was said at drop-off answers every finding that asks why. */
function reasonsOf(job: RecipeJob, against: string, catalogue: Catalogue): RecipeJob['reasons'] {
  const known = catalogue.fibres.some(({ id }) => id === job.fibreId)
  const all = job.dyes.every(dye => catalogue.substances.some(({ id }) => id === dye.substanceId))
  if (!known || !all) return job.reasons
  const open = unanswered(feasibility(feasibilityAsk(job), catalogue, job.reasons))
  const said = against.trim() === '' ? [] : open.map(({ ruleId }) => ({ ruleId, words: against.trim() }))
  return [...job.reasons, ...said]
}
