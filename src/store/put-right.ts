/** Putting right what was written down at drop-off: a line for each field, and the record follows its line. */
import { conditionFound, sayCondition, sayHowTied, type Tying, tyingOf, whyApartAnyway } from '../domain/arrival.js'
import { unchecked } from '../domain/bundle-check.js'
import { totalsOf } from '../domain/drop-off.js'
import { sayRuns } from '../domain/number-runs.js'
import { isHere } from '../domain/place.js'
import { otherwise, type Written, whyNotWithdrawn, whyTiesStay } from '../domain/put-right.js'
import { Refusal } from '../domain/refusal.js'
import { type BundleArrival, bundleArrivalOf } from './arrivals.js'
import { checkBegunAnew } from './bundle-check.js'
import { type CorrectionLine, writeCorrections } from './corrections.js'
import type { By, Trx } from './db.js'
import { addBundles } from './drop-off.js'
import { remember } from './history.js'
import { keepApart, keptApart } from './keep-apart.js'
import { type Bundle, findLot, type Lot } from './lots.js'
import { noteLotText } from './search.js'
import { tagBundles } from './tags.js'

export type PutRight = {
  lotId: number
  version: number
  why: string
  /** By the number of the bundle; what is left out stays. */
  bundles: ReadonlyMap<number, Partial<Written>>
  /** Numbers of bundles that were never there. */
  withdrawn: readonly number[]
  /** Bundles that were there, and were not written down. */
  overlooked: readonly Written[]
  /** Another fibre, and why it is dyed so all the same or ''; left out, it is as written. */
  fibre?: { id: string; against: string } | undefined
}

/** Puts right what is said of a lot's bundles. Whatever stood there stays readable, with who, when and why. */
export async function putRight(trx: Trx, by: By, asked: PutRight): Promise<void> {
  const lot = await lotToPutRight(trx, asked)
  const changed: Changed[] = []
  for (const [n, right] of asked.bundles)
    changed.push(...(await putBundleRight(trx, by, bundleIn(lot, n), right, asked)))
  for (const n of asked.withdrawn) await withdraw(trx, by, lot, bundleIn(lot, n), asked.why)
  const hasOtherFibre = await putFibreRight(trx, by, lot, asked)
  if (!hasOtherFibre && changed.length + asked.withdrawn.length + asked.overlooked.length === 0)
    throw new Refusal('wrong', 'What you wrote stands there already: nothing is put right by it.')
  for (const line of historyOf(changed)) await remember(trx, by, { ...placeOf(lot), ...line, words: asked.why })
  if (asked.withdrawn.length > 0) await rememberWithdrawn(trx, by, lot, asked)
  await addOverlooked(trx, by, lot, asked)
  await closeIfEmpty(trx, by, lot)
}

const placeOf = ({ id, commissionId }: Lot) => ({ lotId: id, commissionId })

async function lotToPutRight(trx: Trx, { lotId, version }: PutRight): Promise<Lot> {
  const lot = await findLot(trx, lotId)
  if (!lot) throw new Refusal('not-found', 'There is no such lot.')
  if (lot.closedAt !== null)
    throw new Refusal('conflict', `Lot ${lotId} has gone back, and its slip is sealed. Add a note beside the slip.`)
  if (lot.version !== version)
    throw new Refusal(
      'conflict',
      `Lot ${lotId} was changed elsewhere while you were typing. Look at what stands there now, then send yours again.`,
    )
  return lot
}

function bundleIn(lot: Lot, n: number): Bundle {
  const bundle = lot.bundles.find(one => one.n === n)
  if (!bundle) throw new Refusal('wrong', `Lot ${lot.id} has no bundle ${n}.`)
  if (!isHere(bundle.place))
    throw new Refusal('conflict', `Bundle ${n} has gone back, and its slip is sealed. Add a note beside the slip.`)
  return bundle
}

const COLUMNS = {
  tiesIn: 'ties_in',
  dryWeightG: 'dry_weight_g',
  weightTyped: 'weight_typed',
  thicknessMm: 'thickness_mm',
  thicknessTyped: 'thickness_typed',
  condition: 'condition',
  howTied: 'how_tied',
} as const satisfies Record<keyof Written, string>

/** What changed of one bundle, as the history tells it: what was measured, and words for the rest. */
type Changed = { n: number; was: Record<string, unknown>; became: Record<string, unknown> }

