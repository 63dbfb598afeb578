/** The tie board: what became of each tie, bundle by bundle. The database counts along, and refuses what does not add up. */
import { sql } from 'kysely'
import { asFound, unchecked } from '../domain/bundle-check.js'
import { isHere } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import {
  afterTieEvent,
  allAfter,
  saidOfTie,
  type TieCounts,
  type TieEvent,
  type TieEventKind,
  type TieSaying,
} from '../domain/tie-board.js'
import { findChecklist, saveCheck } from './bundle-check.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { type Bundle, findLot, type Lot } from './lots.js'
import { ready } from './ready.js'

type Noted = { events: readonly TieEvent[]; loadId: number | null; words: string }

/** Writes down what became of ties of a bundle, one line each; `ties` as they hang before. */
export async function noteTies(trx: Trx, by: By, ties: TieCounts & { id: number }, noted: Noted): Promise<void> {
  let now: TieCounts = ties
  for (const event of noted.events) {
    const after = afterTieEvent(now, event)
    if (!after) throw new Refusal('conflict', 'The ties of this bundle were counted anew while the page was open.')
    await trx
      .insertInto('tie_event')
      .values({
        bundle_id: ties.id,
        kind: event.kind,
        count: event.count,
        tied: event.tied ? 1 : 0,
        load_id: noted.loadId,
        ties_on: after.tiesOn,
        ties_off: after.tiesOff,
        ties_lost: after.tiesLost,
        ties_replaced: after.tiesReplaced,
        at: by.at,
        worker_id: by.workerId,
        words: noted.words,
      })
      .execute()
    now = after
  }
}

export type KnownTieEvent = {
  id: number
  bundleId: number
  kind: TieEventKind
  count: number
  at: string
  who: string
  words: string
}

/** Every line about the ties of a lot, oldest first. */
export const tieEventsOfLot: (db: Db, lotId: number) => Promise<KnownTieEvent[]> = ready((db, lotId: number) =>
  db
    .selectFrom('bundle')
    .innerJoin('tie_event as event', 'event.bundle_id', 'bundle.id')
    .innerJoin('worker', 'worker.id', 'event.worker_id')
    .select(['event.id', 'event.bundle_id as bundleId', 'event.kind', 'event.count', 'event.at', 'event.words'])
    .select('worker.name as who')
    .where('bundle.lot_id', '=', lotId)
    .orderBy('event.id'),
)

export type SaidOfTie = {
  lotId: number
  n: number
  saying: TieSaying
  /** The last line about this bundle that the page showed; 0 for none. */
  after: number
  words: string
}

const WHAT: Record<TieSaying, string> = {
  lost: 'tie lost',
  replaced: 'tie replaced from the strip’s own end',
  found: 'lost tie found',
  'first back': 'the first tie is back in place of a new one',
}

const NONE_SUCH: Record<TieSaying, string> = {
  lost: 'has no tie left that could be lost',
  replaced: 'has no tie that could be replaced',
  found: 'has no tie that is lost',
  'first back': 'has no tie that was made anew',
}

/** One tie is lost, made anew, or there after all. The bundle's row of the checklist is brought to it. */
export async function sayOfTie(trx: Trx, by: By, said: SaidOfTie): Promise<void> {
  const { lotId, n, saying, words } = said
  const { lot, bundle } = await bundleOnBoard(trx, said)
  const name = `Lot ${lotId}, bundle ${n}`
  const events = saidOfTie(bundle, saying)
  const after = events && allAfter(bundle, events)
  if (!events || !after) throw new Refusal('wrong', `${name} ${NONE_SUCH[saying]}.`)
  await noteTies(trx, by, bundle, { events, loadId: bundle.loadId, words })
  await bringChecklistTo(trx, by, lot, { ...bundle, ...after }, words)
  await remember(trx, by, {
    lotId,
    commissionId: lot.commissionId,
    what: WHAT[saying],
    became: { bundle: n },
    words,
  })
}

async function bundleOnBoard(trx: Trx, { lotId, n, after }: SaidOfTie): Promise<{ lot: Lot; bundle: Bundle }> {
  const lot = await findLot(trx, lotId)
  const bundle = lot?.bundles.find(one => one.n === n)
  if (!lot || !bundle) throw new Refusal('not-found', 'There is no such bundle.')
  if (!isHere(bundle.place)) throw new Refusal('conflict', `Bundle ${n} has gone back already; its slip is sealed.`)
  if ((await lastTieEvent(trx, bundle.id)) === after) return { lot, bundle }
  throw new Refusal('conflict', `The ties of bundle ${n} were written down anew while the page was open. Look again.`)
}

async function lastTieEvent(db: Db, bundleId: number): Promise<number> {
  const last = sql<number>`coalesce(max(id), 0)`.as('last')
  const row = await db.selectFrom('tie_event').select(last).where('bundle_id', '=', bundleId).executeTakeFirst()
  return row?.last ?? 0
}

/** The hand-back begins from what the board knows; a checklist that is open elsewhere is older than it now. */
async function bringChecklistTo(trx: Trx, by: By, lot: Lot, bundle: Bundle, words: string): Promise<void> {
  const { checks } = await findChecklist(trx, lot.commissionId)
  const known = unchecked(bundle)
  const before = checks.get(bundle.id) ?? known
  const ties = { tiesBack: known.tiesBack, tiesReplaced: known.tiesReplaced }
  const explanation = before.explanation === '' ? words : before.explanation
  await saveCheck(trx, by, bundle.id, asFound({ ...before, ...ties, explanation }))
}
