/** How long clients stay written down once nothing of theirs is here, and whose time is over (GDPR, article 5(1)(e)). */
import { sql } from 'kysely'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'

/** `years` null: no time is set. */
export type Keeping = { years: number | null; version: number }

export const clientKeeping = (db: Db): Promise<Keeping> =>
  db.selectFrom('client_keeping').select(['years', 'version']).executeTakeFirstOrThrow()

export async function changeClientKeeping(trx: Trx, by: By, years: number | null, version: number): Promise<void> {
  const before = await clientKeeping(trx)
  if (before.version !== version) throw new Refusal('conflict', 'This was changed elsewhere while you were choosing.')
  if (before.years === years) return
  await trx
    .updateTable('client_keeping')
    .set({ years, version: version + 1 })
    .execute()
  const told = (value: number | null) => JSON.stringify({ clientYears: value ?? '' })
  await trx
    .insertInto('workshop_change')
    .values({ at: by.at, worker_id: by.workerId, was: told(before.years), became: told(years) })
    .execute()
}

/** `last` is when something of theirs was last here, or when they were written down (ISO, UTC). */
export type DueClient = { id: number; name: string; mark: string; last: string }

/** Who can be erased and was last here before this moment, the longest ago first. */
export async function clientsDue(db: Db, before: string): Promise<DueClient[]> {
  const { rows } = await sql<DueClient>`
    select id, name, mark, last from (
      select client.id, client.name, client.mark, max(client.made_at,
        coalesce((select max(taken_in_at) from commission where client_id = client.id), ''),
        coalesce((select max(closed_at) from lot join commission c on c.id = commission_id where c.client_id = client.id), '')
      ) as last
      from client
      where not exists (select 1 from erasure where client_id = client.id)
        and not exists (select 1 from commission c join lot on lot.commission_id = c.id
          where c.client_id = client.id and lot.closed_at is null)
        and not exists (select 1 from commission c join lot on lot.commission_id = c.id
          join incident on incident.lot_id = lot.id where c.client_id = client.id and incident.closed_at is null)
    ) where last < ${before} order by last, id limit 200`.execute(db)
  return rows
}
