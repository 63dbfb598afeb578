/**
 * What this fibre will not take, what will brown or grey it, what will leave an undyed face: said as soon as fibre and
 * colour are known, before any weight. The rules are data in the catalogue; this only finds those that fire.
 */
import type { Catalogue, Condition, Fibre, Rule, Severity, Substance } from './catalogue.js'
import { findFibre, findSubstance } from './catalogue-look-up.js'
import type { Finding, GivenReason, RecipeJob } from './recipe.js'

/** What is known so far. `mordantIds` null = not chosen yet, so nothing is said about going without. */
export type FeasibilityAsk = {
  fibreId: string
  dyeIds: string[]
  mordantIds: string[] | null
  conditions: Condition[]
}

type Situation = { fibre: Fibre; dyes: Substance[]; mordantIds: string[]; conditions: Condition[] }

/** Severest first: the order in which findings are read out. */
const ORDER: Severity[] = [
  'does not take',
  'harms the fibre',
  'changes colour',
  'leaves an undyed face',
  'try a strip first',
]

/** These ask the dyer for a reason before the recipe is used. */
const ASKS_WHY: Severity[] = ['does not take', 'harms the fibre']

/** The findings for what is known so far, severest first. Refuses an unknown fibre or dye by field. */
export function feasibility(ask: FeasibilityAsk, catalogue: Catalogue, reasons: GivenReason[] = []): Finding[] {
  const situation: Situation = {
    fibre: findFibre(catalogue, ask.fibreId, 'fibreId'),
    dyes: ask.dyeIds.map((id, at) => findSubstance(catalogue, id, `dyes.${at}.substanceId`)),
    mordantIds: ask.mordantIds ?? [],
    conditions: ask.mordantIds?.length === 0 ? [...ask.conditions, 'no mordant'] : ask.conditions,
  }
  const fired = catalogue.rules.filter(rule => fires(rule, situation)).map(findingOf)
  return [...fired, ...takeUpNotKnown(situation)]
    .map(finding => ({ ...finding, reason: reasonFor(finding.ruleId, reasons) }))
    .sort((one, other) => ORDER.indexOf(one.severity) - ORDER.indexOf(other.severity))
}

/** Everything that was said of a lot or a job, as the rules name it. */
export function conditionsOf({
  conditions,
  purposes,
  tiesUndyed,
}: Pick<RecipeJob, 'conditions' | 'purposes' | 'tiesUndyed'>): Condition[] {
  return [...conditions, ...purposes, ...(tiesUndyed ? ['ties undyed' as const] : [])]
}

/** What a whole job says about feasibility. */
export function feasibilityAsk(job: RecipeJob): FeasibilityAsk {
  const conditions = conditionsOf(job)
  const tartar = job.extras.some(extra => extra.substanceId === 'cream-of-tartar')
  return {
    fibreId: job.fibreId,
    dyeIds: job.dyes.map(dye => dye.substanceId),
    mordantIds: job.mordants.map(mordant => mordant.substanceId),
    conditions: tartar ? [...conditions, 'cream of tartar added'] : conditions,
  }
}

/** Findings that ask for a reason and have none yet. */
export function unanswered(findings: Finding[]): Finding[] {
  return findings.filter(finding => ASKS_WHY.includes(finding.severity) && finding.reason === null)
}

function fires(rule: Rule, situation: Situation): boolean {
  const { fibre, dyes, mordantIds, conditions } = situation
  return (
    anyOf(rule.fibreIds, [fibre.id]) &&
    anyOf(rule.fibreParts, [fibre.part]) &&
    anyOf(rule.mordantIds, mordantIds) &&
    anyOf(rule.conditions, conditions) &&
    anyDye(rule, dyes)
  )
}

/** Both lists must be met by one and the same dye. */
function anyDye(rule: Rule, dyes: Substance[]): boolean {
  if (rule.dyeIds.length + rule.dyeClasses.length === 0) return true
  return dyes.some(dye => anyOf(rule.dyeIds, [dye.id]) && anyOf(rule.dyeClasses, classesOf(dye)))
}

const classesOf = (dye: Substance) => (dye.dyeClass === null ? [] : [dye.dyeClass])

function anyOf<T>(wanted: T[], present: T[]): boolean {
  return wanted.length === 0 || wanted.some(one => present.includes(one))
}

function findingOf(rule: Rule): Finding {
  const { name, severity, words, provenance } = rule
  return { ruleId: rule.id, name, severity, words, provenance, reason: null }
}

function takeUpNotKnown({ fibre, dyes }: Situation): Finding[] {
  const classes = [...new Set(dyes.flatMap(classesOf))].filter(dyeClass => fibre.takeUp[dyeClass] === null)
  return classes.map(dyeClass => ({
    ruleId: `take-up-not-known:${dyeClass}`,
    name: `Take-up of ${dyeClass} dye not known`,
    severity: 'try a strip first',
    words: `How much ${dyeClass} dye ${fibre.name} needs is not known: try a strip. The amounts are those for ordinary fibre.`,
    provenance: { kind: 'own experience', source: 'no figure in this catalogue yet' },
    reason: null,
  }))
}

function reasonFor(ruleId: string, reasons: GivenReason[]): string | null {
  return reasons.find(reason => reason.ruleId === ruleId)?.words ?? null
}
