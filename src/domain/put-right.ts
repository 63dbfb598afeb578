/** What was written down at drop-off and was not so: put right while it is here, with what stood there before. */
import { dryWeightOf } from './job-for-lot.js'
import type { Place } from './place.js'

/** What is written of a bundle when it comes. */
export type Written = {
  tiesIn: number
  dryWeightG: number
  weightTyped: string
  thicknessMm: number | null
  thicknessTyped: string
  condition: string
  howTied: string
}

/** As it is typed: words beside the figure that they say. */
const SAYS: Partial<Record<keyof Written, keyof Written>> = { weightTyped: 'dryWeightG', thicknessTyped: 'thicknessMm' }
const FIELDS = [
  ...['tiesIn', 'dryWeightG', 'weightTyped', 'thicknessMm', 'thicknessTyped', 'condition', 'howTied'],
] as (keyof Written)[]

/** What of it is otherwise; a field that is left out stays, and the same figure in other words is no other figure. */
export function otherwise(written: Written, right: Partial<Written>): Partial<Written> {
  const differs = (field: keyof Written) => right[field] !== undefined && right[field] !== written[field]
  const changed = FIELDS.filter(field => differs(field) && differs(SAYS[field] ?? field))
  return Object.fromEntries(changed.map(field => [field, right[field]]))
}

type Tied = { n: number; place: Place; loadId: number | null; hasTieLines: boolean }

/** Why the ties of a bundle are not counted anew, in a sentence; null while they can be. */
export function whyTiesStay({ n, loadId, hasTieLines }: Tied): string | null {
  if (hasTieLines)
    return `Bundle ${n}: its ties came off before, and since then each is accounted for on the tie board, so the count of the drop-off stays. At the hand-back say in words how it was: they stand on the slip.`
  if (loadId !== null)
    return `Bundle ${n} is in load ${loadId}. Its ties are counted anew only before that: undo the load's first step, put the ties right, and start it again.`
  return null
}

/** Why a bundle is not withdrawn as one that was never there, in a sentence; null while it can be. */
export function whyNotWithdrawn({ n, place }: { n: number; place: Place }): string | null {
  if (place === 'arrivals shelf') return null
  return `Bundle ${n} was worked on (${place}), so it was there. What is missing now is told at the hand-back, or as an incident.`
}

type Came = { id: number; fibreId: string; fibreName: string; bundles: { dryWeightG: number }[] }

/** A hundredth of a gram: sums of decimals differ in their last digits. */
const SAME_G = 0.01

/** Whether a recipe was made for the dry weight that stands written of the lot now. */
export const isForWeight = (job: { dryWeightG: number }, { bundles }: { bundles: { dryWeightG: number }[] }): boolean =>
  Math.abs(job.dryWeightG - dryWeightOf(bundles)) <= SAME_G

/** Why a recipe that was kept is not for what stands written now, in a sentence; null while it is. */
export function whyNotForWhatCame(
  job: { fibreId: string; dryWeightG: number },
  lot: Came,
  weight: (grams: number) => string,
): string | null {
  const { id, fibreId, fibreName, bundles } = lot
  const again = 'Look at the recipe, and keep it anew before it goes in a pot.'
  if (job.fibreId !== fibreId)
    return `The recipe of lot ${id} was made before its fibre was put right: it is ${fibreName}. ${again}`
  if (isForWeight(job, lot)) return null
  return `The recipe of lot ${id} was made for ${weight(job.dryWeightG)} dry; since what was brought was put right, it is ${weight(dryWeightOf(bundles))}. ${again}`
}
