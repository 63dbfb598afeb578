import type { Condition } from '../domain/catalogue.js'
import type { Settles } from '../domain/client.js'
import type { Dried } from '../domain/damp.js'
import { totalsOf } from '../domain/drop-off.js'
import type { Purpose, Route } from '../domain/recipe.js'
import { Refusal } from '../domain/refusal.js'
import { addClient, type Client, findClient } from './clients.js'
import type { By, Trx } from './db.js'
import { remember } from './history.js'
import { noteLotText } from './search.js'
import { tagBundles } from './tags.js'

export type BundleIn = {
  tiesIn: number
  dryWeightG: number
  weightTyped: string
  thicknessMm: number | null
  thicknessTyped: string
  condition: string
  howTied: string
}

export type LotIn = {
  fibreId: string
  colour: string
  swatch: string | null
  route: Route
  dyeId: string
  tiesUndyed: boolean
  /** Why a warning of the trade is set aside, or ''. */
  against: string
  repeatsLotId: number | null
  /** What is unusual about the fibre or its use; left out, nothing is. */
  conditions?: Condition[]
  purposes?: Purpose[]
  /** How the dry weight of all its bundles was reckoned, when they were weighed damp. */
  damp?: Dried | null
  bundles: BundleIn[]
}

export type DropOff = {
  client: { id: number } | Client
  purpose: string
  /** YYYY-MM-DD */
  neededBy: string
  arrangement: Settles
  note: string
  lots: LotIn[]
}

async function clientIn(trx: Trx, by: By, client: DropOff['client']): Promise<number> {
  if (!('id' in client)) return addClient(trx, by, client)
  const known = await findClient(trx, client.id)
  if (!known) throw new Refusal('wrong', 'This client is not written down here. Choose one that is.', 'client')
  return known.id
}

async function writeBundle(trx: Trx, by: By, lotId: number, n: number, bundle: BundleIn): Promise<void> {
  const { id } = await trx
    .insertInto('bundle')
    .values({
      lot_id: lotId,
      n,
      ties_in: bundle.tiesIn,
      ties_on: bundle.tiesIn,
      dry_weight_g: bundle.dryWeightG,
      weight_typed: bundle.weightTyped,
      thickness_mm: bundle.thicknessMm,
      thickness_typed: bundle.thicknessTyped,
      condition: bundle.condition,
      how_tied: bundle.howTied,
      place: 'arrivals shelf',
      load_id: null,
    })
    .returning('id')
    .executeTakeFirstOrThrow()
  await trx
    .insertInto('move')
    .values({
      bundle_id: id,
      from_place: null,
      to_place: 'arrivals shelf',
      load_id: null,
      at: by.at,
      worker_id: by.workerId,
      why: 'taken in',
    })
    .execute()
}

/** What stands in the history beside the sums: only what is out of the ordinary. */
const saidOf = ({ conditions = [], purposes = [], damp }: LotIn) => ({
  ...(conditions.length + purposes.length > 0 ? { said: [...conditions, ...purposes] } : {}),
  ...(damp ? { dampG: damp.dampG, damp: damp.words } : {}),
})

async function writeLot(trx: Trx, by: By, commissionId: number, lot: LotIn): Promise<void> {
  if (lot.bundles.length === 0) throw new Refusal('wrong', 'A lot needs at least one bundle.')
  const { id } = await trx
    .insertInto('lot')
    .values({
      commission_id: commissionId,
      fibre_id: lot.fibreId,
      colour: lot.colour,
      swatch: lot.swatch,
      route: lot.route,
      dye_id: lot.dyeId,
      ties_undyed: lot.tiesUndyed ? 1 : 0,
      against: lot.against,
      repeats_lot_id: lot.repeatsLotId,
      conditions: JSON.stringify(lot.conditions ?? []),
      purposes: JSON.stringify(lot.purposes ?? []),
      damp: lot.damp ? JSON.stringify(lot.damp) : null,
      closed_at: null,
    })
    .returning('id')
    .executeTakeFirstOrThrow()
  for (const [at, bundle] of lot.bundles.entries()) await writeBundle(trx, by, id, at + 1, bundle)
  await remember(trx, by, {
    commissionId,
    lotId: id,
    what: 'taken in',
    became: { ...totalsOf(lot.bundles), ...saidOf(lot) },
    words: lot.against,
  })
  await noteLotText(trx, id)
}

/** A gram in a tonne: sums of decimals differ in their last digits. */
const SLACK_G = 1e-3

/** What stands on the shelf now must be what was read back; anything else is a fault, and nothing is kept. */
async function checkSums(trx: Trx, commissionId: number, lots: LotIn[]): Promise<void> {
  const said = totalsOf(lots.flatMap(({ bundles }) => bundles))
  const kept = await trx
    .selectFrom('bundle')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .innerJoin('move', 'move.bundle_id', 'bundle.id')
    .where('lot.commission_id', '=', commissionId)
    .where('bundle.place', '=', 'arrivals shelf')
    .where('move.to_place', '=', 'arrivals shelf')
    .select(({ fn }) => [
      fn.countAll<number>().as('bundles'),
      fn.sum<number>('bundle.ties_on').as('ties'),
      fn.sum<number>('bundle.dry_weight_g').as('dryWeightG'),
    ])
    .executeTakeFirstOrThrow()
  const agrees =
    kept.bundles === said.bundles && kept.ties === said.ties && Math.abs(kept.dryWeightG - said.dryWeightG) <= SLACK_G
  if (!agrees) throw new Error(`taken in ${JSON.stringify(said)}, but written down ${JSON.stringify(kept)}`)
}

/** Takes a drop-off in: client if new, commission, lots, bundles on the arrivals shelf. Answers the commission's number. */
export async function takeIn(trx: Trx, by: By, dropOff: DropOff): Promise<number> {
  if (dropOff.lots.length === 0) throw new Refusal('wrong', 'A drop-off needs at least one lot.')
  const { id } = await trx
    .insertInto('commission')
    .values({
      client_id: await clientIn(trx, by, dropOff.client),
      purpose: dropOff.purpose,
      needed_by: dropOff.neededBy,
      arrangement: dropOff.arrangement,
      note: dropOff.note,
      taken_in_at: by.at,
      taken_in_by: by.workerId,
    })
    .returning('id')
    .executeTakeFirstOrThrow()
  for (const lot of dropOff.lots) await writeLot(trx, by, id, lot)
  await checkSums(trx, id, dropOff.lots)
  await tagBundles(trx, by, id)
  return id
}
