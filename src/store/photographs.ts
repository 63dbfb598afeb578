/** Photographs of lots and bundles, and descriptions in words: what was kept of how they looked, and when. */
import type { Photographs } from '../domain/client.js'
import { type Moment, mayPhotograph, sayMayNot } from '../domain/photograph.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { putInPlace } from './photograph-folder.js'
import type { Picture } from './picture.js'
import { ready } from './ready.js'

export type Photograph = {
  id: number
  hash: string
  lotId: number
  /** Null when it shows the whole lot; `n` is the bundle's number in its lot. */
  bundleId: number | null
  n: number | null
  moment: Moment
  at: string
  who: string
  widthPx: number
  heightPx: number
  bytes: number
  words: string
  withdrawnAt: string | null
  withdrawnBy: string | null
  withdrawnWhy: string | null
}

const photographs = (db: Db) =>
  db
    .selectFrom('photograph')
    .innerJoin('worker', 'worker.id', 'photograph.worker_id')
    .leftJoin('bundle', 'bundle.id', 'photograph.bundle_id')
    .leftJoin('worker as remover', 'remover.id', 'photograph.withdrawn_by')
    .select([
      'photograph.id',
      'photograph.hash',
      'photograph.lot_id as lotId',
      'photograph.bundle_id as bundleId',
      'bundle.n',
      'photograph.moment',
      'photograph.at',
      'worker.name as who',
      'photograph.width_px as widthPx',
      'photograph.height_px as heightPx',
      'photograph.bytes',
      'photograph.words',
      'photograph.withdrawn_at as withdrawnAt',
      'remover.name as withdrawnBy',
      'photograph.withdrawn_why as withdrawnWhy',
    ])
    .orderBy('photograph.id')

/** All that were ever kept of a lot, withdrawn ones too, oldest first. */
export const photographsOfLot: (db: Db, lotId: number) => Promise<Photograph[]> = ready((db, lotId: number) =>
  photographs(db).where('photograph.lot_id', '=', lotId),
)

export const findPhotograph = (db: Db, id: number): Promise<Photograph | undefined> =>
  photographs(db).where('photograph.id', '=', id).executeTakeFirst()

/** Every row whose picture has this hash: one picture may show two bundles. */
export const photographsOfHash = (db: Db, hash: string): Promise<Photograph[]> =>
  photographs(db).where('photograph.hash', '=', hash).execute()

const lotsOf = (db: Db, clientId: number) =>
  db
    .selectFrom('lot')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .select('lot.id')
    .where('commission.client_id', '=', clientId)

/** What is kept of one client's fibre, withdrawn ones left out. */
export const photographsOfClient = (db: Db, clientId: number): Promise<Photograph[]> =>
  photographs(db).where('photograph.lot_id', 'in', lotsOf(db, clientId)).where('withdrawn_at', 'is', null).execute()

/** Those that may stand on a page which others open: none unless the client's answer is a plain yes. */
export const photographsToShow = (db: Db, commissionId: number): Promise<Photograph[]> =>
  photographs(db)
    .innerJoin('lot', 'lot.id', 'photograph.lot_id')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .where('commission.id', '=', commissionId)
    .where('client.photographs', '=', 'yes')
    .where('withdrawn_at', 'is', null)
    .execute()

/** What the kept pictures take up, in bytes. */
export async function keptBytes(db: Db): Promise<number> {
  const each = db.selectFrom('photograph').select(['hash', 'bytes']).distinct().where('withdrawn_at', 'is', null)
  const { sum } = await db
    .selectFrom(each.as('each'))
    .select(({ fn }) => fn.sum<number | null>('bytes').as('sum'))
    .executeTakeFirstOrThrow()
  return sum ?? 0
}

/** What is shown or described, and when: the whole lot when `bundleId` is null. */
export type Shown = { lotId: number; bundleId: number | null; moment: Moment; words: string }

/** Whose lot it is, and what they say of photographs. */
export async function ownerOf(db: Db, lotId: number) {
  const owner = await db
    .selectFrom('lot')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .select(['client.id as clientId', 'client.name', 'client.photographs', 'client.version'])
    .where('lot.id', '=', lotId)
    .executeTakeFirst()
  if (owner) return owner
  throw new Refusal('not-found', 'There is no such lot.')
}

/** Writes down what the owner of a lot says of photographs, asked at its page. */
export async function answerPhotographs(
  trx: Trx,
  by: By,
  lotId: number,
  version: number,
  said: Photographs,
): Promise<string> {
  const { clientId, name, photographs: before, version: now } = await ownerOf(trx, lotId)
  if (version !== now)
    throw new Refusal('conflict', `${name} was changed elsewhere while you were asking. Look at what stands there now.`)
  if (said === before) return name
  await trx
    .updateTable('client')
    .set({ photographs: said, version: version + 1 })
    .where('id', '=', clientId)
    .execute()
  const change = { was: JSON.stringify({ photographs: before }), became: JSON.stringify({ photographs: said }) }
  await trx
    .insertInto('client_change')
    .values({ client_id: clientId, at: by.at, worker_id: by.workerId, what: 'changed', ...change })
    .execute()
  return name
}

