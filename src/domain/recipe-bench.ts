/** The work bench of one recipe: the job laid out with its fibre, its liquor ratio and its baths in order. */
import { type Catalogue, type Fibre, type Figure, NOT_KNOWN, type Provenance, type Substance } from './catalogue.js'
import { times } from './how.js'
import type { HowInput, LineRole, MordantTime, RecipeJob } from './recipe.js'
import { Refusal } from './refusal.js'

export type Bench = { job: RecipeJob; catalogue: Catalogue; fibre: Fibre; liquor: Figure }

/** A line before it is settled. `inputs` null = amount not known; `field` is where the dyer can type it. */
export type Draft = {
  substance: Substance
  role: LineRole
  bathKey: string
  inputs: HowInput[] | null
  field: string | null
}

export const typedHere: Provenance = { kind: 'own experience', source: 'typed for this recipe' }

export function benchOf(job: RecipeJob, catalogue: Catalogue, fibre: Fibre): Bench {
  return { job, catalogue, fibre, liquor: liquorRatioOf(job.liquorRatioLPerKg, fibre) }
}

/** Litres for each kilogram: what was typed, or else the fibre's own; refuses when neither is known. */
export function liquorRatioOf(typedLPerKg: number | null, fibre: Pick<Fibre, 'name' | 'liquorRatioLPerKg'>): Figure {
  if (typedLPerKg !== null) return { value: typedLPerKg, provenance: typedHere }
  if (fibre.liquorRatioLPerKg !== null) return fibre.liquorRatioLPerKg
  const sentence = `How much water ${fibre.name} needs is ${NOT_KNOWN}, then type the liquor ratio.`
  throw new Refusal('wrong', sentence, 'liquorRatioLPerKg')
}

const ofWeight = ({ dryWeightFrom }: RecipeJob): Provenance =>
  dryWeightFrom === undefined ? typedHere : { kind: 'own experience', source: dryWeightFrom }
export const weightG = ({ job }: Bench): HowInput => times('dry weight', job.dryWeightG, 'g', ofWeight(job))
export const weightKg = ({ job }: Bench): HowInput => times('dry weight', job.dryWeightG / 1000, 'kg', ofWeight(job))

/** kg × L/kg = litres. */
export function waterInputs(bench: Bench): HowInput[] {
  return [weightKg(bench), times('liquor ratio', bench.liquor.value, 'L/kg', bench.liquor.provenance)]
}

/** The main bath is the vat on the indigo route, else the dye bath. */
export const mainBath = ({ job }: Bench): string => (job.route === 'indigo' ? 'vat' : 'dye')

export function mordantBath(bench: Bench, use: { when: MordantTime; bath: number }): string {
  if (use.when === 'in the dye bath') return mainBath(bench)
  return use.when === 'before dye' ? `mordant-${use.bath}` : `after-${use.bath}`
}

/** Keys of the baths in the order in which they are made. */
export function bathKeys(bench: Bench): string[] {
  const inOrder = [...bench.job.mordants].sort((one, other) => one.bath - other.bath)
  const keysAt = (when: MordantTime) => inOrder.filter(use => use.when === when).map(use => mordantBath(bench, use))
  const stock = bench.job.route === 'indigo' ? ['stock'] : []
  return [...new Set([...keysAt('before dye'), ...stock, mainBath(bench), ...keysAt('after dye')])]
}
