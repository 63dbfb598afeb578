/** What the pages that work a recipe out have in common: the lot's page and the one without a lot. */
import { createHash } from 'node:crypto'
import type { Catalogue, Substance } from '../domain/catalogue.js'
import { unanswered } from '../domain/feasibility.js'
import { ROUTE_OF_CLASS } from '../domain/job-for-lot.js'
import { type Finding, MORDANT_TIMES, PURPOSES, type Recipe, type RecipeJob, type Route } from '../domain/recipe.js'
import { reckon } from '../domain/reckon.js'
import { errorsIn, type FieldError, type Form, Unfit } from './kit/form.js'
import { ANOTHER_DEPTH, TOLD, TYPED_BASES } from './recipe-form.js'

export type Worked = { recipe: Recipe | null; form: Form }

/** The recipe that a form asks for, or the form with a sentence for what cannot be reckoned. */
export function workOut(form: Form, catalogue: Catalogue, jobOf: (form: Form) => RecipeJob): Worked {
  try {
    return { recipe: reckon(jobOf(form), catalogue), form }
  } catch (fault) {
    // What was found wrong when the form was sent is said once, not twice.
    return { recipe: null, form: form.errors.length > 0 ? form : form.with(errorsOf(fault)) }
  }
}

const IN_THE_FORM = /^(dyes|(dyes|mordants|extras)\.\d+\.\w+|depth|depthFactor|liquorRatioLPerKg|dips|fibreId|weight)$/

/** A fault of the typist as sentences at the fields of the form; any other fault is thrown on. */
export function errorsOf(fault: unknown): FieldError[] {
  if (fault instanceof Unfit) return [...fault.errors]
  return errorsIn(fault).map(({ field, sentence }) => {
    const named = field === 'dryWeightG' ? 'weight' : field
    return { field: IN_THE_FORM.test(named) ? named : '', sentence }
  })
}

/** The findings that ask the dyer why, answered or not. */
export const asksWhy = (findings: Finding[]): Finding[] => {
  const open = unanswered(findings.map(finding => ({ ...finding, reason: null })))
  return findings.filter(({ ruleId }) => open.some(one => one.ruleId === ruleId))
}

/** Tells whether a recipe is still the one that was shown: everything in it but the reasons typed beside it. */
export function digestOf(recipe: Recipe): string {
  const findings = recipe.findings.map(({ ruleId, words }) => ({ ruleId, words }))
  const told = { ...recipe, findings, job: { ...recipe.job, reasons: [] } }
  return createHash('sha256').update(JSON.stringify(told)).digest('hex').slice(0, 32)
}

type Choice = { id: string; name: string }

const inOrder = (entries: Choice[]): Choice[] =>
  entries.map(({ id, name }) => ({ id, name })).sort((one, other) => one.name.localeCompare(other.name, 'en'))

export const fibresByName = ({ fibres }: Catalogue): Choice[] => inOrder(fibres)

/** What the form offers to choose from; with a route, only its dyes. */
export function choicesOf({ fibres, substances }: Catalogue, route: Route | null) {
  const routeOf = ({ dyeClass }: Substance) => (dyeClass === null ? null : ROUTE_OF_CLASS[dyeClass])
  const dyes = substances.filter(substance => routeOf(substance) !== null && (!route || routeOf(substance) === route))
  return {
    fibres: inOrder(fibres),
    dyes: inOrder(dyes),
    mordants: inOrder(substances.filter(({ mordantDose }) => mordantDose !== null)),
    extras: inOrder(substances.filter(({ kind }) => kind !== 'dyestuff')),
    mordantTimes: MORDANT_TIMES,
    bases: TYPED_BASES,
    conditions: TOLD,
    purposes: PURPOSES,
    anotherDepth: ANOTHER_DEPTH,
  }
}
