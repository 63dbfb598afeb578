import { dueAt, mayStandUntil, minutesLate, nextWords } from '../domain/load.js'
import { sayRuns } from '../domain/number-runs.js'
import type { LoadAtWork } from '../store/loads.js'

/** A load at work with what follows from the clock: when its step is due out, how late it is, what the press does. */
export type LoadCard = LoadAtWork & {
  dueAt: string | null
  mayStandUntil: string | null
  minutesLate: number
  nextWords: string
  bundleWords: string
}

export function cardOf(load: LoadAtWork, now: string): LoadCard {
  return {
    ...load,
    dueAt: dueAt(load.step, load.stepSince),
    mayStandUntil: mayStandUntil(load.step, load.stepSince),
    minutesLate: minutesLate(load.step, load.stepSince, now),
    nextWords: nextWords(load.step, load.next ?? undefined, load.potName),
    bundleWords: bundleWords(load.bundleNs, load.bundlesOfLot),
  }
}

/** "all 4 bundles", "bundles 1 to 4 of 12", "bundle 3 of 12". */
export function bundleWords(ns: readonly number[], ofLot: number): string {
  if (ns.length === ofLot) return ofLot === 1 ? 'its one bundle' : `all ${ofLot} bundles`
  return `${ns.length === 1 ? 'bundle' : 'bundles'} ${sayRuns(ns)} of ${ofLot}`
}