/** Throws unless this lot may be photographed: the client has been asked and has said yes. */
export async function refuseUnlessYes(db: Db, lotId: number): Promise<void> {
  const { photographs: said, name } = await ownerOf(db, lotId)
  if (!mayPhotograph(said)) throw new Refusal('not-allowed', sayMayNot(said, name))
}

/** "bundle 3", or "the whole lot"; a bundle of another lot is refused. */
export async function subjectOf(db: Db, { lotId, bundleId }: Shown): Promise<string> {
  if (bundleId === null) return 'the whole lot'
  const bundle = await db
    .selectFrom('bundle')
    .select('n')
    .where('id', '=', bundleId)
    .where('lot_id', '=', lotId)
    .executeTakeFirst()
  if (bundle) return `bundle ${bundle.n}`
  throw new Refusal('wrong', 'Choose a bundle of this lot, or the whole lot.', 'bundleId')
}

/** Of these pictures, each once, those that are not kept already of the same bundle at the same moment. */
async function notKeptYet(
  db: Db,
  { lotId, bundleId, moment }: Shown,
  pictures: readonly Picture[],
): Promise<Picture[]> {
  const kept = await db
    .selectFrom('photograph')
    .select('hash')
    .where('lot_id', '=', lotId)
    .where('bundle_id', 'is', bundleId)
    .where('moment', '=', moment)
    .where('withdrawn_at', 'is', null)
    .execute()
  const known = new Set(kept.map(({ hash }) => hash))
  const once = new Map(pictures.map(picture => [picture.hash, picture]))
  return [...once.values()].filter(({ hash }) => !known.has(hash))
}

/** Keeps these pictures: rows and files in one step. Answers how many there were that are not kept already. */
export async function keepPhotographs(
  trx: Trx,
  by: By,
  shown: Shown,
  pictures: readonly Picture[],
  folder: string,
): Promise<number> {
  await refuseUnlessYes(trx, shown.lotId)
  const subject = await subjectOf(trx, shown)
  const fresh = await notKeptYet(trx, shown, pictures)
  if (fresh.length === 0) throw new Refusal('conflict', 'These photographs are kept already.', 'photographs')
  for (const { hash, widthPx, heightPx, bytes } of fresh) {
    await trx
      .insertInto('photograph')
      .values({
        hash,
        lot_id: shown.lotId,
        bundle_id: shown.bundleId,
        moment: shown.moment,
        at: by.at,
        worker_id: by.workerId,
        width_px: widthPx,
        height_px: heightPx,
        bytes,
        words: shown.words,
      })
      .execute()
  }
  putInPlace(folder, fresh)
  const count = fresh.length === 1 ? 'one photograph' : `${fresh.length} photographs`
  await remember(trx, by, { lotId: shown.lotId, what: `photographed ${shown.moment}: ${count} of ${subject}` })
  return fresh.length
}

/** Withdraws one photograph; its picture is taken away once this is committed (`takeAwayUnused`). */
export async function withdrawPhotograph(trx: Trx, by: By, id: number, why: string): Promise<Photograph> {
  const photograph = await findPhotograph(trx, id)
  if (!photograph) throw new Refusal('not-found', 'There is no such photograph.')
  if (photograph.withdrawnAt !== null) throw new Refusal('conflict', 'This photograph was withdrawn already.')
  await trx
    .updateTable('photograph')
    .set({ withdrawn_at: by.at, withdrawn_by: by.workerId, withdrawn_why: why })
    .where('id', '=', id)
    .execute()
  await remember(trx, by, { lotId: photograph.lotId, what: `photograph ${id} withdrawn` })
  return photograph
}

/** For a client who is erased: every photograph is withdrawn and its words are emptied. Answers the hashes to take away. */
export async function withdrawAllOfClient(trx: Trx, by: By, clientId: number): Promise<string[]> {
  const why = 'the client was erased'
  const kept = await photographsOfClient(trx, clientId)
  const ofClient = trx.updateTable('photograph').where('lot_id', 'in', lotsOf(trx, clientId))
  await ofClient
    .set({ withdrawn_at: by.at, withdrawn_by: by.workerId, withdrawn_why: why })
    .where('withdrawn_at', 'is', null)
    .execute()
  await ofClient.set({ words: '', withdrawn_why: why }).execute()
  return [...new Set(kept.map(({ hash }) => hash))]
}
