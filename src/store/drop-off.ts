import {
  type Agreement,
  type ConditionFound,
  conditionFound,
  type Faults,
  type ReturnableIn,
  TYING_UNKNOWN,
  type Tying,
  tyingOf,
  whyApartAnyway,
} from '../domain/arrival.js'
import type { Condition } from '../domain/catalogue.js'
import type { Settles } from '../domain/client.js'
import type { Dried } from '../domain/damp.js'
import { totalsOf } from '../domain/drop-off.js'
import type { Written } from '../domain/put-right.js'
import type { Purpose, Route } from '../domain/recipe.js'
import { Refusal } from '../domain/refusal.js'
import { writeAgreement } from './agreements.js'
import { type ArrivalIn, writeArrival, writeBundleArrivals, writeFaults } from './arrivals.js'
import { addClient, type Client, changeClient, findClient, type KnownClient, refuseErased } from './clients.js'
import type { By, Trx } from './db.js'
import { remember } from './history.js'
import { writeKeptApart } from './keep-apart.js'
import { dayHere, issueReceipt } from './receipts.js'
import { writeReturnables } from './returnables.js'
import { noteLotText } from './search.js'
import { tagBundles } from './tags.js'

export type BundleIn = Written

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
  /** How it came, where that is not as expected; a bundle's own words count beside it. */
  came?: LotCame
  bundles: BundleIn[]
}

export type LotCame = {
  found?: ConditionFound[]
  tying?: Tying
  faults?: Faults
  /** Why it shares no bath and no shelf, or ''. */
  keepApart?: string
}

/** What a known client says at this drop-off of what is asked once. */
export type ToldNow = Partial<Pick<Client, 'wishes' | 'wishesAnswer' | 'wishesSaidBy' | 'photographs'>>

/** How the whole drop-off came, where that is not the everyday case. */
export type Came = Partial<ArrivalIn> & {
  returnables?: ReturnableIn[]
  /** Left out, it was agreed by word of mouth as it was read back; null: not agreed yet. */
  agreed?: Agreement | null
}

export type DropOff = {
  client: { id: number; told?: ToldNow } | Client
  purpose: string
  /** YYYY-MM-DD */
  neededBy: string
  /** Left out, the client asked for that day; false: the workshop said it, so that there is one. */
  dayAsked?: boolean
  arrangement: Settles
  note: string
  came?: Came
  lots: LotIn[]
}

async function clientIn(trx: Trx, by: By, client: DropOff['client']): Promise<number> {
  if (!('id' in client)) return addClient(trx, by, client)
  const known = await findClient(trx, client.id)
  if (!known) throw new Refusal('wrong', 'This client is not written down here. Choose one that is.', 'client')
  await refuseErased(trx, known.id)
  if (client.told) await changeClient(trx, by, known.id, known.version, { ...clientOf(known), ...client.told })
  return known.id
}

const clientOf = ({ id: _, madeAt: __, version: ___, wishesAt: ____, ...client }: KnownClient): Client => client

async function writeBundle(trx: Trx, by: By, lotId: number, n: number, bundle: BundleIn): Promise<number> {
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
  return id
}

const arrivalOf = ({ came }: LotIn, { howTied, condition }: BundleIn) => ({
  ...tyingOf(came?.tying ?? TYING_UNKNOWN, howTied),
  found: conditionFound(came?.found ?? [], condition),
  words: condition,
})

/** What was seen of any of its bundles. */
const foundIn = ({ came, bundles }: LotIn): ConditionFound[] =>
  conditionFound(came?.found ?? [], bundles.map(({ condition }) => condition).join('\n'))

