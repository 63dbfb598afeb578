/** Every time a bundle was looked at, gathered from where it was written down. */
import { sql } from 'kysely'
import { sayCondition, sayHowTied, type Tying } from '../domain/arrival.js'
import { type ConditionCheck, type Looked, missingChecks, sayNotSeenSince } from '../domain/condition-checks.js'
import type { OpenPoint } from '../domain/open-point.js'
import type { Place } from '../domain/place.js'
import type { Db } from './db.js'

type Row = ConditionCheck & { bundleId: number; came: string | null }
type BundleRow = { id: number; n: number; place: Place; outOfBathAt: string | null }

/** Said of the whole lot, an outcome or a description counts for each of its bundles. */
const checksOf = (lotId: number) => sql<Row>`
  with own as (select id, how_tied from bundle where lot_id = ${lotId}),
  looked (bundleId, "on", at, worker_id, seen, words, id, came) as (
    select bundle_id, 'arrival', at, worker_id, '', words, null, json_object('found', json(found), 'howTied', how_tied,
      'tiePlace', tie_place, 'tieKind', tie_kind, 'thickEnd', thick_end)
      from bundle_arrival join own on own.id = bundle_id
    union all select own.id, 'description', at, worker_id, moment, words, null, null
      from description join own on description.bundle_id is null or description.bundle_id = own.id where lot_id = ${lotId}
    union all select own.id, 'outcome', at, worker_id, nearness, words, null, null
      from outcome join own where lot_id = ${lotId}
    union all select b.bundle_id, 'incident', entered_at, worker_id, kind, what_happened, incident.id, null
      from incident join incident_bundle b on b.incident_id = incident.id where lot_id = ${lotId}
    union all select bundle_id, 'checklist', at, worker_id, condition, explanation, null, null
      from bundle_check join own on own.id = bundle_id where tied_again = 1 or explanation <> '' or found = 0
    union all select b.bundle_id, 'hand-back', h.at, worker_id, iif(b.found, b.condition, 'not found'), b.explanation, h.id, null
      from hand_back_bundle b join own on own.id = b.bundle_id join hand_back h on h.id = b.hand_back_id where h.closed = 1)
  select looked.*, worker.name as who from looked join worker on worker.id = worker_id order by at`

const bundlesOf = (lotId: number) => sql<BundleRow>`
  select id, n, place, (select max(at) from move where bundle_id = bundle.id and to_place = 'ready shelf'
    and from_place in ('soak tub', 'pot', 'rinse', 'drying line')) as outOfBathAt
  from bundle where lot_id = ${lotId} order by n`

/** Each bundle of a lot with the times it was looked at, oldest first. */
export async function looksOfLot(db: Db, lotId: number): Promise<(Looked & { id: number; n: number })[]> {
  const checks = (await checksOf(lotId).execute(db)).rows
  const bundles = (await bundlesOf(lotId).execute(db)).rows
  return bundles.map(({ id, n, place, outOfBathAt }) => ({
    ...{ id, n, outOfBathAt, place },
    checks: checks.filter(({ bundleId }) => bundleId === id).map(asSeen),
  }))
}

function asSeen({ on, at, who, seen, words, id, came }: Row): ConditionCheck {
  if (came === null) return { on, at, who, seen, words, id }
  const { found, howTied, ...tying }: Tying & { found: string[]; howTied: string } = JSON.parse(came)
  const tied = sayHowTied(tying, howTied)
  return { on, at, who, seen: [sayCondition(found, words), tied].filter(Boolean).join('; '), words: '', id }
}

/** Bundles that went through something wrong and that nobody has looked at since. */
export async function conditionPoints(db: Db, commissionId: number): Promise<OpenPoint[]> {
  const { rows } = await sql<{ lotId: number }>`
    select distinct lot_id as lotId from incident join lot on lot.id = lot_id
    where lot.commission_id = ${commissionId} and lot.closed_at is null order by lot_id`.execute(db)
  const points: OpenPoint[] = []
  for (const { lotId } of rows) {
    const unseen = (await looksOfLot(db, lotId)).filter(one =>
      missingChecks(one).some(({ after }) => after === 'going wrong'),
    )
    if (unseen.length === 0) continue
    const ns = unseen.map(({ n }) => n)
    const bundleIds = unseen.map(({ id }) => id)
    points.push({
      lotId,
      bundleIds,
      sentence: sayNotSeenSince(lotId, ns),
      to: `/lots/${lotId}/photographs`,
      hinders: false,
    })
  }
  return points
}
