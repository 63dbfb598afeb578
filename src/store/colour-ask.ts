import type { Route } from '../domain/recipe.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { difference, remember } from './history.js'
import { noteLotText } from './search.js'

/** The colour wanted: in words and as a swatch, the dye with its route, and whether the ties stay undyed. */
export type ColourAsk = {
  colour: string
  swatch: string | null
  dyeId: string
  route: Route
  tiesUndyed: boolean
  /** Why a warning of the trade is set aside, or ''. */
  against: string
}

/**
 * Changes what is asked of a lot, while nothing of it was laid in a pot and it has not gone back.
 * What stood there before stays in the history.
 */
export async function changeColourAsk(trx: Trx, by: By, lotId: number, version: number, ask: ColourAsk): Promise<void> {
  const before = await findAsk(trx, lotId)
  if (!before) throw new Refusal('not-found', 'There is no such lot.')
  const settled = await whyAskIsSettled(trx, lotId)
  if (settled !== null) throw new Refusal('conflict', settled)
  if (before.version !== version) {
    throw new Refusal(
      'conflict',
      `What is asked of lot ${lotId} was changed elsewhere while you were typing. Look at what stands there now, then send yours again.`,
    )
  }
  const { version: _, commissionId, dyeName: was, ...asked } = before
  const changed = difference<ColourAsk>(asked, ask)
  if (!changed) return
  await trx
    .updateTable('lot')
    .set({
      colour: ask.colour,
      swatch: ask.swatch,
      dye_id: ask.dyeId,
      route: ask.route,
      ties_undyed: ask.tiesUndyed ? 1 : 0,
      against: ask.against,
      version: version + 1,
    })
    .where('id', '=', lotId)
    .execute()
  const became = await nameOfDye(trx, ask.dyeId)
  await remember(trx, by, {
    lotId,
    commissionId,
    what: 'colour ask changed',
    was: withDyeName(changed.was, was),
    became: withDyeName(changed.became, became),
  })
  await noteLotText(trx, lotId)
}

/** Why the colour ask of a lot can no longer be changed, in a sentence; null while it can. */
export async function whyAskIsSettled(db: Db, lotId: number): Promise<string | null> {
  const lot = await db.selectFrom('lot').select('closed_at').where('id', '=', lotId).executeTakeFirst()
  if (lot?.closed_at) return `Lot ${lotId} has gone back: what was asked of it stays as it was.`
  const laid = await db
    .selectFrom('bundle')
    .innerJoin('load_bundle', 'load_bundle.bundle_id', 'bundle.id')
    .innerJoin('load', 'load.id', 'load_bundle.load_id')
    .innerJoin('pot', 'pot.id', 'load.pot_id')
    .select('pot.name')
    .where('bundle.lot_id', '=', lotId)
    .where('load.taken_out_at', 'is', null)
    .limit(1)
    .executeTakeFirst()
  if (!laid) return null
  return `Lot ${lotId} was begun for ${laid.name} with the colour that was asked, so it stays as it is. Write down how it differs under "what came out".`
}

async function findAsk(db: Db, lotId: number) {
  const row = await db
    .selectFrom('lot')
    .innerJoin('catalogue as dye', 'dye.id', 'lot.dye_id')
    .select([
      'lot.commission_id as commissionId',
      'lot.colour',
      'lot.swatch',
      'lot.dye_id as dyeId',
      'dye.name as dyeName',
      'lot.route',
      'lot.ties_undyed as tiesUndyed',
      'lot.against',
      'lot.version',
    ])
    .where('lot.id', '=', lotId)
    .executeTakeFirst()
  return row && { ...row, route: row.route as Route, tiesUndyed: row.tiesUndyed === 1 }
}

const nameOfDye = async (db: Db, id: string): Promise<string> =>
  (await db.selectFrom('catalogue').select('name').where('id', '=', id).executeTakeFirstOrThrow()).name

/** History is read by people, and an entry may be renamed later: the dye's name of this day stands in it. */
function withDyeName(part: Partial<ColourAsk>, dye: string) {
  const { dyeId, ...rest } = part
  return dyeId === undefined ? rest : { ...rest, dye }
}
