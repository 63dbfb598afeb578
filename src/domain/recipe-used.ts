/** Past lots repeated: what was really used, per kg of dry fibre, stands in for what would be computed. */
import type { Substance } from './catalogue.js'
import { findSubstance } from './catalogue-look-up.js'
import { product, times } from './how.js'
import type { HowInput, UsedRate } from './recipe.js'
import { type Bench, type Draft, mainBath, weightKg } from './recipe-bench.js'

/**
 * What was really used of this substance, for this bath; null when nothing was recorded. `plain` are the drafts as
 * computed: a substance that goes into several baths is shared out among them as they were computed.
 */
export function usedInputs(bench: Bench, plain: Draft[], substance: Substance, bathKey: string): HowInput[] | null {
  const used = bench.job.usedRates.find(rate => rate.substanceId === substance.id)
  if (used === undefined) return null
  const provenance = { kind: 'own experience', source: used.from } as const
  const whole = [weightKg(bench), times(`${substance.name} really used`, used.perKg, `${used.unit}/kg`, provenance)]
  const drafts = plain.filter(draft => draft.substance.id === substance.id)
  if (drafts.length <= 1) return whole
  return [...whole, times('part for this bath', partFor(drafts, bathKey), '', provenance)]
}

function partFor(drafts: Draft[], bathKey: string): number {
  const all = drafts.reduce((sum, draft) => sum + amountOf(draft), 0)
  if (all === 0) return 1 / drafts.length
  return drafts.filter(draft => draft.bathKey === bathKey).reduce((sum, draft) => sum + amountOf(draft) / all, 0)
}

const amountOf = (draft: Draft): number => (draft.inputs === null ? 0 : product(draft.inputs))

/** Drafts for what was used but is not part of the computed recipe, such as vinegar added during the bath. */
export function usedBeside(bench: Bench, drafts: Draft[]): Draft[] {
  const beside = bench.job.usedRates.filter(rate => !drafts.some(draft => draft.substance.id === rate.substanceId))
  return beside.map(rate => draftOfUsed(bench, rate))
}

function draftOfUsed(bench: Bench, rate: UsedRate): Draft {
  const substance = findSubstance(bench.catalogue, rate.substanceId, 'usedRates')
  const bathKey = mainBath(bench)
  return { substance, role: 'as used', bathKey, inputs: usedInputs(bench, [], substance, bathKey), field: null }
}
