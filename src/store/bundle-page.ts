/** One bundle by itself: its tags, and what an untagged one is compared with. */
import type { Place } from '../domain/place.js'
import type { Db } from './db.js'
import { ready } from './ready.js'

const lotOf = ready((db, bundleId: number) =>
  db.selectFrom('bundle').select(['lot_id as lotId', 'n']).where('id', '=', bundleId),
)

/** The lot of a bundle and its number there; undefined when there is no such bundle. */
export async function placeOfBundle(db: Db, bundleId: number): Promise<{ lotId: number; n: number } | undefined> {
  const [row] = await lotOf(db, bundleId)
  return row
}

export type BundleTag = {
  code: string
  madeAt: string
  voidAt: string | null
  voidWhy: string
  prints: number
  lastPrintAt: string | null
}

/** Every tag that a bundle ever had, the first one first; the last one counts. */
export const tagsOfBundle: (db: Db, bundleId: number) => Promise<BundleTag[]> = ready((db, bundleId: number) =>
  db
    .selectFrom('tag')
    .leftJoin('tag_print', 'tag_print.tag_id', 'tag.id')
    .where('tag.bundle_id', '=', bundleId)
    .groupBy('tag.id')
    .orderBy('tag.id')
    .select(({ fn }) => [
      'tag.code',
      'tag.made_at as madeAt',
      'tag.void_at as voidAt',
      'tag.void_why as voidWhy',
      fn.count<number>('tag_print.id').as('prints'),
      fn.max<string | null>('tag_print.at').as('lastPrintAt'),
    ]),
)

/** A bundle that is here, with all by which it may be known again without its tag. */
export type BundleHere = {
  bundleId: number
  n: number
  lotId: number
  colour: string
  swatch: string | null
  tiesUndyed: boolean
  tiesIn: number
  tiesOn: number
  tiesReplaced: number
  dryWeightG: number
  fibreId: string
  fibreName: string
  howTied: string
  place: Place
  takenInAt: string
  code: string
}

export async function bundlesHere(db: Db): Promise<BundleHere[]> {
  const rows = await db
    .selectFrom('bundle')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('catalogue as fibre', 'fibre.id', 'lot.fibre_id')
    .innerJoin('tag', join => join.onRef('tag.bundle_id', '=', 'bundle.id').on('tag.void_at', 'is', null))
    .where('lot.closed_at', 'is', null)
    .where('bundle.place', '<>', 'handed back')
    .orderBy('bundle.id')
    .select([
      'bundle.id as bundleId',
      'bundle.n',
      'lot.id as lotId',
      'lot.colour',
      'lot.swatch',
      'lot.ties_undyed as tiesUndyed',
      'bundle.ties_in as tiesIn',
      'bundle.ties_on as tiesOn',
      'bundle.ties_replaced as tiesReplaced',
      'bundle.dry_weight_g as dryWeightG',
      'lot.fibre_id as fibreId',
      'fibre.name as fibreName',
      'bundle.how_tied as howTied',
      'bundle.place',
      'commission.taken_in_at as takenInAt',
      'tag.code',
    ])
    .execute()
  return rows.map(row => ({ ...row, tiesUndyed: row.tiesUndyed === 1 }))
}
