import { sql } from 'kysely'
import type { Db } from './db.js'

/** Writes down anew by which words a lot is found; called whenever one of them has changed. */
export async function noteLotText(db: Db, lotId: number): Promise<void> {
  await sql`delete from lot_text where rowid = ${lotId}`.execute(db)
  await sql`
    insert into lot_text (rowid, client, colour, fibre, dye, words)
    select lot.id, client.name || ' ' || client.mark, lot.colour, fibre.name, dye.name,
      'lot ' || lot.id || ' ' || commission.purpose || ' ' || commission.note || ' ' ||
      coalesce((select group_concat(nearness || ' ' || words, ' ') from outcome where lot_id = lot.id), '')
    from lot
    join commission on commission.id = lot.commission_id
    join client on client.id = commission.client_id
    join catalogue fibre on fibre.id = lot.fibre_id
    join catalogue dye on dye.id = lot.dye_id
    where lot.id = ${lotId}`.execute(db)
}

export async function noteTextOfClient(db: Db, clientId: number): Promise<void> {
  const lots = await db
    .selectFrom('lot')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .select('lot.id')
    .where('client_id', '=', clientId)
    .execute()
  for (const { id } of lots) await noteLotText(db, id)
}

/** After a fibre or a dye got another name. */
export async function noteTextOfEntry(db: Db, entryId: string): Promise<void> {
  const lots = await db
    .selectFrom('lot')
    .select('id')
    .where(({ or, eb }) => or([eb('fibre_id', '=', entryId), eb('dye_id', '=', entryId)]))
    .execute()
  for (const { id } of lots) await noteLotText(db, id)
}
