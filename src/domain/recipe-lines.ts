/** Settles drafts into the lines that the dyer weighs out, with the same amount in spoons and bottles. */
import { NOT_KNOWN, type Substance } from './catalogue.js'
import { howOf, plainNumber, product } from './how.js'
import type { RecipeLine } from './recipe.js'
import type { Bench, Draft } from './recipe-bench.js'
import { Refusal } from './refusal.js'

/** Lines for all drafts whose amount is known, and the names of the assistants whose amount nobody knows. */
export function linesOf(bench: Bench, drafts: Draft[]): { lines: RecipeLine[]; notKnown: string[] } {
  refuseUnknown(drafts)
  refuseAcidWithReducer(bench, drafts)
  return {
    lines: drafts.flatMap(draft => lineOf(bench, draft)),
    notKnown: drafts.filter(draft => draft.inputs === null).map(draft => draft.substance.name),
  }
}

function lineOf(bench: Bench, { substance, role, bathKey, inputs }: Draft): RecipeLine[] {
  if (inputs === null) return []
  const { id, name, unit } = substance
  const amount = product(inputs)
  refuseOddFigure(amount, name)
  const ratePerKg = amount / (bench.job.dryWeightG / 1000)
  const alsoShown = [...inContainers(substance, amount), ...inSpoons(substance, amount)]
  const how = howOf(inputs, unit)
  return [{ key: `${bathKey}:${id}`, substanceId: id, name, role, bathKey, amount, unit, alsoShown, ratePerKg, how }]
}

/** A zero or missing figure in an edited catalogue must not come out as a weight. */
function refuseOddFigure(amount: number, name: string): void {
  if (Number.isFinite(amount) && amount >= 0) return
  throw new Refusal(
    'wrong',
    `The amount of ${name} cannot be reckoned: check its figures in the catalogue.`,
    'catalogue',
  )
}

/** Dyes and mordants must have an amount; what merely goes with them may stay open. */
function refuseUnknown(drafts: Draft[]): void {
  for (const { inputs, field, substance } of drafts) {
    if (inputs !== null || field === null) continue
    const sentence = `How much ${substance.name} to use is ${NOT_KNOWN}, then type the per cent of fibre weight.`
    throw new Refusal('wrong', sentence, field)
  }
}

/** Acid frees harmful gas from dithionite and thiourea dioxide, so no recipe puts both into one bath or vat. */
function refuseAcidWithReducer({ job }: Bench, drafts: Draft[]): void {
  const vat = (key: string) => (key === 'stock' ? 'vat' : key)
  for (const reducer of drafts.filter(draft => draft.substance.kind === 'reducing agent')) {
    const acid = drafts.find(draft => draft.substance.kind === 'acid' && vat(draft.bathKey) === vat(reducer.bathKey))
    if (acid === undefined) continue
    const at = job.extras.findIndex(extra => extra.substanceId === acid.substance.id)
    const sentence = `${acid.substance.name} is an acid and must never meet ${reducer.substance.name}, a reducing agent: take one of them out.`
    throw new Refusal('wrong', sentence, at === -1 ? 'dyes' : `extras.${at}.substanceId`)
  }
}

function inContainers({ label }: Substance, amount: number): string[] {
  if (label === null || label.containerHolds === null || label.containerHolds.value <= 0) return []
  return [counted(amount / label.containerHolds.value, label.container, `${label.container}s`)]
}

const TEASPOON_ML = 4.92892159375
const TEASPOONS_IN_TABLESPOON = 3
const TEASPOONS_IN_CUP = 48

/** US spoons and cups, named as such: they are for the small and the bulky, beside the weight. */
function inSpoons({ unit, gramsPerTeaspoon, label }: Substance, amount: number): string[] {
  if (label !== null) return []
  if (unit === 'mL') return spoons(amount / TEASPOON_ML)
  return gramsPerTeaspoon === null || gramsPerTeaspoon.value <= 0 ? [] : spoons(amount / gramsPerTeaspoon.value)
}

function spoons(teaspoons: number): string[] {
  if (teaspoons < 0.1) return []
  if (teaspoons < TEASPOONS_IN_TABLESPOON) return [counted(teaspoons, 'US teaspoon', 'US teaspoons')]
  if (teaspoons < TEASPOONS_IN_CUP / 4)
    return [counted(teaspoons / TEASPOONS_IN_TABLESPOON, 'US tablespoon', 'US tablespoons')]
  return [counted(teaspoons / TEASPOONS_IN_CUP, 'US cup', 'US cups')]
}

function counted(count: number, one: string, many: string): string {
  const shown = plainNumber(Number(count.toPrecision(3)))
  return `${shown} ${shown === '1' ? one : many}`
}
