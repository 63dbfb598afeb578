/** Brings a load and its bundles to where they stand, with a move for each bundle that changes place. */
import type { Standing } from '../domain/load.js'
import type { Place } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import { allPutBack, allTakenOff, takenOffUndone } from '../domain/tie-board.js'
import type { By, Trx } from './db.js'
import type { BundleInLoad, Load } from './load-record.js'
import { noteTies } from './tie-board.js'

/** `load` as it was before; `to` as it stands afterwards; `why` stands beside each move. */
export async function moveLoad(trx: Trx, by: By, load: Load, to: Standing, why: string): Promise<void> {
  if (load.potFreeAt !== null && to.potFreeAt === null) await refusePotTaken(trx, load)
  if (load.doneAt !== null) await refuseGone(trx, load)
  await trx
    .updateTable('load')
    .set({
      step_n: to.stepN,
      step_since: to.stepSince,
      pot_free_at: to.potFreeAt,
      done_at: to.doneAt,
      taken_out_at: to.place === null ? to.doneAt : null,
    })
    .where('id', '=', load.id)
    .execute()
  const wereOff = load.doneAt === null && load.steps.some(step => step.tiesComeOff && step.n < load.stepN)
  for (const bundle of load.bundles) await moveBundle(trx, by, load, bundle, { ...to, wereOff, why })
}

type Move = Standing & { wereOff: boolean; why: string }

async function moveBundle(trx: Trx, by: By, load: Load, bundle: BundleInLoad, move: Move): Promise<void> {
  const place: Place = move.place ?? bundle.fromPlace
  const at = move.why === '' ? move.stepSince : by.at
  await noteTies(trx, { ...by, at }, bundle, { events: tieEvents(bundle, move), loadId: load.id, words: move.why })
  await trx
    .updateTable('bundle')
    .set({ place, load_id: move.doneAt === null ? load.id : null })
    .where('id', '=', bundle.id)
    .execute()
  if (place === bundle.place) return
  await trx
    .insertInto('move')
    .values({
      bundle_id: bundle.id,
      from_place: bundle.place,
      to_place: place,
      load_id: load.id,
      at,
      worker_id: by.workerId,
      why: move.why,
    })
    .execute()
}

/** Ties come off in the bath and are put back when it is done; undone, those go back that this load took off. */
function tieEvents(bundle: BundleInLoad, { wereOff, tiesAreOff, doneAt, place }: Move) {
  if (wereOff === tiesAreOff) return []
  if (tiesAreOff) return allTakenOff(bundle)
  return doneAt !== null && place !== null ? allPutBack(bundle) : takenOffUndone(bundle, bundle.laidTiesOn)
}

async function refusePotTaken(trx: Trx, load: Load): Promise<void> {
  const other = await trx
    .selectFrom('load')
    .select('id')
    .where('pot_id', '=', load.potId)
    .where('pot_free_at', 'is', null)
    .executeTakeFirst()
  if (other) throw new Refusal('conflict', `${load.potName} holds load ${other.id} now, so this cannot be undone.`)
}

/** A load that was done is opened again only while all its bundles wait where it left them. */
async function refuseGone(trx: Trx, load: Load): Promise<void> {
  const later = await trx
    .selectFrom('load_bundle')
    .innerJoin('load', 'load.id', 'load_bundle.load_id')
    .select('load.id')
    .where(
      'bundle_id',
      'in',
      load.bundles.map(({ id }) => id),
    )
    .where('load.id', '>', load.id)
    .where('load.taken_out_at', 'is', null)
    .executeTakeFirst()
  if (later) throw new Refusal('conflict', `Load ${later.id} has its bundles since, so this cannot be undone.`)
  const gone = load.bundles.find(({ place }) => place !== 'ready shelf')
  if (gone) throw new Refusal('conflict', `Bundle ${gone.n} has left the ready shelf, so this cannot be undone.`)
  await refuseFoundAgain(trx, load)
}

/** What was given up on a slip after this load and found again has had its ties counted anew. */
async function refuseFoundAgain(trx: Trx, load: Load): Promise<void> {
  const found = await trx
    .selectFrom('found_again')
    .innerJoin('load_bundle', 'load_bundle.bundle_id', 'found_again.bundle_id')
    .innerJoin('load', 'load.id', 'load_bundle.load_id')
    .innerJoin('bundle', 'bundle.id', 'load_bundle.bundle_id')
    .select('bundle.n')
    .where('load.id', '=', load.id)
    .whereRef('found_again.at', '>=', 'load.done_at')
    .executeTakeFirst()
  if (found)
    throw new Refusal(
      'conflict',
      `Bundle ${found.n} stood on a slip since and is here again, so this cannot be undone.`,
    )
}