async function putBundleRight(
  trx: Trx,
  by: By,
  bundle: Bundle,
  right: Partial<Written>,
  { lotId, why }: PutRight,
): Promise<Changed[]> {
  const changed = otherwise(bundle, right)
  const fields = Object.keys(changed) as (keyof Written)[]
  const came = await bundleArrivalOf(trx, bundle.id)
  const seen = seenAnew(came, changed)
  const ofBundle = fields.map(
    (field): CorrectionLine => ({
      of_table: 'bundle',
      row_id: bundle.id,
      field: COLUMNS[field],
      was: bundle[field],
      became: changed[field] ?? null,
    }),
  )
  const lines = [...ofBundle, ...arrivalLines(bundle.id, came, seen)]
  if (lines.length === 0) return []
  if (changed.tiesIn !== undefined) await countTiesAnew(trx, by, bundle, changed.tiesIn)
  await writeCorrections(trx, by, why, lines)
  await keepApartIfItSpreads(trx, by, lotId, seen)
  const [was, became] = [told(bundle, came), told({ ...bundle, ...changed }, seen)]
  const differing = (Object.keys(became) as (keyof typeof became)[]).filter(field => was[field] !== became[field])
  const only = (of: typeof was) => Object.fromEntries(differing.map(field => [field, of[field]]))
  return [{ n: bundle.n, was: only(was), became: only(became) }]
}

/** The condition is seen anew as a whole; of how it is tied, what the new words leave out stays. */
const seenAnew = (came: BundleArrival, { condition, howTied }: Partial<Written>): BundleArrival => ({
  ...(howTied === undefined ? came : { ...came, ...tyingOf(came, howTied) }),
  ...(condition === undefined ? {} : { found: conditionFound([], condition), words: condition }),
})

function arrivalLines(bundleId: number, came: BundleArrival, seen: BundleArrival): CorrectionLine[] {
  const columns = (of: BundleArrival & Tying) => ({
    found: JSON.stringify(of.found),
    words: of.words,
    tie_place: of.tiePlace,
    tie_kind: of.tieKind,
    thick_end: of.thickEnd,
  })
  const [before, after] = [columns(came), columns(seen)]
  return (Object.keys(after) as (keyof typeof after)[])
    .filter(field => before[field] !== after[field])
    .map(field => ({
      of_table: 'bundle_arrival',
      row_id: bundleId,
      field,
      was: before[field],
      became: after[field],
    }))
}

/** Before the line is written; a checklist that is open elsewhere is older than it now. */
async function countTiesAnew(trx: Trx, by: By, bundle: Bundle, tiesIn: number): Promise<void> {
  const lines = await trx.selectFrom('tie_event').select('id').where('bundle_id', '=', bundle.id).limit(1).execute()
  const stay = whyTiesStay({ ...bundle, hasTieLines: lines.length > 0 })
  if (stay !== null) throw new Refusal('conflict', stay, `bundles.${bundle.n}.ties`)
  await checkBegunAnew(trx, by, bundle.id, unchecked({ tiesIn }))
}

/** What spreads is kept apart from when it is known of. */
async function keepApartIfItSpreads(trx: Trx, by: By, lotId: number, { found }: BundleArrival): Promise<void> {
  const why = whyApartAnyway(found)
  if (why !== '' && (await keptApart(trx, [lotId])).length === 0) await keepApart(trx, by, lotId, why)
}

const told = (bundle: Written, came: BundleArrival) => ({
  ties: bundle.tiesIn,
  dryWeightG: bundle.dryWeightG,
  thicknessMm: bundle.thicknessMm,
  condition: sayCondition(came.found, came.words),
  howTied: sayHowTied(came, bundle.howTied),
})

/** Its dry weight, where that was reckoned from a damp one, was reckoned for the other fibre. */
async function putFibreRight(trx: Trx, by: By, lot: Lot, { fibre, why, bundles }: PutRight): Promise<boolean> {
  if (fibre === undefined || fibre.id === lot.fibreId) return false
  const gone = lot.bundles.find(({ place }) => !isHere(place))
  if (gone)
    throw new Refusal(
      'conflict',
      `Bundle ${gone.n} has gone back as ${lot.fibreName}, and its slip is sealed.`,
      'fibre.id',
    )
  if (lot.damp !== null && lot.bundles.some(({ n }) => bundles.get(n)?.dryWeightG === undefined)) {
    const sentence = `Lot ${lot.id} was weighed damp, and its dry weight was reckoned for ${lot.fibreName}. Weigh its bundles again and write that down along with the other fibre.`
    throw new Refusal('wrong', sentence, 'fibre.id')
  }
  const { name } = await trx.selectFrom('catalogue').select('name').where('id', '=', fibre.id).executeTakeFirstOrThrow()
  await writeCorrections(trx, by, why, [
    { of_table: 'lot', row_id: lot.id, field: 'fibre_id', was: lot.fibreId, became: fibre.id },
  ])
  await trx.updateTable('lot').set({ against: fibre.against }).where('id', '=', lot.id).execute()
  await noteLotText(trx, lot.id)
  const told = { was: { fibre: lot.fibreName, against: lot.against }, became: { fibre: name, against: fibre.against } }
  await remember(trx, by, { ...placeOf(lot), what: 'put right: the fibre', ...told, words: why })
  return true
}

