/** What went wrong with fibre in our care, and what was done and said about it since. */
import { aboutWhat, INCIDENT_WORDS, type IncidentKind, type IncidentWordKind, isTold } from '../domain/incident.js'
import { sayRuns } from '../domain/number-runs.js'
import type { OpenPoint } from '../domain/open-point.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { findLot, type Lot } from './lots.js'
import { ready } from './ready.js'
import { allWishes } from './timed-wishes.js'

export type NewIncident = {
  lotId: number
  kind: IncidentKind
  /** None: it is about the whole lot. */
  bundleIds: readonly number[]
  whatHappened: string
  /** When it was found out; now, when undefined. */
  foundAt?: string | undefined
}

/** Writes down what went wrong and answers its number. Bundles that are fetched back undyed become ready to go back. */
export async function openIncident(trx: Trx, by: By, incident: NewIncident): Promise<number> {
  const lot = await findLot(trx, incident.lotId)
  if (!lot) throw new Refusal('not-found', 'There is no such lot.')
  const ticked = lot.bundles.filter(({ id }) => incident.bundleIds.includes(id))
  const bundles = ticked.length > 0 ? ticked : lot.bundles
  if (ticked.length !== new Set(incident.bundleIds).size)
    throw new Refusal('wrong', `Not all of these bundles belong to lot ${lot.id}: tick them again.`, 'bundles')
  const { id } = await trx
    .insertInto('incident')
    .values({
      lot_id: lot.id,
      kind: incident.kind,
      found_at: incident.foundAt ?? by.at,
      entered_at: by.at,
      worker_id: by.workerId,
      what_happened: incident.whatHappened,
      closed_at: null,
    })
    .returning('id')
    .executeTakeFirstOrThrow()
  for (const bundle of bundles)
    await trx.insertInto('incident_bundle').values({ incident_id: id, bundle_id: bundle.id }).execute()
  if (incident.kind === 'fetched back undyed') await makeReadyUndyed(trx, by, bundles)
  await rememberOf(trx, by, lot, {
    what: `went wrong: ${incident.kind}`,
    became: { incident: id, bundles: bundles.map(({ n }) => n) },
    words: incident.whatHappened,
  })
  return id
}

const rememberOf = (trx: Trx, by: By, lot: Lot, line: { what: string; became?: unknown; words: string }) =>
  remember(trx, by, { lotId: lot.id, commissionId: lot.commissionId, ...line })

/** They wait on the ready shelf for the hand-back, like everything else that leaves. */
async function makeReadyUndyed(trx: Trx, by: By, going: Lot['bundles']): Promise<void> {
  const elsewhere = going.filter(({ place }) => place !== 'arrivals shelf')
  if (elsewhere.length > 0) {
    const where = elsewhere.map(({ n, place }) => `bundle ${n} (${place})`).join(', ')
    const sentence = `Only bundles on the arrivals shelf can be fetched back undyed; elsewhere: ${where}. Tick only those that go.`
    throw new Refusal('wrong', sentence, 'bundles')
  }
  for (const { id, place } of going) {
    await trx.updateTable('bundle').set({ place: 'ready shelf' }).where('id', '=', id).execute()
    await trx
      .insertInto('move')
      .values({
        bundle_id: id,
        from_place: place,
        to_place: 'ready shelf',
        load_id: null,
        at: by.at,
        worker_id: by.workerId,
        why: 'fetched back undyed',
      })
      .execute()
  }
}

export type IncidentWord = { kind: IncidentWordKind; at: string; who: string; how: string; words: string }

export type Incident = {
  id: number
  lotId: number
  commissionId: number
  clientId: number
  clientName: string
  clientMark: string
  contact: string
  wishes: string
  colour: string
  kind: IncidentKind
  foundAt: string
  enteredAt: string
  who: string
  whatHappened: string
  closedAt: string | null
  outcome: string
  version: number
  bundles: { id: number; n: number; place: string }[]
  about: string
  words: IncidentWord[]
  isTold: boolean
}

const heads = (db: Db) =>
  db
    .selectFrom('incident')
    .innerJoin('lot', 'lot.id', 'incident.lot_id')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .innerJoin('worker', 'worker.id', 'incident.worker_id')
    .select([
      'incident.id',
      'incident.lot_id as lotId',
      'lot.commission_id as commissionId',
      'client.id as clientId',
      'client.name as clientName',
      'client.mark as clientMark',
      'client.contact',
      allWishes().as('wishes'),
      'lot.colour',
      'incident.kind',
      'incident.found_at as foundAt',
      'incident.entered_at as enteredAt',
      'worker.name as who',
      'incident.what_happened as whatHappened',
      'incident.closed_at as closedAt',
      'incident.outcome',
      'incident.version',
    ])
    .orderBy('incident.id', 'desc')

async function whole(db: Db, head: Omit<Incident, 'bundles' | 'about' | 'words' | 'isTold'>): Promise<Incident> {
  const all = await db
    .selectFrom('bundle')
    .select(['id', 'n', 'place'])
    .where('lot_id', '=', head.lotId)
    .orderBy('n')
    .execute()
  const named = await db.selectFrom('incident_bundle').select('bundle_id').where('incident_id', '=', head.id).execute()
  const ids = new Set(named.map(({ bundle_id }) => bundle_id))
  const words = await db
    .selectFrom('incident_word')
    .innerJoin('worker', 'worker.id', 'incident_word.worker_id')
    .select(['incident_word.kind', 'incident_word.at', 'worker.name as who', 'how', 'words'])
    .where('incident_id', '=', head.id)
    .orderBy('incident_word.id')
    .execute()
  const bundles = all.filter(({ id }) => ids.has(id))
  const about = aboutWhat(
    head.lotId,
    bundles.map(({ n }) => n),
    all.length,
  )
  return { ...head, bundles, about, words, isTold: isTold(words) }
}