/** What stands in the history beside the sums: only what is out of the ordinary. */
const saidOf = ({ conditions = [], purposes = [], damp }: LotIn, found: ConditionFound[], keptApart: string) => ({
  ...(conditions.length + purposes.length > 0 ? { said: [...conditions, ...purposes] } : {}),
  ...(found.length > 0 ? { found } : {}),
  ...(keptApart === '' ? {} : { keptApart }),
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
  const arrivals = []
  for (const [at, bundle] of lot.bundles.entries()) {
    const bundleId = await writeBundle(trx, by, id, at + 1, bundle)
    arrivals.push({ bundleId, ...arrivalOf(lot, bundle) })
  }
  await writeBundleArrivals(trx, by, arrivals)
  await writeFaults(trx, id, lot.came?.faults ?? { faults: 'not asked', words: '' })
  const found = foundIn(lot)
  const keptApart = lot.came?.keepApart || whyApartAnyway(found)
  if (keptApart !== '') await writeKeptApart(trx, by, id, keptApart)
  await remember(trx, by, {
    commissionId,
    lotId: id,
    what: 'taken in',
    became: { ...totalsOf(lot.bundles), ...saidOf(lot, found, keptApart) },
    words: lot.against,
  })
  await noteLotText(trx, id)
}

/** A gram in a tonne: sums of decimals differ in their last digits. */
const SLACK_G = 1e-3

/** Bundles that were overlooked come after the others of their lot: a number is never used again. Answers theirs. */
export async function addBundles(trx: Trx, by: By, lotId: number, bundles: readonly BundleIn[]) {
  const { last } = await trx
    .selectFrom('bundle')
    .select(({ fn }) => fn.max<number>('n').as('last'))
    .where('lot_id', '=', lotId)
    .executeTakeFirstOrThrow()
  const added: { id: number; n: number; tiesIn: number }[] = []
  for (const [at, bundle] of bundles.entries()) {
    const n = last + at + 1
    added.push({ id: await writeBundle(trx, by, lotId, n, bundle), n, tiesIn: bundle.tiesIn })
  }
  const came = bundles.map(({ condition, howTied }) => ({
    ...tyingOf(TYING_UNKNOWN, howTied),
    found: conditionFound([], condition),
    words: condition,
  }))
  await writeBundleArrivals(
    trx,
    by,
    came.map((one, at) => ({ bundleId: added[at]?.id ?? 0, ...one })),
  )
  return added
}

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

/** How the whole drop-off came, and that its plan is agreed: as it was read back, unless told otherwise. */
async function writeCame(trx: Trx, by: By, commissionId: number, clientId: number, came: Came = {}): Promise<void> {
  const client = await findClient(trx, clientId)
  await writeArrival(trx, commissionId, {
    broughtBy: came.broughtBy ?? '',
    authority: came.authority ?? '',
    offcuts: came.offcuts ?? client?.offcuts ?? 'back to the client',
    gathered: came.gathered ?? '',
    gatheredMayBeTold: came.gatheredMayBeTold ?? false,
  })
  await writeReturnables(trx, by, commissionId, came.returnables ?? [])
  if (came.agreed === null) return
  const readBack = { how: 'spoken' as const, agreedOn: await dayHere(trx, by.at), words: '' }
  await writeAgreement(trx, by, commissionId, came.agreed ?? readBack)
}

/**
 * Takes a drop-off in: client if new, commission, lots, bundles on the arrivals shelf. Answers the commission's number.
 * `promise` writes down what is said of the day, so that it stands on the receipt.
 */
export async function takeIn(
  trx: Trx,
  by: By,
  dropOff: DropOff,
  promise: (commissionId: number) => Promise<void> = async () => undefined,
): Promise<number> {
  if (dropOff.lots.length === 0) throw new Refusal('wrong', 'A drop-off needs at least one lot.')
  const clientId = await clientIn(trx, by, dropOff.client)
  const { id } = await trx
    .insertInto('commission')
    .values({
      client_id: clientId,
      purpose: dropOff.purpose,
      needed_by: dropOff.neededBy,
      day_asked: dropOff.dayAsked === false ? 0 : 1,
      arrangement: dropOff.arrangement,
      note: dropOff.note,
      taken_in_at: by.at,
      taken_in_by: by.workerId,
    })
    .returning('id')
    .executeTakeFirstOrThrow()
  for (const lot of dropOff.lots) await writeLot(trx, by, id, lot)
  await checkSums(trx, id, dropOff.lots)
  await writeCame(trx, by, id, clientId, dropOff.came)
  await tagBundles(trx, by, id)
  await promise(id)
  await issueReceipt(trx, by, id)
  return id
}
