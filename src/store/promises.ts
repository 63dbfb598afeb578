/** What day was promised for a lot, each time that something was said of it. */
import { sql } from 'kysely'
import type { Day } from '../domain/day.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { numbersIn, ready } from './ready.js'

export type DayPromise = {
  lotId: number
  /** Null: no day could be promised; `words` say why it was taken in. */
  day: Day | null
  /** The earliest day that the plan had then. */
  earliest: Day | null
  how: string
  toldOn: Day
  words: string
}
export type KnownPromise = DayPromise & { id: number; at: string; who: string }

/** How what is said at the table before anything is taken in is written down. */
export const AT_DROP_OFF = 'at drop-off'

/** Written down, and in the history of its lot; the words stay with the promise. */
export async function notePromise(trx: Trx, by: By, promise: DayPromise): Promise<void> {
  const { commission_id } = await trx
    .selectFrom('lot')
    .select('commission_id')
    .where('id', '=', promise.lotId)
    .executeTakeFirstOrThrow()
  const last = (await lastPromises(trx, [promise.lotId])).get(promise.lotId)
  await trx
    .insertInto('day_promise')
    .values({
      lot_id: promise.lotId,
      day: promise.day,
      earliest: promise.earliest,
      how: promise.how,
      told_on: promise.toldOn,
      words: promise.words,
      at: by.at,
      worker_id: by.workerId,
    })
    .execute()
  // What is said at drop-off is part of it; only what is said later is something that happened.
  if (promise.how === AT_DROP_OFF) return
  await remember(trx, by, {
    commissionId: commission_id,
    lotId: promise.lotId,
    what: promise.day === null ? 'no day promised' : 'day promised',
    ...(last === undefined ? {} : { was: { day: last.day } }),
    became: { day: promise.day, how: promise.how },
  })
}

const promises = (db: Db) =>
  db
    .selectFrom('day_promise')
    .innerJoin('worker', 'worker.id', 'day_promise.worker_id')
    .select(['day_promise.id', 'lot_id as lotId', 'day', 'earliest', 'how', 'told_on as toldOn', 'words', 'at'])
    .select('worker.name as who')
    .orderBy('day_promise.id')

const ofCommission = ready((db, commissionId: number) =>
  promises(db).where('lot_id', 'in', sql<number>`(select id from lot where commission_id = ${commissionId})`),
)

/** The oldest first. */
export const promisesOfCommission = (db: Db, commissionId: number): Promise<KnownPromise[]> =>
  ofCommission(db, commissionId)

const ofLots = ready((db, lotIds: string) => promises(db).where('lot_id', 'in', numbersIn(lotIds)))

/** What was said last of each of these lots. */
export async function lastPromises(db: Db, lotIds: readonly number[]): Promise<Map<number, KnownPromise>> {
  return new Map((await ofLots(db, JSON.stringify(lotIds))).map(promise => [promise.lotId, promise]))
}