async function wholeOnes(db: Db, found: Parameters<typeof whole>[1][]): Promise<Incident[]> {
  const incidents: Incident[] = []
  for (const head of found) incidents.push(await whole(db, head))
  return incidents
}

export async function findIncident(db: Db, id: number): Promise<Incident | undefined> {
  const head = await heads(db).where('incident.id', '=', id).executeTakeFirst()
  return head && whole(db, head)
}

/** Everything that ever went wrong with a lot, the newest first. */
export const incidentsOfLot = async (db: Db, lotId: number): Promise<Incident[]> =>
  wholeOnes(db, await headsOfLot(db, lotId))

const headsOfLot = ready((db, lotId: number) => heads(db).where('incident.lot_id', '=', lotId))

const openHeads = ready(db => heads(db).where('incident.closed_at', 'is', null))

/** What is not closed, the newest first. */
export const openIncidents = async (db: Db): Promise<Incident[]> => wholeOnes(db, await openHeads(db))

/** What is not closed, and the latest that are. */
export async function allIncidents(db: Db): Promise<{ open: Incident[]; closed: Incident[] }> {
  const closed = await heads(db).where('incident.closed_at', 'is not', null).limit(50).execute()
  return { open: await openIncidents(db), closed: await wholeOnes(db, closed) }
}

export type NewWord = { kind: IncidentWordKind; how: string; words: string; at?: string | undefined }

/** Adds what was done about it, or that the client was told; a closed one takes no more. */
export async function addWord(trx: Trx, by: By, incidentId: number, word: NewWord): Promise<Incident> {
  const incident = await openOne(trx, incidentId)
  await trx
    .insertInto('incident_word')
    .values({
      incident_id: incidentId,
      kind: word.kind,
      at: word.at ?? by.at,
      entered_at: by.at,
      worker_id: by.workerId,
      how: word.how,
      words: word.words,
    })
    .execute()
  const what = { 'client told': 'client told', 'cannot be told': 'client cannot be told', done: 'done about it' }[
    word.kind
  ]
  await remember(trx, by, {
    lotId: incident.lotId,
    commissionId: incident.commissionId,
    what: `incident ${incidentId}: ${what}`,
  })
  return incident
}

async function openOne(trx: Trx, id: number): Promise<Incident> {
  const incident = await findIncident(trx, id)
  if (!incident) throw new Refusal('not-found', 'There is no such incident.')
  if (incident.closedAt !== null)
    throw new Refusal('conflict', `Incident ${id} is closed already. What you typed has not been saved.`)
  return incident
}

/** Closes it with what came of it; refused while the client does not know. */
export async function closeIncident(trx: Trx, by: By, id: number, version: number, outcome: string): Promise<void> {
  const incident = await openOne(trx, id)
  if (incident.version !== version)
    throw new Refusal('conflict', `Incident ${id} was changed elsewhere. Look at it, then send yours again.`)
  if (!incident.isTold)
    throw new Refusal(
      'wrong',
      'It cannot be closed before the client was told. Write down when and how, or why they cannot be told.',
      'told.how',
    )
  await trx
    .updateTable('incident')
    .set({ closed_at: by.at, outcome, version: version + 1 })
    .where('id', '=', id)
    .execute()
  await remember(trx, by, {
    lotId: incident.lotId,
    commissionId: incident.commissionId,
    what: `incident ${id}: closed`,
    words: outcome,
  })
}

/** Refuses a bath for fibre that was found unsuitable, as long as that is open. */
export async function refuseUnsuitable(db: Db, bundles: readonly { id: number; n: number }[]): Promise<void> {
  const ids = bundles.map(({ id }) => id)
  const found = await db
    .selectFrom('incident_bundle')
    .innerJoin('incident', 'incident.id', 'incident_bundle.incident_id')
    .innerJoin('bundle', 'bundle.id', 'incident_bundle.bundle_id')
    .select(['incident.id', 'bundle.n'])
    .where('incident.kind', '=', 'unsuitable fibre')
    .where('incident.closed_at', 'is', null)
    .where('bundle.id', 'in', ids)
    .execute()
  const [first] = found
  if (!first) return
  const which = sayRuns(found.map(({ n }) => n))
  throw new Refusal(
    'wrong',
    `Found unsuitable for what was asked: ${found.length === 1 ? 'bundle' : 'bundles'} ${which}. Settle it with the client and close incident ${first.id} first.`,
    'bundles',
  )
}

/** A client who stands at the table is told first; what was told already can wait for its end. */
export async function incidentPoints(db: Db, commissionId: number): Promise<OpenPoint[]> {
  const open = await heads(db)
    .where('lot.commission_id', '=', commissionId)
    .where('incident.closed_at', 'is', null)
    .execute()
  return (await wholeOnes(db, open)).map(({ id, lotId, kind, about, bundles, isTold }) => ({
    lotId,
    bundleIds: bundles.map(bundle => bundle.id),
    sentence: isTold
      ? `${INCIDENT_WORDS[kind]} (${about}): the incident is not closed.`
      : `${INCIDENT_WORDS[kind]} (${about}): tell the client, and write down how.`,
    to: `/incidents/${id}`,
    hinders: !isTold,
  }))
}
