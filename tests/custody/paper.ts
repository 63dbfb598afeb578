/** A small workshop on paper: what is where. Written from the rules of the job, and not from the program. */
import type { Water } from '../../src/domain/outcome.js'
import type { Place } from '../../src/domain/place.js'
import type { Row } from './actions.js'

export type PaperBundle = {
  id: number
  lotId: number
  n: number
  tiesIn: number
  grams: number
  place: Place
  on: number
  off: number
  lost: number
  /** Of those on or off, made anew. */
  anew: number
  /** How often something became of its ties since they came. */
  onBoard: number
  loadId: number | null
}

export type PaperLoad = {
  id: number
  lotIds: number[]
  potId: number
  /** Its bundles as they were when they were laid in. */
  came: { bundleId: number; from: Place }[]
  steps: { place: Place; tiesComeOff: boolean }[]
  /** Steps begun that count; one more than there are steps when it is done, none when it was taken out again. */
  begun: number
  /** Lines that count, oldest first: a step, a rinse with its water, or anything else. */
  lines: ('step' | Water | 'other')[]
  version: number
}

/** `recipeGrams`: the dry weight that its recipe was kept for; null before. */
export type PaperLot = {
  id: number
  commissionId: number
  clientId: number
  recipeGrams: number | null
  isClosed: boolean
  version: number
}

export type Checked = Omit<Row, 'bundleId' | 'lotId' | 'stays'>

/** A bundle on a slip that counts: as not found, or as gone back. */
export type PaperLost = { slip: number; bundleId: number }

export type Paper = {
  lots: PaperLot[]
  bundles: PaperBundle[]
  loads: PaperLoad[]
  /** What the checklist holds, by bundle. */
  checks: Map<number, Checked>
  /** How often a row was saved, by commission. */
  checklistVersions: Map<number, number>
  slips: number
  lost: PaperLost[]
  /** What went, until it turns out that it did not. */
  went: PaperLost[]
  /** What was found again, with the number of loads there were then. */
  found: { bundleId: number; loadsThen: number }[]
  /** Commissions that are marked: do not release. */
  held: Set<number>
}

export const blank = (): Paper => ({
  lots: [],
  bundles: [],
  loads: [],
  checks: new Map(),
  checklistVersions: new Map(),
  slips: 0,
  lost: [],
  went: [],
  found: [],
  held: new Set(),
})

export const isWaiting = ({ place }: PaperBundle): boolean => place === 'arrivals shelf' || place === 'ready shelf'
export const isHere = ({ place }: PaperBundle): boolean =>
  place !== 'handed back' && place !== 'not found' && place !== 'withdrawn'
export const isTakenOut = ({ begun }: PaperLoad): boolean => begun === 0
export const isDone = ({ begun, steps }: PaperLoad): boolean => begun === 0 || begun > steps.length

export const lotOf = (paper: Paper, lotId: number) => paper.lots.find(({ id }) => id === lotId)
export const bundlesOf = (paper: Paper, lotId: number) => paper.bundles.filter(bundle => bundle.lotId === lotId)
/** What all its bundles weigh; one that was withdrawn had never been there. */
export const gramsOf = (paper: Paper, lotId: number): number =>
  bundlesOf(paper, lotId)
    .filter(({ place }) => place !== 'withdrawn')
    .reduce((sum, { grams }) => sum + grams, 0)
export const lotsOf = (paper: Paper, commissionId: number) =>
  paper.lots.filter(lot => lot.commissionId === commissionId)
export const checklistVersion = (paper: Paper, commissionId: number): number =>
  paper.checklistVersions.get(commissionId) ?? 0

/** Whether the next press takes the bundles out of the pot for good, or out of the load. */
export const takesOut = (load: PaperLoad): boolean =>
  load.begun >= load.steps.length || (holdsPot(load) && !holdsPot(load, load.begun + 1))

/** A load keeps its pot from the soak until it is lifted out and no later step goes in again. */
export function holdsPot({ begun, steps }: PaperLoad, presses = begun): boolean {
  if (presses === 0 || presses > steps.length) return false
  const isLifted = steps
    .slice(0, presses)
    .some((step, at) => step.place !== 'soak tub' && !steps.slice(at).some(({ place }) => place === 'pot'))
  return !isLifted
}

export const holderOf = (paper: Paper, potId: number) =>
  paper.loads.find(load => load.potId === potId && holdsPot(load))
