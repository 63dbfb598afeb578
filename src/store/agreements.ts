/** What was agreed with a client, when and how; and what keeps a lot from being begun. */
import { sql } from 'kysely'
import { type Agreement, isAgreed, type Plan } from '../domain/arrival.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { ready } from './ready.js'
import { openWishes } from './unmet-wishes.js'

export type KnownAgreement = Agreement & { id: number; at: string; who: string; lotIds: number[] }

/** Writes down that the plan of these lots (of all that are here when none is named), as it stands now, is agreed. */
export async function writeAgreement(
  trx: Trx,
  by: By,
  commissionId: number,
  agreed: Agreement,
  only?: readonly number[],
): Promise<void> {
  const open = await trx
    .selectFrom('lot')
    .select(['id', 'colour', 'dye_id', 'route', 'ties_undyed'])
    .where('commission_id', '=', commissionId)
    .where('closed_at', 'is', null)
    .orderBy('id')
    .execute()
  const lots = open.filter(({ id }) => only === undefined || only.includes(id))
  const { id } = await trx
    .insertInto('agreement')
    .values({
      commission_id: commissionId,
      how: agreed.how,
      agreed_on: agreed.agreedOn,
      words: agreed.words,
      at: by.at,
      worker_id: by.workerId,
    })
    .returning('id')
    .executeTakeFirstOrThrow()
  for (const { id: lotId, ...plan } of lots)
    await trx
      .insertInto('agreed_lot')
      .values({ agreement_id: id, lot_id: lotId, ...plan })
      .execute()
}

/** The same after the drop-off, for lots whose plan is not agreed as it stands: each keeps a line of its own. */
export async function agreeAgain(
  trx: Trx,
  by: By,
  commissionId: number,
  agreed: Agreement,
  only?: readonly number[],
): Promise<void> {
  const open = (await lotsNotAgreed(trx, commissionId)).filter(id => only === undefined || only.includes(id))
  if (open.length === 0) throw new Refusal('conflict', 'The plan is agreed already, as it stands now.')
  await writeAgreement(trx, by, commissionId, agreed, open)
  const what = `plan agreed with the client (${agreed.how}, ${agreed.agreedOn})`
  for (const lotId of open) await remember(trx, by, { commissionId, lotId, what })
}

/** The newest agreement on a lot; one that was made with somebody else, before it was put right whose it is, is none. */
const newestOfOwner = sql<number>`(select max(later.agreement_id) from agreed_lot later
  join agreement on agreement.id = later.agreement_id
  where later.lot_id = lot.id and agreement.at >= coalesce((select max(at) from correction
    where of_table = 'commission' and row_id = lot.commission_id), ''))`

const plans = ready((db, commissionId: number) =>
  db
    .selectFrom('lot')
    .leftJoin('agreed_lot', join =>
      join.onRef('agreed_lot.lot_id', '=', 'lot.id').on('agreed_lot.agreement_id', '=', newestOfOwner),
    )
    .select([
      'lot.id',
      'lot.colour',
      'lot.dye_id as dyeId',
      'lot.route',
      'lot.ties_undyed as tiesUndyed',
      'agreed_lot.colour as agreedColour',
      'agreed_lot.dye_id as agreedDyeId',
      'agreed_lot.route as agreedRoute',
      'agreed_lot.ties_undyed as agreedTiesUndyed',
    ])
    .where('lot.commission_id', '=', commissionId)
    .where('lot.closed_at', 'is', null)
    .orderBy('lot.id'),
)

/** Lots that are still here and whose plan, as it stands now, nobody has agreed to. */
export async function lotsNotAgreed(db: Db, commissionId: number): Promise<number[]> {
  const rows = await plans(db, commissionId)
  return rows
    .filter(row => {
      const asked: Plan = { ...row, tiesUndyed: row.tiesUndyed === 1 }
      const { agreedColour: colour, agreedDyeId: dyeId, agreedRoute: route } = row
      const agreed =
        colour === null || dyeId === null || route === null
          ? undefined
          : { colour, dyeId, route, tiesUndyed: row.agreedTiesUndyed === 1 }
      return !isAgreed(asked, agreed)
    })
    .map(({ id }) => id)
}

/** Why nothing of a lot may be laid into a pot yet, in a sentence; null when it may. */
export async function whyNotBegun(db: Db, lot: { id: number; commissionId: number }): Promise<string | null> {
  const [wish] = await openWishes(db, lot.commissionId)
  if (wish)
    return `A wish for this commission cannot be met (“${wish.words}”). Ask the client, and write down what was decided.`
  if (!(await lotsNotAgreed(db, lot.commissionId)).includes(lot.id)) return null
  return `The plan for lot ${lot.id} is not agreed with the client as it stands now. Write down when and how it was agreed.`
}

export async function agreementsOf(db: Db, commissionId: number): Promise<KnownAgreement[]> {
  const rows = await db
    .selectFrom('agreement')
    .innerJoin('worker', 'worker.id', 'agreement.worker_id')
    .select(['agreement.id', 'how', 'agreed_on as agreedOn', 'words', 'agreement.at', 'worker.name as who'])
    .where('commission_id', '=', commissionId)
    .orderBy('agreement.id')
    .execute()
  const lots = await db
    .selectFrom('agreed_lot')
    .select(['agreement_id as id', 'lot_id as lotId'])
    .where(
      'agreement_id',
      'in',
      rows.map(({ id }) => id),
    )
    .execute()
  return rows.map(row => ({ ...row, lotIds: lots.filter(({ id }) => id === row.id).map(({ lotId }) => lotId) }))
}
