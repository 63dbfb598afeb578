/** The address of the workshop's calendar, and what is read there beside the plan. */
import { createHash, randomBytes } from 'node:crypto'
import { sql } from 'kysely'
import type { NeededBy } from '../domain/calendar-events.js'
import { TOKEN_LENGTH, tokenFrom } from '../domain/client-page.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { countedOn } from './lots-in-load.js'

/** `id` is what a page that shows it holds against what stands there when it is sent. */
export type CalendarFeed = { id: number; names: boolean; madeAt: string; who: string }

export const NO_FEED = 0

const hashOf = (token: string): string => createHash('sha256').update(token).digest('hex')

const live = (db: Db) =>
  db
    .selectFrom('calendar_feed')
    .innerJoin('worker', 'worker.id', 'calendar_feed.made_by')
    .select(['calendar_feed.id', 'names', 'calendar_feed.made_at as madeAt', 'worker.name as who'])
    .where('off_at', 'is', null)

export async function calendarFeed(db: Db): Promise<CalendarFeed | null> {
  const row = await live(db).executeTakeFirst()
  return row ? { ...row, names: row.names === 1 } : null
}

/** Makes an address and ends the one before, which the page showed. Answers its token, which is kept nowhere. */
export async function openCalendarFeed(trx: Trx, by: By, shownId: number, names: boolean): Promise<string> {
  await endShown(trx, by, shownId)
  const token = tokenFrom(randomBytes(TOKEN_LENGTH))
  await trx
    .insertInto('calendar_feed')
    .values({
      token_hash: hashOf(token),
      names: names ? 1 : 0,
      made_at: by.at,
      made_by: by.workerId,
      off_at: null,
      off_by: null,
    })
    .execute()
  return token
}

export async function closeCalendarFeed(trx: Trx, by: By, shownId: number): Promise<void> {
  if ((await endShown(trx, by, shownId)) === NO_FEED)
    throw new Refusal('conflict', 'The calendar has no address any more.')
}

/** Ends the address that the page showed, and no other: one made elsewhere meanwhile may be in somebody's calendar. */
async function endShown(trx: Trx, by: By, shownId: number): Promise<number> {
  const id = (await calendarFeed(trx))?.id ?? NO_FEED
  if (id !== shownId)
    throw new Refusal(
      'conflict',
      'The address of the calendar was made anew or ended elsewhere. Look, then press again.',
    )
  await trx
    .updateTable('calendar_feed')
    .set({ off_at: by.at, off_by: by.workerId })
    .where('off_at', 'is', null)
    .execute()
  return id
}

/** What this token opens; undefined when it was ended, or never was. */
export async function feedOfToken(db: Db, token: string): Promise<CalendarFeed | undefined> {
  const row = await live(db).where('token_hash', '=', hashOf(token)).executeTakeFirst()
  return row ? { ...row, names: row.names === 1 } : undefined
}

/**
 * The days that clients count on for what is still here: each commission's, by the day that was last promised or that it is
 * needed by. The client's name only where `names` and the client allow it.
 */
export async function neededDays(db: Db, names: boolean): Promise<NeededBy[]> {
  const rows = await db
    .selectFrom('lot')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .select([
      'commission.id as commissionId',
      'needed_by as neededBy',
      countedOn().as('day'),
      'client.name',
      'name_on_tag as nameOnTag',
      sql<string>`json_group_array(lot.id order by lot.id)`.as('lotIds'),
    ])
    .where('lot.closed_at', 'is', null)
    .groupBy(['commission.id', 'day'])
    .orderBy('commission.id')
    .orderBy('day')
    .execute()
  return rows.map(({ name, nameOnTag, lotIds, neededBy, ...row }) => ({
    ...row,
    isPromised: row.day !== neededBy,
    lotIds: JSON.parse(lotIds) as number[],
    clientName: names && nameOnTag !== 0 ? name : null,
  }))
}
