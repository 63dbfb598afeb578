/** What a dyer may try, allowed or not: as plain records that both the store and the site can be asked to do. */
import type { ConditionBack } from '../../src/domain/bundle-check.js'
import type { Water } from '../../src/domain/outcome.js'
import type { TieSaying } from '../../src/domain/tie-board.js'

/** One bundle on the hand-back checklist, as it is typed. `grams` null = not weighed. */
export type Row = {
  bundleId: number
  lotId: number
  found: boolean
  tiedAgain: boolean
  back: number
  replaced: number
  grams: number | null
  condition: ConditionBack
  words: string
  /** Ticked as staying here while others of its lot go. */
  stays: boolean
}

export type BundleBrought = { ties: number; grams: number }

export type Action =
  | { does: 'take in'; clientId: number; purpose: string; lots: BundleBrought[][] }
  /** `grams`: what the lot weighed as the page showed it. */
  | { does: 'keep a recipe'; lotId: number; grams: number }
  | { does: 'put in pots'; lotId: number; shares: { potId: number; ns: number[] }[] }
  | { does: 'share a bath'; potId: number; lots: { lotId: number; ns: number[] }[]; toldApart: string }
  /** `out`: bundles counted out of each lot of a shared bath, in the order of the lots. */
  | { does: 'next step'; loadId: number; version: number; why: string; out: { lotId: number; bundles: number }[] }
  | { does: 'undo'; loadId: number; version: number }
  | { does: 'rinse'; loadId: number; water: Water }
  | { does: 'add'; loadId: number; substanceId: string }
  | { does: 'note'; loadId: number; words: string }
  | { does: 'save the checklist'; commissionId: number; version: number; rows: Row[] }
  | {
      does: 'hand back'
      commissionId: number
      version: number
      lotIds: number[]
      toWhom: string
      /** By what right, for anybody but the client. */
      authority: string
      /** Why the rest of a lot stays. */
      restWords: string
      /** Bundles whose tags were scanned. */
      scanned: number[]
      rows: Row[]
    }
  | { does: 'find again'; slip: number; bundleId: number; words: string }
  | { does: 'did not go'; slip: number; bundleId: number; words: string }
  /** `onBoard`: how often something had become of its ties when the board was opened. */
  | { does: 'say of a tie'; bundleId: number; onBoard: number; saying: TieSaying; words: string }
  | {
      does: 'put right'
      lotId: number
      version: number
      why: string
      n: number
      /** What is typed of the bundle; null for nothing. */
      ties: number | null
      grams: number | null
      isWithdrawn: boolean
      overlooked: BundleBrought | null
    }
  | { does: 'mark'; commissionId: number; held: boolean; reason: string }

export type ActionTo<K extends Action['does']> = Extract<Action, { does: K }>

/** `who` is one of the two who are signed in; `key` is the form's one-time key; `otherWords`: the form was changed since. */
export type Press = { action: Action; key: string; who: 0 | 1; otherWords?: boolean }

/** What became of a press: the address it leads to, or that it was refused in words. */
export type Answer = { done: true; leadsTo: string } | { done: false }

/** A pot with room for everything, another, one too small for any bundle, one out of use, and none at all. */
export const POTS = [1, 2, 3, 4, 99] as const
export const FITTING: readonly number[] = [1, 2]

/** Whose everything is, by the number of the client: the fibre of the last shares no bath with that of the others. */
export const CLIENTS: Readonly<Record<number, string>> = { 1: 'Ilse Marram', 2: 'Joss Fell', 3: 'Pia Sedge' }
export const SHARING: readonly number[] = [1, 2]
/** The one who fetches it, most times. */
export const OWNER = 'the owner'

/** There is no such lot, load or commission. */
export const NOWHERE = 999

/** Words that can be read on a slip: blanks and signs that do not print are none. */
export const saysSomething = (words: string): boolean => /[\p{L}\p{N}]/u.test(words)