/** Bundles of which the same was put right are told in one line. */
function historyOf(changed: readonly Changed[]) {
  const alike = new Map<string, Changed & { ns: number[] }>()
  for (const one of changed) {
    const key = JSON.stringify([one.was, one.became])
    const known = alike.get(key)
    if (known) known.ns.push(one.n)
    else alike.set(key, { ...one, ns: [one.n] })
  }
  return [...alike.values()].map(({ ns, was, became }) => ({ what: `put right: ${sayBundles(ns)}`, was, became }))
}

const sayBundles = (ns: readonly number[]): string => `${ns.length === 1 ? 'bundle' : 'bundles'} ${sayRuns(ns)}`

async function withdraw(trx: Trx, by: By, lot: Lot, bundle: Bundle, why: string): Promise<void> {
  const { id, n, place } = bundle
  const not = whyNotWithdrawn(bundle)
  if (not !== null) throw new Refusal('conflict', not, `bundles.${n}.withdrawn`)
  const others = await trx
    .selectFrom('bundle')
    .select('id')
    .where('lot_id', '=', lot.id)
    .where('id', '<>', id)
    .where('place', '<>', 'withdrawn')
    .limit(1)
    .execute()
  if (others.length === 0)
    throw new Refusal('conflict', `Bundle ${n} is the last of lot ${lot.id}, and a lot has at least one.`, 'bundles')
  await writeCorrections(trx, by, why, [
    { of_table: 'bundle', row_id: id, field: 'place', was: place, became: 'withdrawn' },
  ])
  const move = { from_place: place, to_place: 'withdrawn', load_id: null, at: by.at, worker_id: by.workerId } as const
  await trx
    .insertInto('move')
    .values({ bundle_id: id, ...move, why })
    .execute()
  await trx
    .updateTable('tag')
    .set({ void_at: by.at, void_why: `the bundle was withdrawn: ${why}` })
    .where('bundle_id', '=', id)
    .where('void_at', 'is', null)
    .execute()
  await checkBegunAnew(trx, by, id, unchecked(bundle))
}

async function rememberWithdrawn(trx: Trx, by: By, lot: Lot, { withdrawn, why }: PutRight): Promise<void> {
  const gone = lot.bundles.filter(({ n }) => withdrawn.includes(n))
  const { ties, dryWeightG } = totalsOf(gone)
  await remember(trx, by, {
    ...placeOf(lot),
    what: `put right: withdrawn, since never there`,
    became: { bundles: gone.map(({ n }) => n), ties, dryWeightG },
    words: why,
  })
}

async function addOverlooked(trx: Trx, by: By, lot: Lot, { overlooked, why }: PutRight): Promise<void> {
  if (overlooked.length === 0) return
  const added = await addBundles(trx, by, lot.id, overlooked)
  await tagBundles(trx, by, lot.commissionId)
  for (const { id, tiesIn } of added) await checkBegunAnew(trx, by, id, unchecked({ tiesIn }))
  const { ties, dryWeightG } = totalsOf(overlooked)
  await remember(trx, by, {
    ...placeOf(lot),
    what: `put right: overlooked at drop-off`,
    became: { bundles: added.map(({ n }) => n), ties, dryWeightG },
    words: why,
  })
}

/** The version counts up; a lot whose last bundle here was withdrawn has nothing left that could go back. */
async function closeIfEmpty(trx: Trx, by: By, lot: Lot): Promise<void> {
  const after = await findLot(trx, lot.id)
  const isEmpty = !after?.bundles.some(({ place }) => isHere(place))
  await trx
    .updateTable('lot')
    .set({ version: lot.version + 1, ...(isEmpty ? { closed_at: by.at } : {}) })
    .where('id', '=', lot.id)
    .execute()
}
