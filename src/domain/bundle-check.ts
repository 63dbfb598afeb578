/** One bundle on the hand-back checklist: as it came beside as it goes. */
import type { Place } from './place.js'
import { USUAL_BAND, type WeightBand } from './weight-back.js'

/**
 * What the checklist holds a bundle against: as it was taken in, and where it is now. `band`: what its weight may be;
 * left out on slips from before it was learned, and where nothing is weighed.
 */
export type BundleIn = {
  lotId: number
  n: number
  tiesIn: number
  dryWeightG: number
  place: Place
  band?: WeightBand
}

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

/** What the tie board knows before anybody looks: ties that were lost, and ties that were made anew. */
export type KnownTies = { tiesIn: number; tiesLost?: number; tiesReplaced?: number }

/**
 * A bundle that nobody has looked at: its ties are taken to be all there, but for what the tie board knows, and nobody
 * has said that it is tied up.
 */
export const unchecked = ({ tiesIn, tiesLost = 0, tiesReplaced = 0 }: KnownTies): BundleCheck => ({
  found: true,
  tiedAgain: false,
  tiesBack: tiesIn - tiesLost - tiesReplaced,
  tiesReplaced,
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

/** Slack for binary fractions: 90 % of 147.3 g, typed back as such, is not light. */
const SLACK = 1e-9

export type WeightBack = 'not weighed' | 'light' | 'as expected' | 'heavy'

/** The weight back against what dyeing and drying explain. */
export function weighUp(bundle: Pick<BundleIn, 'dryWeightG' | 'band'>, { weightG }: BundleCheck): WeightBack {
  if (weightG === null) return 'not weighed'
  const { lightest, heaviest } = bundle.band ?? USUAL_BAND
  const share = weightG / bundle.dryWeightG
  if (share < lightest - SLACK) return 'light'
  return share > heaviest + SLACK ? 'heavy' : 'as expected'
}

/** The weight back as a share of the dry weight that came in: "80 %". */
export const sayShare = ({ dryWeightG }: Pick<BundleIn, 'dryWeightG'>, weightG: number): string =>
  `${Math.round((weightG / dryWeightG) * 100)} %`
