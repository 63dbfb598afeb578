/** A client's own page: its address, and what it may show; nothing about anybody else is asked for. */
import { randomBytes } from 'node:crypto'
import { TOKEN_LENGTH, tokenFrom } from '../domain/client-page.js'
import type { Day } from '../domain/day.js'
import type { Place } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { lastPromises } from './promises.js'
import { numbersIn } from './ready.js'

export type ClientPage = { token: string; madeAt: string; who: string }

const live = (db: Db, clientId: number) =>
  db
    .selectFrom('client_page')
    .innerJoin('worker', 'worker.id', 'client_page.made_by')
    .select(['token', 'client_page.made_at as madeAt', 'worker.name as who'])
    .where('client_id', '=', clientId)
    .where('off_at', 'is', null)

/** The page that a client has now, if any. */
export const clientPageOf = (db: Db, clientId: number): Promise<ClientPage | undefined> =>
  live(db, clientId).executeTakeFirst()

/** Gives a client a page; one that they had before is left, since its address stands on their papers. */
export async function openClientPage(trx: Trx, by: By, clientId: number): Promise<void> {
  if (await clientPageOf(trx, clientId))
    throw new Refusal('conflict', 'There is a page for this client already; its address stands below.')
  const token = tokenFrom(randomBytes(TOKEN_LENGTH))
  await trx
    .insertInto('client_page')
    .values({ token, client_id: clientId, made_at: by.at, made_by: by.workerId, off_at: null, off_by: null })
    .execute()
  await noteChange(trx, by, clientId, 'a page of their own made')
}

const noteChange = (trx: Trx, by: By, clientId: number, what: string) =>
  trx
    .insertInto('client_change')
    .values({ client_id: clientId, at: by.at, worker_id: by.workerId, what, was: '{}', became: '{}' })
    .execute()

/** Ends it: whoever comes to the address is told only that it has ended. */
export async function closeClientPage(trx: Trx, by: By, clientId: number): Promise<void> {
  const ended = await trx
    .updateTable('client_page')
    .set({ off_at: by.at, off_by: by.workerId })
    .where('client_id', '=', clientId)
    .where('off_at', 'is', null)
    .executeTakeFirst()
  if (ended.numUpdatedRows === 0n) throw new Refusal('conflict', 'There is no page for this client any more.')
  await noteChange(trx, by, clientId, 'their own page ended')
}

/** The whole address for paper, in capitals as a square code wants it; null when there is no page or no address yet. */
export async function clientPageAddress(db: Db, commissionId: number): Promise<string | null> {
  const row = await db
    .selectFrom('commission')
    .innerJoin('client_page', 'client_page.client_id', 'commission.client_id')
    .select('token')
    .where('commission.id', '=', commissionId)
    .where('off_at', 'is', null)
    .executeTakeFirst()
  return row ? addressOf(await baseAddress(db), row.token) : null
}

export const addressOf = (base: string, token: string): string | null =>
  base === '' ? null : `${base.toUpperCase()}/C/${token}`

/** The address under which phones reach this workshop, or ''. */
export async function baseAddress(db: Db): Promise<string> {
  const row = await db.selectFrom('tag_setting').select('address').executeTakeFirst()
  return row?.address ?? ''
}

/** Whose page it is; null once it was ended, undefined when there never was one. */
export async function clientOfToken(db: Db, token: string): Promise<{ id: number; name: string } | null | undefined> {
  const row = await db
    .selectFrom('client_page')
    .innerJoin('client', 'client.id', 'client_page.client_id')
    .select(['client.id', 'client.name', 'off_at'])
    .where('token', '=', token)
    .executeTakeFirst()
  if (!row) return undefined
  return row.off_at === null ? { id: row.id, name: row.name } : null
}

export type LotForClient = {
  id: number
  commissionId: number
  fibreName: string
  colour: string
  swatch: string | null
  tiesUndyed: boolean
  /** The day that was promised for it last, or null. */
  promisedDay: Day | null
  bundles: { n: number; tiesIn: number; tiesLost: number; place: Place }[]
}

export type CommissionForClient = {
  id: number
  purpose: string
  neededBy: string
  takenInAt: string
  lots: LotForClient[]
}

/** What a client left here, the newest first, with where each bundle is. */
export async function commissionsForClient(db: Db, clientId: number): Promise<CommissionForClient[]> {
  const commissions = await db
    .selectFrom('commission')
    .select(['id', 'purpose', 'needed_by as neededBy', 'taken_in_at as takenInAt'])
    .where('client_id', '=', clientId)
    .orderBy('id', 'desc')
    .execute()
  const lots = await db
    .selectFrom('lot')
    .innerJoin('catalogue', 'catalogue.id', 'lot.fibre_id')
    .select([
      'lot.id',
      'commission_id as commissionId',
      'catalogue.name as fibreName',
      'colour',
      'swatch',
      'ties_undyed',
    ])
    .where('commission_id', 'in', numbersIn(JSON.stringify(commissions.map(({ id }) => id))))
    .orderBy('lot.id')
    .execute()
  const bundles = await db
    .selectFrom('bundle')
    .select(['lot_id as lotId', 'n', 'ties_in as tiesIn', 'ties_lost as tiesLost', 'place'])
    .where('lot_id', 'in', numbersIn(JSON.stringify(lots.map(({ id }) => id))))
    .where('place', '<>', 'withdrawn')
    .orderBy('n')
    .execute()
  const promises = await lastPromises(
    db,
    lots.map(({ id }) => id),
  )
  const whole = lots.map(({ ties_undyed, ...lot }) => ({
    ...lot,
    promisedDay: promises.get(lot.id)?.day ?? null,
    tiesUndyed: ties_undyed === 1,
    bundles: bundles.filter(({ lotId }) => lotId === lot.id).map(({ lotId: _, ...bundle }) => bundle),
  }))
  return commissions.map(one => ({ ...one, lots: whole.filter(({ commissionId }) => commissionId === one.id) }))
}
