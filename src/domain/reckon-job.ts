/**
 * Reads a `RecipeJob` out of unknown JSON, strictly: a missing, misspelt or mistyped field is refused by its path.
 * Needed are fibreId, dryWeightG, route and dyes; what is left out gets the plain answer of `DEFAULTS`.
 */
import { CONDITIONS, DOSE_BASES } from './catalogue.js'
import { fieldsOf, listOf, needed, number, oneOf, optional, orNull, words, yesOrNo } from './read-json.js'
import {
  DRY_BASES,
  type DyeShare,
  type ExtraDose,
  type GivenReason,
  MORDANT_TIMES,
  type MordantUse,
  PURPOSES,
  type RecipeJob,
  ROUTES,
  type UsedRate,
} from './recipe.js'

/** What a job says where nothing was said. */
export const JOB_DEFAULTS = {
  dryBasis: 'conditioned',
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
} satisfies Partial<RecipeJob>

const JOB_FIELDS = ['fibreId', 'dryWeightG', 'route', 'dyes', ...Object.keys(JOB_DEFAULTS), 'dryWeightFrom']

/** Shape and types only; ranges, names and what goes with what are checked when the job is reckoned. */
export function readRecipeJob(json: unknown): RecipeJob {
  const job = fieldsOf(json, '', JOB_FIELDS, 'The job')
  const dryWeightFrom = optional(job, 'dryWeightFrom', '', orNull(words), null)
  return {
    ...(dryWeightFrom === null ? {} : { dryWeightFrom }),
    fibreId: needed(job, 'fibreId', '', words),
    dryWeightG: needed(job, 'dryWeightG', '', number),
    dryBasis: optional(job, 'dryBasis', '', oneOf(DRY_BASES), JOB_DEFAULTS.dryBasis),
    route: needed(job, 'route', '', oneOf(ROUTES)),
    dyes: needed(job, 'dyes', '', listOf(dyeShare)),
    mordants: optional(job, 'mordants', '', listOf(mordantUse), JOB_DEFAULTS.mordants),
    extras: optional(job, 'extras', '', listOf(extraDose), JOB_DEFAULTS.extras),
    depth: optional(job, 'depth', '', number, JOB_DEFAULTS.depth),
    liquorRatioLPerKg: optional(job, 'liquorRatioLPerKg', '', orNull(number), JOB_DEFAULTS.liquorRatioLPerKg),
    dips: optional(job, 'dips', '', orNull(number), JOB_DEFAULTS.dips),
    conditions: optional(job, 'conditions', '', listOf(oneOf(CONDITIONS)), JOB_DEFAULTS.conditions),
    tiesUndyed: optional(job, 'tiesUndyed', '', yesOrNo, JOB_DEFAULTS.tiesUndyed),
    purposes: optional(job, 'purposes', '', listOf(oneOf(PURPOSES)), JOB_DEFAULTS.purposes),
    usedRates: optional(job, 'usedRates', '', listOf(usedRate), JOB_DEFAULTS.usedRates),
    reasons: optional(job, 'reasons', '', listOf(givenReason), JOB_DEFAULTS.reasons),
  }
}

function dyeShare(value: unknown, path: string): DyeShare {
  const dye = fieldsOf(value, path, ['substanceId', 'share', 'owfPercent'])
  return {
    substanceId: needed(dye, 'substanceId', path, words),
    share: optional(dye, 'share', path, number, 1),
    owfPercent: optional(dye, 'owfPercent', path, orNull(number), null),
  }
}

function mordantUse(value: unknown, path: string): MordantUse {
  const use = fieldsOf(value, path, ['substanceId', 'when', 'bath', 'owfPercent'])
  return {
    substanceId: needed(use, 'substanceId', path, words),
    when: optional(use, 'when', path, oneOf(MORDANT_TIMES), 'before dye'),
    bath: optional(use, 'bath', path, number, 1),
    owfPercent: optional(use, 'owfPercent', path, orNull(number), null),
  }
}

function extraDose(value: unknown, path: string): ExtraDose {
  const extra = fieldsOf(value, path, ['substanceId', 'basis', 'amount'])
  return {
    substanceId: needed(extra, 'substanceId', path, words),
    basis: needed(extra, 'basis', path, oneOf(DOSE_BASES)),
    amount: needed(extra, 'amount', path, number),
  }
}

function usedRate(value: unknown, path: string): UsedRate {
  const used = fieldsOf(value, path, ['substanceId', 'perKg', 'unit', 'from'])
  return {
    substanceId: needed(used, 'substanceId', path, words),
    perKg: needed(used, 'perKg', path, number),
    unit: needed(used, 'unit', path, oneOf(['g', 'mL'] as const)),
    from: needed(used, 'from', path, words),
  }
}

function givenReason(value: unknown, path: string): GivenReason {
  const reason = fieldsOf(value, path, ['ruleId', 'words'])
  return { ruleId: needed(reason, 'ruleId', path, words), words: needed(reason, 'words', path, words) }
}
