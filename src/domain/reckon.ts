/** From what the dyer asks for to the worked recipe. */
import type { Catalogue } from './catalogue.js'
import { findFibre, findSubstance } from './catalogue-look-up.js'
import { checkJob } from './check-job.js'
import { sayBasis } from './dry-weight.js'
import { feasibility, feasibilityAsk } from './feasibility.js'
import { howOf, plainNumber, product, times } from './how.js'
import {
  DEPTHS,
  type How,
  type HowInput,
  type MordantTime,
  type Recipe,
  type RecipeBath,
  type RecipeJob,
  ROUTE_WORDS,
} from './recipe.js'
import { type Bench, bathKeys, benchOf, type Draft, mainBath, waterInputs } from './recipe-bench.js'
import { cautionsOf } from './recipe-cautions.js'
import { draftsOf } from './recipe-draft.js'
import { linesOf } from './recipe-lines.js'
import { stepsOf } from './recipe-steps.js'
import { spentBathOf } from './spent-bath.js'

/**
 * Reckons a recipe. Amounts in g or mL, water in litres, all in proportion to the dry weight (but for doses "per bath").
 * Refuses ('wrong', with the field's path in the job) what it cannot reckon; never returns a figure that nobody knows.
 */
export function reckon(job: RecipeJob, catalogue: Catalogue): Recipe {
  checkJob(job, catalogue)
  const fibre = findFibre(catalogue, job.fibreId, 'fibreId')
  const bench = benchOf(job, catalogue, fibre)
  const drafts = draftsOf(bench)
  const { lines, notKnown } = linesOf(bench, drafts)
  const baths = bathsOf(bench, drafts)
  return {
    job,
    fibreName: fibre.name,
    dyeWords: dyeWords(bench),
    routeWords: ROUTE_WORDS[job.route],
    basisWords: basisWords(bench),
    depthWords: depthWords(job.depth),
    ...mainWater(bench, drafts),
    baths,
    lines,
    steps: stepsOf(bench, baths, lines),
    findings: feasibility(feasibilityAsk(job), catalogue, job.reasons),
    cautions: cautionsOf(job, lines, notKnown, catalogue),
    spentBath: spentBathOf(lines, catalogue),
  }
}

/** "1 (medium)", or "0.8 (light to medium)" between two names. */
export function depthWords(depth: number): string {
  const exact = DEPTHS.find(one => one.factor === depth)
  const below = DEPTHS.filter(one => one.factor < depth).at(-1)
  const above = DEPTHS.find(one => one.factor > depth)
  if (exact !== undefined) return `${depth} (${exact.name})`
  if (below === undefined) return `${plainNumber(depth)} (paler than pale)`
  if (above === undefined) return `${plainNumber(depth)} (deeper than deep)`
  return `${plainNumber(depth)} (${below.name} to ${above.name})`
}

function dyeWords({ job, catalogue }: Bench): string {
  const nameOf = (one: { substanceId: string }) => findSubstance(catalogue, one.substanceId, 'dyes').name
  const inOrder = [...job.mordants].sort((one, other) => one.bath - other.bath)
  const at = (when: MordantTime) => inOrder.filter(use => use.when === when).map(nameOf)
  const joined = (word: string, names: string[]) =>
    names.length === 0 ? '' : ` ${word} ${[...new Set(names)].join(' and ')}`
  const on = joined('on', [...at('before dye'), ...at('in the dye bath')])
  return `${job.dyes.map(nameOf).join(' and ')}${on}${joined('then', at('after dye'))}`
}

function basisWords({ job, fibre }: Bench): string {
  if (job.dryBasis === 'oven-dry') return sayBasis({ kind: 'oven-dry' })
  if (job.dryBasis === 'air-dry as weighed') return 'air-dry weight, as weighed'
  const regain = fibre.regainPercent
  if (regain === null) return 'conditioned weight: air-dry as weighed, since the regain of this fibre is not known'
  return sayBasis({ kind: 'conditioned', regainPercent: regain })
}

function bathsOf(bench: Bench, drafts: Draft[]): RecipeBath[] {
  return bathKeys(bench).flatMap(key => {
    const inputs = bathInputs(bench, drafts, key)
    return inputs === null
      ? []
      : [{ key, title: bathTitle(bench, key), waterL: product(inputs), how: howOf(inputs, 'L') }]
  })
}

function mainWater(bench: Bench, drafts: Draft[]): { waterL: number; waterHow: How } {
  const inputs = bathInputs(bench, drafts, mainBath(bench)) ?? waterInputs(bench)
  return { waterL: product(inputs), waterHow: howOf(inputs, 'L') }
}

/** The stock is part of the vat, so a vat is never smaller than its stock. */
function bathInputs(bench: Bench, drafts: Draft[], key: string): HowInput[] | null {
  const water = waterInputs(bench)
  const stock = stockInputs(drafts)
  if (key === 'stock') return stock
  return key === 'vat' && stock !== null && product(stock) > product(water) ? stock : water
}

/** Litres of stock: grams of indigo times the litres that each gram asks for. */
function stockInputs(drafts: Draft[]): HowInput[] | null {
  const indigo = drafts.find(draft => draft.bathKey === 'stock' && draft.substance.vat !== null)
  const perG = indigo?.substance.vat?.stockLPerG ?? null
  if (indigo === undefined || indigo.inputs === null || perG === null) return null
  return [...indigo.inputs, times('stock', perG.value, 'L per g', perG.provenance)]
}

function bathTitle(bench: Bench, key: string): string {
  if (key === 'stock') return 'Stock for the vat'
  if (key !== mainBath(bench)) return key.startsWith('mordant') ? 'Mordant bath' : 'Bath after dyeing'
  if (key === 'vat') return 'Vat'
  return bench.job.route === 'iron' ? 'Iron bath' : 'Dye bath'
}
