import { dueAt, mayStandUntil, minutesLate, nextWords } from '../domain/load.js'
import { sayLots, sayLotsFirst } from '../domain/lot.js'
import { sayRunsOf } from '../domain/number-runs.js'
import type { LoadAtWork } from '../store/loads.js'
import type { LotInLoad } from '../store/lots-in-load.js'

/** A load at work with what follows from the clock: when its step is due out, how late it is, what the press does. */
export type LoadCard = LoadAtWork & {
  lots: LotOnCard[]
  lotWords: string
  whose: string
  dueAt: string | null
  mayStandUntil: string | null
  minutesLate: number
  nextWords: string
}

export function cardOf(load: LoadAtWork, now: string): LoadCard {
  return {
    ...load,
    ...lotsOnCard(load),
    dueAt: dueAt(load.step, load.stepSince),
    mayStandUntil: mayStandUntil(load.step, load.stepSince),
    minutesLate: minutesLate(load.step, load.stepSince, now),
    nextWords: nextWords(load.step, load.next ?? undefined, load.potName),
  }
}

export type LotOnCard = LotInLoad & { bundleWords: string }

/** Its lots, each with its bundles in words; "lots 3 and 5"; and "Lots 3 and 5, Pot 1", as a press names what it is for. */
export function lotsOnCard({ lots, potName }: { lots: readonly LotInLoad[]; potName: string }) {
  const lotIds = lots.map(({ lotId }) => lotId)
  return {
    lots: lots.map((lot): LotOnCard => ({ ...lot, bundleWords: bundleWords(lot.bundleNs, lot.bundlesOfLot) })),
    lotWords: sayLots(lotIds),
    whose: `${sayLotsFirst(lotIds)}, ${potName}`,
  }
}

/** "all 4 bundles", "bundles 1 to 4 of 12", "bundle 3 of 12". */
export function bundleWords(ns: readonly number[], ofLot: number): string {
  if (ns.length === ofLot) return ofLot === 1 ? 'its one bundle' : `all ${ofLot} bundles`
  return `${ns.length === 1 ? 'bundle' : 'bundles'} ${sayRunsOf(ns, ofLot)}`
}
