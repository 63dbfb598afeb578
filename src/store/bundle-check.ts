import type { Selectable } from 'kysely'
import { asFound, type BundleCheck, bundleName, CONDITIONS_BACK, unchecked } from '../domain/bundle-check.js'
import { isHere } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db } from './db.js'
import { difference, remember } from './history.js'
import { type Lot, lotsOfCommission } from './lots.js'
import type { BundleCheckTable } from './schema-of-hand-backs.js'

type Row = Omit<Selectable<BundleCheckTable>, 'bundle_id' | 'at' | 'worker_id' | 'version'>

/** The checks of a commission by bundle. `version` counts every saving of every check, so that it only grows. */
export type Checklist = { version: number; checks: Map<number, BundleCheck> }

/** A row of the checklist, or of what went back: both have these columns. */
export const opened = (row: Row): BundleCheck => ({
  found: row.found === 1,
  tiedAgain: row.tied_again === 1,
  tiesBack: row.ties_back,
  tiesReplaced: row.ties_replaced,
  weightG: row.weight_g,
  weightTyped: row.weight_typed,
  condition: CONDITIONS_BACK.find(known => known === row.condition) ?? 'changed otherwise',
  explanation: row.explanation,
  tagCode: row.tag_code,
})

export const columnsOf = (check: BundleCheck) => ({
  found: check.found ? (1 as const) : (0 as const),
  tied_again: check.tiedAgain ? (1 as const) : (0 as const),
  ties_back: check.tiesBack,
  ties_replaced: check.tiesReplaced,
  weight_g: check.weightG,
  weight_typed: check.weightTyped,
  condition: check.condition,
  explanation: check.explanation,
  tag_code: check.tagCode,
})

export async function findChecklist(db: Db, commissionId: number): Promise<Checklist> {
  const rows = await db
    .selectFrom('bundle_check')
    .innerJoin('bundle', 'bundle.id', 'bundle_check.bundle_id')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .selectAll('bundle_check')
    .where('lot.commission_id', '=', commissionId)
    .execute()
  return {
    version: rows.reduce((total, row) => total + row.version, 0),
    checks: new Map(rows.map(row => [row.bundle_id, opened(row)])),
  }
}

/** Refuses what was typed on a checklist that another device has saved since. */
export function refuseOldChecklist(checklist: Checklist, version: number): void {
  if (checklist.version === version) return
  throw new Refusal(
    'conflict',
    'This checklist was saved from another device while you were typing. What stands there now is shown with each bundle; send yours again to put it in its place.',
  )
}

/**
 * Keeps the checklist as far as it is filled in. Nothing moves and nothing is sealed by it; a row that nobody has
 * touched is not kept. Refused for a bundle that has gone back.
 */
export async function saveChecks(
  db: Db,
  by: By,
  commissionId: number,
  checks: ReadonlyMap<number, BundleCheck>,
): Promise<void> {
  const before = await findChecklist(db, commissionId)
  for (const lot of await lotsOfCommission(db, commissionId)) await saveChecksOfLot(db, by, lot, before, checks)
}

async function saveChecksOfLot(
  db: Db,
  by: By,
  lot: Lot,
  before: Checklist,
  checks: ReadonlyMap<number, BundleCheck>,
): Promise<void> {
  const changed: number[] = []
  for (const bundle of lot.bundles) {
    const typed = checks.get(bundle.id)
    const check = typed && asFound(typed)
    if (!check || !difference(before.checks.get(bundle.id) ?? unchecked(bundle), check)) continue
    if (!isHere(bundle.place))
      throw new Refusal('conflict', `${bundleName({ ...bundle, lotId: lot.id })} has gone back and does not change.`)
    await saveCheck(db, by, bundle.id, check)
    changed.push(bundle.n)
  }
  if (changed.length === 0) return
  await remember(db, by, {
    lotId: lot.id,
    commissionId: lot.commissionId,
    what: 'checked for the hand-back',
    became: { bundles: changed },
  })
}

/** A row as it is before anybody looks, or with the words that stood there; a checklist open elsewhere is older then. */
export async function checkBegunAnew(db: Db, by: By, bundleId: number, check: BundleCheck): Promise<void> {
  const row = await db.selectFrom('bundle_check').selectAll().where('bundle_id', '=', bundleId).executeTakeFirst()
  const before = row ? opened(row) : check
  await saveCheck(db, by, bundleId, asFound({ ...before, tiesBack: check.tiesBack, tiesReplaced: check.tiesReplaced }))
}

/** One row, without a word in the history: whoever calls it tells what was done. */
export async function saveCheck(db: Db, by: By, bundleId: number, check: BundleCheck): Promise<void> {
  const row = { ...columnsOf(check), at: by.at, worker_id: by.workerId }
  await db
    .insertInto('bundle_check')
    .values({ bundle_id: bundleId, ...row })
    .onConflict(conflict =>
      conflict.column('bundle_id').doUpdateSet(({ eb }) => ({ ...row, version: eb('bundle_check.version', '+', 1) })),
    )
    .execute()
}
