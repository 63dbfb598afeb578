/** The factors of each dose: what is multiplied with what, before anything is added up or rounded. */
import type { DoseBasis, Figure, Substance } from './catalogue.js'
import { commonPractice, dividedBy, times } from './how.js'
import { DEPTHS, type DyeShare, type HowInput } from './recipe.js'
import { type Bench, typedHere, waterInputs, weightG, weightKg } from './recipe-bench.js'

/** A dose in the substance's own unit; `host` is what "per gram" refers to, null when nobody knows how much that is. */
export function doseInputs(
  bench: Bench,
  substance: Substance,
  dose: { basis: DoseBasis; amount: Figure | null },
  host: HowInput[] | null,
): HowInput[] | null {
  if (dose.amount === null) return null
  const { value, provenance } = dose.amount
  const { name, unit } = substance
  switch (dose.basis) {
    case '% owf':
      return [weightG(bench), times(name, value, '% owf', provenance)]
    case 'per litre':
      return [...waterInputs(bench), times(name, value, `${unit}/L`, provenance)]
    case 'per kg':
      return [weightKg(bench), times(name, value, `${unit}/kg`, provenance)]
    case 'per bath':
      return [times(`${name} for one bath`, value, unit, provenance)]
    case 'per gram':
      return host === null ? null : [...host, times(name, value, `${unit} per g`, provenance)]
  }
}

/** What the dyer typed as per cent of fibre weight: nothing else multiplies it. */
export function typedInputs(bench: Bench, substance: Substance, owfPercent: number): HowInput[] {
  return [weightG(bench), times(substance.name, owfPercent, '% owf', typedHere)]
}

/** The factors of one dye of the recipe; null when its rate is not known. */
export function dyeInputs(bench: Bench, dye: Substance, asked: DyeShare): HowInput[] | null {
  if (asked.owfPercent !== null) return typedInputs(bench, dye, asked.owfPercent)
  const rate = bench.job.route === 'label' ? labelInputs(bench, dye) : owfInputs(bench, dye)
  return rate === null ? null : [...rate, ...shareInput(bench, asked), ...takeUpInput(bench, dye)]
}

function labelInputs(bench: Bench, dye: Substance): HowInput[] | null {
  const { label, unit } = dye
  if (label === null || label.containersPerKg === null || label.containerHolds === null) return null
  const { container, containersPerKg, containerHolds } = label
  return [
    weightKg(bench),
    times("the label's rate", containersPerKg.value, `${container}s/kg`, containersPerKg.provenance),
    times(`one ${container}`, containerHolds.value, `${unit} each`, containerHolds.provenance),
    times('depth of shade', bench.job.depth, '', commonPractice),
  ]
}

function owfInputs(bench: Bench, dye: Substance): HowInput[] | null {
  const { medium } = dye.owfPercent
  if (medium === null || medium.value <= 0) return null
  const depth = depthFactor(dye, bench.job.depth)
  return [
    weightG(bench),
    times(`${dye.name}, medium shade`, medium.value, '% owf', medium.provenance),
    times('depth of shade', depth.value, '', depth.provenance),
    ...strengthInput(dye),
  ]
}

/**
 * What the medium amount is multiplied by. A dye with its own pale (0.25) and deep (2) figures follows them in straight
 * lines, through nothing at 0 and its medium at 1; without them, and beyond deep, the amount goes with the depth.
 */
export function depthFactor(dye: Substance, depth: number): Figure {
  const { pale, medium, deep } = dye.owfPercent
  const [low, high] = [DEPTHS[0].factor, DEPTHS[4].factor]
  if (medium === null || medium.value <= 0) return { value: depth, provenance: commonPractice }
  if (depth < 1 && pale !== null) {
    const own = pale.value / medium.value
    const value = depth <= low ? (own * depth) / low : own + ((1 - own) * (depth - low)) / (1 - low)
    return { value, provenance: pale.provenance }
  }
  if (depth > 1 && deep !== null) {
    const own = deep.value / medium.value
    const value = depth >= high ? (own * depth) / high : 1 + ((own - 1) * (depth - 1)) / (high - 1)
    return { value, provenance: deep.provenance }
  }
  return { value: depth, provenance: commonPractice }
}

function strengthInput(dye: Substance): HowInput[] {
  const strength = dye.relativeStrength
  return strength === null ? [] : [dividedBy('relative strength', strength.value, '', strength.provenance)]
}

function shareInput({ job }: Bench, asked: DyeShare): HowInput[] {
  if (job.dyes.length === 1) return []
  const parts = job.dyes.reduce((sum, dye) => sum + dye.share, 0)
  return [times('share of the colour', asked.share / parts, '', typedHere)]
}

function takeUpInput({ fibre }: Bench, dye: Substance): HowInput[] {
  const takeUp = dye.dyeClass === null ? null : fibre.takeUp[dye.dyeClass]
  return takeUp === null ? [] : [times(`take-up of ${fibre.name}`, takeUp.value, '', takeUp.provenance)]
}
