import { usedRatesOf } from '../domain/addition.js'
import type { UsedRate } from '../domain/recipe.js'
import type { Db } from './db.js'
import { type LoadOfLot, loadsOfLot } from './loads-of-lot.js'

/**
 * What was really used for a lot, for each kilogram of its dry fibre: what was weighed out for its loads, and what was
 * added to them, without what was undone; of a shared bath its share by dry weight. A load counts once it was in a bath. Empty when nothing was dyed yet.
 */
export async function reallyUsed(db: Db, lotId: number): Promise<UsedRate[]> {
  return ratesUsed(lotId, await loadsOfLot(db, lotId)).map(({ asComputed: _, ...rate }) => rate)
}

/** The same, of all its loads; `asComputed` where nobody said what was weighed out, and what was computed stands in for it. */
export function ratesUsed(lotId: number, loads: readonly LoadOfLot[]): (UsedRate & { asComputed: boolean })[] {
  const dyed = loads.filter(load => load.wasInBath && load.takenOutAt === null)
  if (dyed.length === 0) return []
  // Fibre that went through two baths counts once: both went onto the same kilogram.
  const bundles = new Map(dyed.flatMap(load => load.bundles).map(({ id, dryWeightG }) => [id, dryWeightG]))
  const dryWeightG = [...bundles.values()].reduce((sum, one) => sum + one, 0)
  return usedRatesOf(dryWeightG, dyed.flatMap(usedIn), `really used for lot ${lotId}`)
}

/** Not as each share is told, which is rounded: a repeat starts from what was used to the last digit. */
function usedIn({ weighedOut, log, dryWeightG, loadG }: LoadOfLot) {
  const share = (ofLoad: number) => (ofLoad * dryWeightG) / loadG
  const weighed = weighedOut.map(({ substanceId, weighed, ofLoad, unit }) => ({
    substanceId,
    amount: share(ofLoad),
    unit,
    asComputed: weighed === null,
  }))
  const added = log.flatMap(({ kind, undoneAt, substanceId, amount, unit }) =>
    kind !== 'added' || undoneAt !== null || substanceId === null || amount === null || unit === null
      ? []
      : [{ substanceId, amount: share(amount), unit, asComputed: false }],
  )
  return [...weighed, ...added]
}
