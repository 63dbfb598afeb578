/** One bundle on the hand-back checklist: as it came beside as it goes. */
import type { Place } from './place.js'

/** What the checklist holds a bundle against: as it was taken in, and where it is now. */
export type BundleIn = { lotId: number; n: number; tiesIn: number; dryWeightG: number; place: Place }

/** How a bundle goes back: a small vocabulary; every answer but the first asks for words. */
export const CONDITIONS_BACK = ['as it came', 'torn', 'brittle', 'tangled', 'changed otherwise'] as const
export type ConditionBack = (typeof CONDITIONS_BACK)[number]

/** One bundle as it was looked at. `weightG` null = not weighed. */
export type BundleCheck = {
  found: boolean
  tiedAgain: boolean
  tiesBack: number
  /** Ties made anew from the strip's own end. */
  tiesReplaced: number
  weightG: number | null
  weightTyped: string
  condition: ConditionBack
  explanation: string
  /** The tag by which it was told from the others; '' = by its number and its ties. */
  tagCode: string
}

/** A bundle that nobody has looked at: its ties are taken to be all there, but nobody has said that it is tied up. */
export const unchecked = ({ tiesIn }: Pick<BundleIn, 'tiesIn'>): BundleCheck => ({
  found: true,
  tiedAgain: false,
  tiesBack: tiesIn,
  tiesReplaced: 0,
  weightG: null,
  weightTyped: '',
  condition: 'as it came',
  explanation: '',
  tagCode: '',
})

/** What is not here brings no ties and no weight back, whatever stood in its row; a tick that says otherwise stays. */
export const asFound = (check: BundleCheck): BundleCheck =>
  check.found
    ? check
    : { ...check, tiesBack: 0, tiesReplaced: 0, weightG: null, weightTyped: '', condition: 'as it came', tagCode: '' }

export const bundleName = ({ lotId, n }: Pick<BundleIn, 'lotId' | 'n'>): string => `Lot ${lotId}, bundle ${n}`

export const sayTies = (count: number): string => `${count} ${count === 1 ? 'tie' : 'ties'}`

/** Ties that came and are neither back nor replaced; below nothing when the counts are wrong. */
export const tiesMissing = ({ tiesIn }: Pick<BundleIn, 'tiesIn'>, check: BundleCheck): number =>
  tiesIn - check.tiesBack - check.tiesReplaced

/** What the bundle drawing shows for each tie that came. */
export type TieState = 'on' | 'replaced' | 'missing'

export const tieStates = (bundle: Pick<BundleIn, 'tiesIn'>, check: BundleCheck): TieState[] =>
  Array.from({ length: bundle.tiesIn }, (_, n) =>
    n < check.tiesBack ? 'on' : n < check.tiesBack + check.tiesReplaced ? 'replaced' : 'missing',
  )

/**
 * A dry bundle may come back at these shares of the dry weight that came in: loose ends are lost, dye and mordant stay
 * on, and air-dry fibre holds more or less water from day to day. Common practice, no source.
 */
export const LIGHTEST_SHARE = 0.9
export const HEAVIEST_SHARE = 1.15

/** Slack for binary fractions: 90 % of 147.3 g, typed back as such, is not light. */
const SLACK = 1e-9

export type WeightBack = 'not weighed' | 'light' | 'as expected' | 'heavy'

/** The weight back against what dyeing and drying explain. */
export function weighUp({ dryWeightG }: Pick<BundleIn, 'dryWeightG'>, { weightG }: BundleCheck): WeightBack {
  if (weightG === null) return 'not weighed'
  const share = weightG / dryWeightG
  if (share < LIGHTEST_SHARE - SLACK) return 'light'
  return share > HEAVIEST_SHARE + SLACK ? 'heavy' : 'as expected'
}

/** The weight back as a share of the dry weight that came in: "80 %". */
export const sayShare = ({ dryWeightG }: Pick<BundleIn, 'dryWeightG'>, weightG: number): string =>
  `${Math.round((weightG / dryWeightG) * 100)} %`
