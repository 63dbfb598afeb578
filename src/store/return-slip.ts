import { NO_REST } from '../domain/hand-back.js'
import type { FoundAgain, ReturnSlip, SlipFacts, SlipNote, SlipPerson } from '../domain/slip-facts.js'
import { opened } from './bundle-check.js'
import type { Db } from './db.js'
import { lotsOfCommission } from './lots.js'
import { gatherFacts } from './slip-facts.js'

const ERASED: SlipPerson = { toWhom: '', authority: '', clientName: '', clientMark: '', wishes: '', signature: '' }

/** A hand-back with all that its slip prints; undefined when there is none, or it was never closed. */
export async function findHandBack(db: Db, id: number): Promise<ReturnSlip | undefined> {
  const head = await findHead(db, id)
  if (!head) return undefined
  const { facts, workerId, commissionId, ...sealed } = head
  const person = await findPerson(db, id)
  return {
    ...sealed,
    ...(facts === null ? await factsOfOld(db, { ...head }) : (JSON.parse(facts) as SlipFacts)),
    ...(person ?? ERASED),
    isErased: person === undefined,
    notes: await notesOf(db, id),
    foundAgain: await foundAgainOf(db, id),
  }
}

const findHead = (db: Db, id: number) =>
  db
    .selectFrom('hand_back')
    .select([
      'id',
      'at',
      'commission_id as commissionId',
      'worker_id as workerId',
      'words',
      'workshop_name as workshopName',
      'slip_words as slipWords',
      'how',
      'reference',
      'acknowledged',
      'not_signed_because as notSignedBecause',
      'facts',
    ])
    .where('id', '=', id)
    .where('closed', '=', 1)
    .executeTakeFirst()

const findPerson = (db: Db, id: number): Promise<SlipPerson | undefined> =>
  db
    .selectFrom('hand_back_person')
    .select([
      'to_whom as toWhom',
      'authority',
      'client_name as clientName',
      'client_mark as clientMark',
      'wishes',
      'signature',
    ])
    .where('hand_back_id', '=', id)
    .executeTakeFirst()

/** A slip from before facts were kept with it is read from the records as they are; it was always of whole lots. */
async function factsOfOld(db: Db, head: { id: number; at: string; commissionId: number; workerId: number }) {
  const rows = await db.selectFrom('hand_back_bundle').selectAll().where('hand_back_id', '=', head.id).execute()
  const checks = new Map(rows.map(row => [row.bundle_id, opened(row)]))
  const lots = await lotsOfCommission(db, head.commissionId)
  const going = lots
    .filter(({ bundles }) => bundles.some(({ id }) => checks.has(id)))
    .map(lot => ({ lot, checks, rest: NO_REST }))
  return gatherFacts(db, head, going)
}

const notesOf = (db: Db, id: number): Promise<SlipNote[]> =>
  db
    .selectFrom('hand_back_note')
    .innerJoin('worker', 'worker.id', 'hand_back_note.worker_id')
    .select(['hand_back_note.at', 'worker.name as who', 'hand_back_note.words'])
    .where('hand_back_id', '=', id)
    .orderBy('hand_back_note.id')
    .execute()

async function foundAgainOf(db: Db, id: number): Promise<FoundAgain[]> {
  const rows = await db
    .selectFrom('found_again')
    .innerJoin('hand_back_bundle as b', join =>
      join.onRef('b.hand_back_id', '=', 'found_again.hand_back_id').onRef('b.bundle_id', '=', 'found_again.bundle_id'),
    )
    .innerJoin('worker', 'worker.id', 'found_again.worker_id')
    .innerJoin('bundle', 'bundle.id', 'found_again.bundle_id')
    .select([
      'bundle.lot_id as lotId',
      'bundle.n',
      'found_again.at',
      'worker.name as who',
      'found_again.words',
      'b.found',
    ])
    .where('found_again.hand_back_id', '=', id)
    .orderBy('found_again.id')
    .execute()
  return rows.map(({ found, ...row }) => ({ ...row, hadGone: found === 1 }))
}
