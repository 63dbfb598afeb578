/** What of a drop-off is still open: a provider of open points. */
import type { OpenPoint } from '../domain/open-point.js'
import { GONE_PLACES } from '../domain/place.js'
import { lotsNotAgreed } from './agreements.js'
import { receiptIsOlder } from './corrections.js'
import type { Db } from './db.js'
import { keptApart, spotsShared } from './keep-apart.js'
import { numbersIn, ready } from './ready.js'
import { returnablesOf } from './returnables.js'
import { openWishes } from './unmet-wishes.js'

const head = ready((db, commissionId: number) =>
  db
    .selectFrom('commission')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .select(['client.id as clientId', 'client.wishes_answer as wishesAnswer'])
    .where('commission.id', '=', commissionId),
)

const openLots = ready((db, commissionIds: string) =>
  db
    .selectFrom('lot')
    .select('id')
    .where('commission_id', 'in', numbersIn(commissionIds))
    .where('closed_at', 'is', null)
    .orderBy('id'),
)

/** What came along is asked for when the last bundle goes: where only a part goes back, a wrapper may wait for the rest. */
const lastBundle = ready((db, commissionId: number) =>
  db
    .selectFrom('bundle')
    .innerJoin('lot', 'lot.id', 'bundle.lot_id')
    .select(['bundle.id', 'bundle.lot_id as lotId'])
    .where('lot.commission_id', '=', commissionId)
    .where('bundle.place', 'not in', [...GONE_PLACES])
    .orderBy('bundle.id', 'desc')
    .limit(1),
)

export async function arrivalPoints(db: Db, commissionId: number): Promise<OpenPoint[]> {
  const lots = (await openLots(db, JSON.stringify([commissionId]))).map(({ id }) => id)
  if (lots.length === 0) return []
  const page = `/commissions/${commissionId}/arrival`
  const whole = { lotId: null, bundleIds: [] }
  const wishes = await openWishes(db, commissionId)
  const [last = whole] = (await lastBundle(db, commissionId)).map(({ lotId, id }) => ({ lotId, bundleIds: [id] }))
  const returnables = (await returnablesOf(db, commissionId)).filter(({ answer }) => answer === 'open')
  const apart = await keptApart(db, lots)
  const shared = await spotsShared(
    db,
    apart.map(({ lotId }) => lotId),
  )
  return [
    ...wishes.map(({ id, words }) => ({
      ...whole,
      sentence: `A wish that cannot be met waits for the client's decision: ${words}`,
      to: `${page}#wish-${id}`,
      hinders: true,
    })),
    ...(await lotsNotAgreed(db, commissionId)).map(lotId => ({
      ...whole,
      lotId,
      sentence: `Lot ${lotId}: the plan is not agreed with the client as it stands now`,
      to: `${page}#agreement`,
      hinders: false,
    })),
    ...returnables.map(({ id, words }) => ({
      ...last,
      sentence: `Came along, to go back: ${words}`,
      to: `${page}#returnable-${id}`,
      hinders: true,
    })),
    ...apart.map(({ lotId, why }) => ({
      ...whole,
      lotId,
      sentence: [`Lot ${lotId} is kept apart: ${why}`, ...beside(shared.filter(one => one.lotId === lotId))].join('. '),
      to: `${page}#apart-${lotId}`,
      hinders: false,
    })),
    ...(await receiptPoint(db, commissionId)),
    ...(await notAskedForWishes(db, commissionId)),
  ]
}

const beside = (spots: readonly { spotName: string }[]): string[] =>
  spots.map(({ spotName }) => `It lies beside another lot at “${spotName}”: put one of them somewhere else`)

async function receiptPoint(db: Db, commissionId: number): Promise<OpenPoint[]> {
  if (!(await receiptIsOlder(db, commissionId))) return []
  const sentence = 'What was put right is not on the receipt yet: issue a further one'
  return [{ lotId: null, bundleIds: [], sentence, to: `/commissions/${commissionId}/receipt`, hinders: false }]
}

async function notAskedForWishes(db: Db, commissionId: number): Promise<OpenPoint[]> {
  const [client] = await head(db, commissionId)
  if (client?.wishesAnswer !== 'not asked') return []
  const sentence = 'Not asked yet: how this material may be handled'
  return [{ lotId: null, bundleIds: [], sentence, to: `/clients/${client.clientId}/edit`, hinders: false }]
}
