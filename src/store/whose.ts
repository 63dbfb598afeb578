/** Whose a commission is, when the wrong client was picked at drop-off: put right while nothing of it went back. */
import { sql } from 'kysely'
import type { Agreement } from '../domain/arrival.js'
import { isHere } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import { agreeAgain, lotsNotAgreed } from './agreements.js'
import { type KnownClient, refuseErased } from './clients.js'
import { type Commission, findCommission } from './commissions.js'
import { writeCorrections } from './corrections.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { lotsOfCommission } from './lots.js'
import { noteLotText } from './search.js'

/** Why whose a commission is can no longer be put right, in a sentence; null while it can. */
export async function whyOwnerStays(db: Db, commissionId: number): Promise<string | null> {
  const lots = await lotsOfCommission(db, commissionId)
  const isWhole = lots.every(
    ({ closedAt, bundles }) => closedAt === null && bundles.every(({ place }) => isHere(place)),
  )
  if (isWhole) return null
  return `Something of commission ${commissionId} has gone back, and its slip is sealed: whose it is stays as it says. Add a note beside the slip.`
}

export type Whose = {
  commissionId: number
  version: number
  client: KnownClient
  why: string
  /** What is agreed with them; null: nothing yet. */
  agreed: Agreement | null
}

/** Gives the commission to whom it belongs. What was agreed with somebody else is not agreed with them. */
export async function putOwnerRight(
  trx: Trx,
  by: By,
  { commissionId, version, client, why, agreed }: Whose,
): Promise<void> {
  const commission = await findCommission(trx, commissionId)
  if (!commission) throw new Refusal('not-found', 'There is no such commission.')
  await refuseOwner(trx, commission, client, version)
  await writeCorrections(trx, by, why, [
    { of_table: 'commission', row_id: commissionId, field: 'client_id', was: commission.clientId, became: client.id },
  ])
  await trx
    .updateTable('commission')
    .set({ version: version + 1 })
    .where('id', '=', commissionId)
    .execute()
  // Numbers, and no names: a line of history outlives the erasure of a client.
  const told = { was: { clientId: commission.clientId }, became: { clientId: client.id } }
  for (const { id } of await lotsOfCommission(trx, commissionId)) {
    await remember(trx, by, { commissionId, lotId: id, what: 'put right: whose it is', ...told, words: why })
    await noteLotText(trx, id)
  }
  if (agreed !== null && (await lotsNotAgreed(trx, commissionId)).length > 0)
    await agreeAgain(trx, by, commissionId, agreed)
}

async function refuseOwner(trx: Trx, commission: Commission, client: KnownClient, version: number): Promise<void> {
  const { id, clientId } = commission
  if (client.id === clientId)
    throw new Refusal('wrong', `Commission ${id} is written down for ${client.name} already.`, 'client')
  const stays = await whyOwnerStays(trx, id)
  if (stays !== null) throw new Refusal('conflict', stays)
  if (commission.version !== version)
    throw new Refusal(
      'conflict',
      `Commission ${id} was changed elsewhere while you were typing. Look at what stands there now, then send yours again.`,
    )
  await refuseErased(trx, client.id)
  if (!['yes', 'yes, not to show'].includes(client.photographs) && (await hasPhotographs(trx, id)))
    throw new Refusal(
      'conflict',
      `Photographs of it were taken by the word of ${commission.clientName}, and ${client.name} has not said yes to any. Ask, and write it down at the client, or withdraw the photographs first.`,
      'client',
    )
  if (await sharesABath(trx, id, client.id))
    throw new Refusal(
      'conflict',
      `It lay in one bath with the fibre of somebody else, and not both have said that this may be. Ask ${client.name}, and write it down at the client first.`,
      'client',
    )
}

async function hasPhotographs(db: Db, commissionId: number): Promise<boolean> {
  const { rows } = await sql`select 1 from photograph join lot on lot.id = photograph.lot_id
    where lot.commission_id = ${commissionId} and photograph.withdrawn_at is null limit 1`.execute(db)
  return rows.length > 0
}

async function sharesABath(db: Db, commissionId: number, clientId: number): Promise<boolean> {
  const { rows } = await sql`
    select 1 from lot join load_lot own on own.lot_id = lot.id
      join load_lot other on other.load_id = own.load_id and other.lot_id <> own.lot_id
      join lot theirs on theirs.id = other.lot_id join commission c on c.id = theirs.commission_id
      join client one on one.id = ${clientId} join client two on two.id = c.client_id
    where lot.commission_id = ${commissionId} and c.id <> ${commissionId} and one.id <> two.id
      and (one.shares_bath <> 'may' or two.shares_bath <> 'may') limit 1`.execute(db)
  return rows.length > 0
}
