/** Wishes of clients that are bound to days, seasons or hours. */
import { type RawBuilder, sql } from 'kysely'
import { Refusal } from '../domain/refusal.js'
import { sayTimedWish, type TimedWish } from '../domain/timed-wish.js'
import { refuseErased } from './clients.js'
import type { By, Db, Trx } from './db.js'
import { numbersIn, ready } from './ready.js'

export type KnownTimedWish = TimedWish & { id: number; said: string; at: string; who: string }

export async function addTimedWish(trx: Trx, by: By, clientId: number, wish: TimedWish): Promise<void> {
  await refuseErased(trx, clientId)
  await trx
    .insertInto('timed_wish')
    .values({
      client_id: clientId,
      weekdays: wish.weekdays.join(''),
      from_day: wish.fromDay,
      to_day: wish.toDay,
      yearly: wish.yearly ? 1 : 0,
      from_clock: wish.fromClock,
      to_clock: wish.toClock,
      words: wish.words,
      said: sayTimedWish(wish),
      at: by.at,
      worker_id: by.workerId,
      ended_at: null,
      ended_by: null,
    })
    .execute()
  await noteChange(trx, by, clientId, 'a wish about days written down')
}

/** It counts no more, and stays where it can be read. */
export async function endTimedWish(trx: Trx, by: By, clientId: number, id: number): Promise<void> {
  const ended = await trx
    .updateTable('timed_wish')
    .set({ ended_at: by.at, ended_by: by.workerId })
    .where('id', '=', id)
    .where('client_id', '=', clientId)
    .where('ended_at', 'is', null)
    .executeTakeFirst()
  if (ended.numUpdatedRows === 0n) throw new Refusal('conflict', 'This wish was ended already.')
  await noteChange(trx, by, clientId, 'a wish about days ended')
}

const noteChange = (trx: Trx, by: By, clientId: number, what: string) =>
  trx
    .insertInto('client_change')
    .values({ client_id: clientId, at: by.at, worker_id: by.workerId, what, was: '{}', became: '{}' })
    .execute()

const wishes = (db: Db) =>
  db
    .selectFrom('timed_wish')
    .innerJoin('worker', 'worker.id', 'timed_wish.worker_id')
    .select(['timed_wish.id', 'client_id', 'weekdays', 'from_day', 'to_day', 'yearly', 'from_clock', 'to_clock'])
    .select(['words', 'said', 'at', 'worker.name as who'])
    .where('ended_at', 'is', null)
    .orderBy('timed_wish.id')

type Row = Awaited<ReturnType<ReturnType<typeof wishes>['execute']>>[number]

const opened = (row: Row): KnownTimedWish => ({
  id: row.id,
  weekdays: [...row.weekdays].map(Number),
  fromDay: row.from_day,
  toDay: row.to_day,
  yearly: row.yearly === 1,
  fromClock: row.from_clock,
  toClock: row.to_clock,
  words: row.words,
  said: row.said,
  at: row.at,
  who: row.who,
})

const ofClient = ready((db, clientId: number) => wishes(db).where('client_id', '=', clientId))

export const timedWishesOf = async (db: Db, clientId: number): Promise<KnownTimedWish[]> =>
  (await ofClient(db, clientId)).map(opened)

const ofClients = ready((db, clientIds: string) => wishes(db).where('client_id', 'in', numbersIn(clientIds)))

export async function timedWishesOfClients(
  db: Db,
  clientIds: readonly number[],
): Promise<{ clientId: number; wish: TimedWish }[]> {
  return (await ofClients(db, JSON.stringify(clientIds))).map(row => ({ clientId: row.client_id, wish: opened(row) }))
}

/** A client's handling wishes with those about days, each on a line of its own, wherever `client` is selected from. */
export const allWishes = (): RawBuilder<string> =>
  sql<string>`trim(client.wishes || coalesce((select group_concat(char(10) || said, '' order by id) from timed_wish
    where client_id = client.id and ended_at is null), ''), char(10))`
