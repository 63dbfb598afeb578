/** How a commission came: written at its drop-off, and what of it may be said otherwise later. */
import { type ConditionFound, type Faults, knownOrElse, type Tying } from '../domain/arrival.js'
import type { Offcuts } from '../domain/client.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { difference, remember } from './history.js'
import { ready } from './ready.js'

/** Said of the whole commission. `broughtBy` is '' when the client came, and then `authority` is too. */
export type ArrivalIn = {
  broughtBy: string
  authority: string
  offcuts: Offcuts
  /** Where it was gathered and what the client knows of it: theirs, and private unless they say otherwise. */
  gathered: string
  gatheredMayBeTold: boolean
}

export type BundleArrival = Tying & { found: ConditionFound[]; words: string }

/** Writes how the commission came, with the terms of the workshop as they stand now. */
export async function writeArrival(trx: Trx, commissionId: number, arrival: ArrivalIn): Promise<void> {
  refuseWithoutAuthority(arrival)
  const { receiptWords } = await dropOffDefaults(trx)
  await trx
    .insertInto('arrival')
    .values({ commission_id: commissionId, ...columnsOf(arrival), terms: receiptWords })
    .execute()
}

export function refuseWithoutAuthority({ broughtBy, authority }: Pick<ArrivalIn, 'broughtBy' | 'authority'>): void {
  if (broughtBy === '' || authority !== '') return
  const sentence = `Say by what right ${broughtBy} brings it for the client: for example “her sister, she rang about it”.`
  throw new Refusal('wrong', sentence, 'came.authority')
}

const columnsOf = ({ broughtBy, authority, offcuts, gathered, gatheredMayBeTold }: ArrivalIn) => ({
  brought_by: broughtBy,
  authority,
  offcuts,
  gathered,
  gathered_may_be_told: gatheredMayBeTold ? (1 as const) : (0 as const),
})

export async function writeFaults(trx: Trx, lotId: number, { faults, words }: Faults): Promise<void> {
  await trx.insertInto('lot_arrival').values({ lot_id: lotId, faults, faults_words: words }).execute()
}

/** What was seen of each bundle of a lot, by who looks at it now. */
export async function writeBundleArrivals(
  trx: Trx,
  by: By,
  bundles: readonly (BundleArrival & { bundleId: number })[],
): Promise<void> {
  const rows = bundles.map(came => ({
    bundle_id: came.bundleId,
    at: by.at,
    worker_id: by.workerId,
    found: JSON.stringify(came.found),
    words: came.words,
    tie_place: came.tiePlace,
    tie_kind: came.tieKind,
    thick_end: came.thickEnd,
  }))
  await trx.insertInto('bundle_arrival').values(rows).execute()
}

const arrivalOfBundle = ready((db, bundleId: number) =>
  db.selectFrom('bundle_arrival').selectAll().where('bundle_id', '=', bundleId),
)

/** What was seen of one bundle when it came, as it is written now. */
export async function bundleArrivalOf(db: Db, bundleId: number): Promise<BundleArrival> {
  const [row] = await arrivalOfBundle(db, bundleId)
  if (!row) throw new Error(`how bundle ${bundleId} came is not written down`)
  const { found, words, tie_place: tiePlace, tie_kind: tieKind, thick_end: thickEnd } = row
  return { found: JSON.parse(found), words, tiePlace, tieKind, thickEnd }
}

export type KnownArrival = ArrivalIn & { terms: string; version: number }

export async function findArrival(db: Db, commissionId: number): Promise<KnownArrival | undefined> {
  const row = await db.selectFrom('arrival').selectAll().where('commission_id', '=', commissionId).executeTakeFirst()
  return (
    row && {
      broughtBy: row.brought_by,
      authority: row.authority,
      offcuts: row.offcuts,
      gathered: row.gathered,
      gatheredMayBeTold: row.gathered_may_be_told === 1,
      terms: row.terms,
      version: row.version,
    }
  )
}

/** Changes what was said of the whole commission. The history tells that it was, not whom it names. */
export async function changeArrival(
  trx: Trx,
  by: By,
  commissionId: number,
  version: number,
  arrival: ArrivalIn,
): Promise<void> {
  const before = await findArrival(trx, commissionId)
  if (!before) throw new Refusal('not-found', 'There is no such commission.')
  if (before.version !== version) {
    const sentence = `How commission ${commissionId} came was changed elsewhere while you were typing. Look at what stands there now, then send yours again.`
    throw new Refusal('conflict', sentence)
  }
  refuseWithoutAuthority(arrival)
  const changed = difference<ArrivalIn>(before, arrival)
  if (!changed) return
  await trx
    .updateTable('arrival')
    .set({ ...columnsOf(arrival), version: version + 1 })
    .where('commission_id', '=', commissionId)
    .execute()
  await remember(trx, by, {
    commissionId,
    what: `how it came: ${Object.keys(changed.became)
      .map(field => FIELDS[field as keyof ArrivalIn])
      .join(', ')} changed`,
  })
}

const FIELDS: Record<keyof ArrivalIn, string> = {
  broughtBy: 'who brought it',
  authority: 'by what right',
  offcuts: 'where offcuts go',
  gathered: 'where it was gathered',
  gatheredMayBeTold: 'whether that may be told',
}

export type LotArrival = Faults & {
  lotId: number
  bundles: (BundleArrival & { bundleId: number; n: number; at: string; who: string })[]
}

