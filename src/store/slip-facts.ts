/** Gathers what a return slip prints, when a hand-back is sealed: later edits of the records do not reach it. */
import type { BundleCheck } from '../domain/bundle-check.js'
import type { Rest } from '../domain/hand-back.js'
import { isHere } from '../domain/place.js'
import { treatments } from '../domain/return-slip.js'
import type { SlipFacts, SlipLot } from '../domain/slip-facts.js'
import type { WeightBand } from '../domain/weight-back.js'
import { sayWetCloth } from '../domain/wet-cloth.js'
import { bathsOfLot } from './baths-of-lot.js'
import type { Db } from './db.js'
import type { Lot } from './lots.js'
import { outcomesOfLot } from './outcomes.js'
import { undyedWhyOf } from './undyed.js'
import { wetClothsOfLot } from './wet-cloths.js'
import { findWorkshop } from './workshop.js'

/** A lot in a hand-back: the checks of the bundles that are in it, by bundle, and what is said of the rest. */
export type LotGoing = { lot: Lot; checks: ReadonlyMap<number, BundleCheck>; rest: Rest; band?: WeightBand }

type Sealed = { commissionId: number; workerId: number; at: string }

export async function gatherFacts(db: Db, sealed: Sealed, going: readonly LotGoing[]): Promise<SlipFacts> {
  const asked = await db
    .selectFrom('commission')
    .select(['id as commissionId', 'purpose', 'needed_by as neededBy', 'arrangement', 'taken_in_at as takenInAt'])
    .where('id', '=', sealed.commissionId)
    .executeTakeFirstOrThrow()
  const { who } = await db
    .selectFrom('worker')
    .select('name as who')
    .where('id', '=', sealed.workerId)
    .executeTakeFirstOrThrow()
  const workshop = await findWorkshop(db)
  const lots: SlipLot[] = []
  for (const one of going) lots.push(await lotForSlip(db, sealed.at, one))
  return {
    ...asked,
    who,
    units: { weight: workshop?.weightUnit ?? 'metric', volume: workshop?.volumeUnit ?? 'metric' },
    timeZone: workshop?.timeZone ?? 'UTC',
    lots,
  }
}

async function lotForSlip(db: Db, at: string, { lot, checks, rest, band }: LotGoing): Promise<SlipLot> {
  const baths = await bathsOfLot(db, lot.id)
  const cloth = (await wetClothsOfLot(db, lot.id)).find(tried => tried.at <= at)
  const outcome = (await outcomesOfLot(db, lot.id)).find(noted => noted.at <= at)
  const undyedWhy = baths.length === 0 ? await undyedWhyOf(db, lot.id) : ''
  const { id, fibreName, colour, swatch, route, dyeName, tiesUndyed } = lot
  return {
    ...{ id, fibreName, colour, swatch, route, dyeName, tiesUndyed },
    bundlesIn: lot.bundles.length,
    bundles: lot.bundles.flatMap(({ id, n, tiesIn, dryWeightG, place }) => {
      const check = checks.get(id)
      return check ? [{ id, n, tiesIn, dryWeightG, place, check, ...(band ? { band } : {}) }] : []
    }),
    rest: { ...rest, ns: lot.bundles.filter(({ id, place }) => isHere(place) && !checks.has(id)).map(({ n }) => n) },
    baths,
    ...(undyedWhy === '' ? {} : { undyedWhy }),
    wetCloth: cloth ? sayWetCloth(cloth) : null,
    treatedWith: treatments(baths.flatMap(({ used }) => used)),
    outcome: outcome ? { swatch: outcome.swatch, nearness: outcome.nearness, words: outcome.words } : null,
  }
}
