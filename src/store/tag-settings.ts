import { Refusal } from '../domain/refusal.js'
import type { TagSettings } from '../domain/tag-label.js'
import { TAG_SIZES } from '../domain/tag-label.js'
import type { By, Db, Trx } from './db.js'
import { difference } from './history.js'

export type KnownTagSettings = TagSettings & { version: number }

/** How tags are printed here. Until something was said of it, on the paper on which slips are. */
export async function findTagSettings(db: Db): Promise<KnownTagSettings> {
  const row = await db.selectFrom('tag_setting').selectAll().executeTakeFirstOrThrow()
  const shed = await db.selectFrom('workshop').select('slip_paper').executeTakeFirst()
  const untold = row.version === 1 && shed?.slip_paper === 'Letter'
  return {
    paper: untold ? 'Letter' : row.paper,
    size: TAG_SIZES.find(size => size === row.size) ?? TAG_SIZES[0],
    dotsPerInch: row.dots_per_inch,
    dotSize: row.dot_size,
    address: row.address,
    version: row.version,
  }
}

/** As the history of the settings names them, beside the workshop's other ones. */
const named = ({ paper, size, dotsPerInch, dotSize, address }: TagSettings) => ({
  tagPaper: paper,
  tagSize: size,
  tagDotsPerInch: dotsPerInch,
  tagDotSize: dotSize,
  tagAddress: address,
})

/** Prints tags otherwise from now on; those that hang stay good. */
export async function changeTagSettings(trx: Trx, by: By, settings: TagSettings, version: number): Promise<void> {
  const before = await findTagSettings(trx)
  if (before.version !== version)
    throw new Refusal('conflict', 'The settings of the tags were changed elsewhere while you were typing.')
  const { paper, size, dotsPerInch, dotSize, address } = settings
  const columns = { paper, size, dots_per_inch: dotsPerInch, dot_size: dotSize, address, version: version + 1 }
  await trx.updateTable('tag_setting').set(columns).execute()
  const changed = difference(named(before), named(settings))
  if (!changed) return
  const told = { was: JSON.stringify(changed.was), became: JSON.stringify(changed.became) }
  await trx
    .insertInto('workshop_change')
    .values({ at: by.at, worker_id: by.workerId, ...told })
    .execute()
}

/** What stands on a client's tags: the name, or only the mark. */
export async function nameOnTag(db: Db, clientId: number): Promise<boolean> {
  const row = await db.selectFrom('client').select('name_on_tag').where('id', '=', clientId).executeTakeFirst()
  return row?.name_on_tag !== 0
}

export async function changeNameOnTag(trx: Trx, by: By, clientId: number, shown: boolean): Promise<void> {
  if ((await nameOnTag(trx, clientId)) === shown) return
  const { numUpdatedRows } = await trx
    .updateTable('client')
    .set({ name_on_tag: shown ? 1 : 0 })
    .where('id', '=', clientId)
    .executeTakeFirst()
  if (numUpdatedRows === 0n) throw new Refusal('not-found', 'There is no such client.')
  const words = (value: boolean) => JSON.stringify({ onTags: value ? 'name' : 'mark' })
  await trx
    .insertInto('client_change')
    .values({
      client_id: clientId,
      at: by.at,
      worker_id: by.workerId,
      what: shown ? 'tags bear the name' : 'tags bear the mark only',
      was: words(!shown),
      became: words(shown),
    })
    .execute()
}
