/** What a return slip is made from: the facts of one hand-back as they stood when it was sealed. */
import type { BundleCheck } from './bundle-check.js'
import type { Settles } from './client.js'
import type { Rest } from './hand-back.js'
import type { Acknowledged, HowHanded } from './handover.js'
import type { Nearness, Water } from './outcome.js'
import type { Place } from './place.js'
import type { Units } from './quantity.js'
import type { Route } from './recipe.js'
import type { Used } from './return-slip.js'
import type { WeightBand } from './weight-back.js'

/** One bath that bundles of the lot were in. */
export type Bath = {
  loadId: number
  laidAt: string
  /** "cochineal on potassium alum". */
  dyeWords: string
  routeWords: string
  depthWords: string
  /** This lot's share. */
  used: Used[]
  /** Other lots lay in the same bath. */
  shared?: boolean
  /** null = no rinse was written down. */
  lastRinse: Water | null
}

/** `band`: what its weight was held against; left out on slips from before that was kept. */
export type SlipBundle = {
  id: number
  n: number
  tiesIn: number
  dryWeightG: number
  place: Place
  check: BundleCheck
  band?: WeightBand
}

export type SlipLot = {
  id: number
  fibreName: string
  colour: string
  swatch: string | null
  route: Route
  dyeName: string
  tiesUndyed: boolean
  /** Bundles that came in with the lot. */
  bundlesIn: number
  /** Those on this slip: back, or not found. */
  bundles: SlipBundle[]
  /** Those that were still here when it was sealed, by their numbers, with what was said of them. */
  rest: Rest & { ns: number[] }
  baths: Bath[]
  treatedWith: Used[]
  /** What a wet white cloth showed last, in words; left out on slips from before that was asked. */
  wetCloth?: string | null
  /** Why it goes back without a bath; left out when nobody said so. */
  undyedWhy?: string
  /** The newest word on what came out before it went back: a later one does not change a slip that was signed. */
  outcome: { swatch: string | null; nearness: Nearness; words: string } | null
}

/** Kept with the hand-back: no name of a client is in it, so that those can be erased and this stays. */
export type SlipFacts = {
  who: string
  commissionId: number
  purpose: string
  neededBy: string
  arrangement: Settles
  takenInAt: string
  units: Units
  timeZone: string
  lots: SlipLot[]
}

/** Who it was; erased as a whole when the client asks for it. */
export type SlipPerson = {
  toWhom: string
  authority: string
  clientName: string
  clientMark: string
  wishes: string
  /** Path data, see signature.ts; '' for none. */
  signature: string
}

export type SlipNote = { at: string; who: string; words: string }
/** `n` of the lot is here again after this slip was sealed: it was not found, or it had not gone with it after all. */
export type FoundAgain = { lotId: number; n: number; hadGone: boolean; at: string; who: string; words: string }

export type ReturnSlip = SlipFacts &
  SlipPerson & {
    id: number
    at: string
    words: string
    workshopName: string
    slipWords: string
    how: HowHanded
    reference: string
    acknowledged: Acknowledged
    notSignedBecause: string
    isErased: boolean
    notes: SlipNote[]
    foundAgain: FoundAgain[]
  }