/** Said of the lots of a commission, and what was seen of each of their bundles. */
export async function lotArrivals(db: Db, commissionId: number): Promise<LotArrival[]> {
  const lots = await faultsOfLots(db, commissionId)
  const bundles = await bundleArrivals(db, commissionId)
  return lots.map(lot => ({
    ...lot,
    bundles: bundles
      .filter(({ lotId }) => lotId === lot.lotId)
      .map(({ lotId: _, found, ...bundle }) => ({ ...bundle, found: JSON.parse(found) })),
  }))
}

const faultsOfLots = ready((db, commissionId: number) =>
  db
    .selectFrom('lot_arrival')
    .innerJoin('lot', 'lot.id', 'lot_arrival.lot_id')
    .select(['lot_id as lotId', 'faults', 'faults_words as words'])
    .where('lot.commission_id', '=', commissionId)
    .orderBy('lot_id'),
)

const bundleArrivals = ready((db, commissionId: number) =>
  db
    .selectFrom('bundle_arrival as came')
    .innerJoin('bundle', 'bundle.id', 'came.bundle_id')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .innerJoin('worker', 'worker.id', 'came.worker_id')
    .select([
      'bundle.lot_id as lotId',
      'bundle.id as bundleId',
      'bundle.n',
      'came.at',
      'worker.name as who',
      'came.found',
      'came.words',
      'came.tie_place as tiePlace',
      'came.tie_kind as tieKind',
      'came.thick_end as thickEnd',
    ])
    .where('lot.commission_id', '=', commissionId)
    .where('bundle.place', '<>', 'withdrawn')
    .orderBy('bundle.lot_id')
    .orderBy('bundle.n'),
)

/** What was seen and how it was tied is answered later for a lot whose client was not asked about faults. */
export async function noteFaults(trx: Trx, by: By, lotId: number, { faults, words }: Faults): Promise<void> {
  const before = await trx.selectFrom('lot_arrival').selectAll().where('lot_id', '=', lotId).executeTakeFirst()
  if (!before) throw new Refusal('not-found', 'There is no such lot.')
  if (before.faults === faults && before.faults_words === words) return
  await trx.updateTable('lot_arrival').set({ faults, faults_words: words }).where('lot_id', '=', lotId).execute()
  const told = (one: string, said: string) => ({ faults: one === 'told' ? said : one })
  await remember(trx, by, {
    lotId,
    what: 'faults asked',
    was: told(before.faults, before.faults_words),
    became: told(faults, words),
  })
}

export type DropOffDefaults = Tying & {
  receiptWords: string
  /** After so many weeks it is done, or talked about, where the client needs it by no day. */
  weeksWithoutDay: number
  version: number
}

const defaults = ready(db => db.selectFrom('drop_off_default').selectAll())

/** What a drop-off starts from in this workshop. */
export async function dropOffDefaults(db: Db): Promise<DropOffDefaults> {
  const [row] = await defaults(db)
  if (!row) throw new Error('the row of what a drop-off starts from is gone')
  return {
    receiptWords: row.receipt_words,
    weeksWithoutDay: row.weeks_without_day,
    tiePlace: row.tie_place,
    tieKind: row.tie_kind,
    thickEnd: row.thick_end,
    version: row.version,
  }
}

/** Saves others; what was changed stays in the history of the settings. Saved as they were, they add no line. */
export async function changeDropOffDefaults(
  trx: Trx,
  by: By,
  version: number,
  given: Omit<DropOffDefaults, 'version'>,
): Promise<void> {
  const before = await dropOffDefaults(trx)
  if (before.version !== version) throw new Refusal('conflict', 'These were changed elsewhere while you were typing.')
  const changed = difference<Omit<DropOffDefaults, 'version'>>(before, given)
  if (!changed) return
  await trx
    .updateTable('drop_off_default')
    .set({
      receipt_words: given.receiptWords,
      weeks_without_day: given.weeksWithoutDay,
      tie_place: given.tiePlace,
      tie_kind: given.tieKind,
      thick_end: given.thickEnd,
      version: version + 1,
    })
    .execute()
  const told = { was: JSON.stringify(changed.was), became: JSON.stringify(changed.became) }
  await trx
    .insertInto('workshop_change')
    .values({ at: by.at, worker_id: by.workerId, ...told })
    .execute()
}

/** How fibre is usually tied: as this client's last bundle was, and where that is not known as this workshop says. */
export async function usualTying(db: Db, clientId: number | null): Promise<Tying> {
  const last = clientId === null ? undefined : await lastTyingOf(db, clientId)
  const { tiePlace, tieKind, thickEnd } = await dropOffDefaults(db)
  const here: Tying = { tiePlace, tieKind, thickEnd }
  return last === undefined ? here : knownOrElse(last, here)
}

const lastTyingOf = (db: Db, clientId: number): Promise<Tying | undefined> =>
  db
    .selectFrom('bundle_arrival as came')
    .innerJoin('bundle', 'bundle.id', 'came.bundle_id')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .select(['came.tie_place as tiePlace', 'came.tie_kind as tieKind', 'came.thick_end as thickEnd'])
    .where('commission.client_id', '=', clientId)
    .orderBy('commission.id', 'desc')
    .orderBy('bundle.id', 'desc')
    .limit(1)
    .executeTakeFirst()
