/** What came back of the weight before, of the same fibre by the same route: what the next hand-back is held against. */
import { sql } from 'kysely'
import type { Route } from '../domain/recipe.js'
import { type WeightBand, weightBand } from '../domain/weight-back.js'
import type { Db } from './db.js'
import { ready } from './ready.js'

/** Of the newest lots only: what dyes and drying shed did long ago says less, and the page is not to wait for it. */
const NEWEST_LOTS = 100

/** Bundles that were weighed and went back as they came. */
export const sharesBack = ready((db, fibreId: string, route: string) =>
  db
    .selectFrom(
      db
        .selectFrom('lot')
        .select('id')
        .where('fibre_id', '=', fibreId)
        .where('route', '=', route)
        .where('closed_at', 'is not', null)
        .orderBy('id', 'desc')
        .limit(sql.lit(NEWEST_LOTS))
        .as('newest'),
    )
    .innerJoin('bundle', 'bundle.lot_id', 'newest.id')
    .innerJoin('hand_back_bundle as back', 'back.bundle_id', 'bundle.id')
    .select(sql<number>`back.weight_g / bundle.dry_weight_g`.as('share'))
    .where('back.found', '=', 1)
    .where('back.weight_g', 'is not', null)
    // What did not go after all is weighed anew when it goes.
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('found_again as f')
            .select('f.id')
            .whereRef('f.hand_back_id', '=', 'back.hand_back_id')
            .whereRef('f.bundle_id', '=', 'back.bundle_id'),
        ),
      ),
    )
    .where('back.condition', '=', 'as it came'),
)

export const bandFor = async (db: Db, lot: { fibreId: string; route: Route }): Promise<WeightBand> => {
  const rows = await sharesBack(db, lot.fibreId, lot.route)
  return weightBand(
    lot.route,
    rows.map(({ share }) => share),
  )
}

/** By lot. */
export async function bandsFor(
  db: Db,
  lots: readonly { id: number; fibreId: string; route: Route }[],
): Promise<Map<number, WeightBand>> {
  const bands = new Map<number, WeightBand>()
  for (const lot of lots) bands.set(lot.id, await bandFor(db, lot))
  return bands
}
