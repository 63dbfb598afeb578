/** What came along with fibre and has to go back with it. */
import type { ReturnableIn } from '../domain/arrival.js'
import { Refusal } from '../domain/refusal.js'
import type { By, Db, Trx } from './db.js'
import { remember } from './history.js'
import { ready } from './ready.js'
import type { ReturnableTable } from './schema-of-arrivals.js'

export type ReturnableAnswer = 'gone back' | 'does not go back'

export type Returnable = ReturnableIn & {
  id: number
  answer: 'open' | ReturnableAnswer
  why: string
  at: string
  answeredAt: string | null
}

export async function writeReturnables(trx: Trx, by: By, commissionId: number, came: ReturnableIn[]): Promise<void> {
  for (const { kind, words } of came)
    await trx
      .insertInto('returnable')
      .values({ commission_id: commissionId, kind, words, at: by.at, worker_id: by.workerId })
      .execute()
}

/** Something that came along and was not written down at the drop-off. */
export async function addReturnables(trx: Trx, by: By, commissionId: number, came: ReturnableIn[]): Promise<void> {
  const open = await trx
    .selectFrom('lot')
    .select('id')
    .where('commission_id', '=', commissionId)
    .where('closed_at', 'is', null)
    .executeTakeFirst()
  if (!open) throw new Refusal('conflict', 'Everything of this commission has gone back already.')
  await writeReturnables(trx, by, commissionId, came)
  await remember(trx, by, { commissionId, what: `came along: ${came.map(({ kind }) => kind).join(', ')}` })
}

/** Whether it went back, once; what does not needs a reason. */
export async function answerReturnable(
  trx: Trx,
  by: By,
  commissionId: number,
  id: number,
  { answer, why }: { answer: ReturnableAnswer; why: string },
): Promise<Returnable> {
  const one = (await returnablesOf(trx, commissionId)).find(known => known.id === id)
  if (!one) throw new Refusal('not-found', 'There is nothing like that on the list of what came along.')
  if (one.answer !== 'open') throw new Refusal('conflict', `Answered already: ${one.words}, ${one.answer}.`)
  if (answer === 'does not go back' && why.trim() === '')
    throw new Refusal('wrong', `Say why it does not go back: ${one.words}.`)
  await trx
    .updateTable('returnable')
    .set({ answer, why, answered_at: by.at, answered_by: by.workerId })
    .where('id', '=', id)
    .execute()
  await remember(trx, by, {
    commissionId,
    what: `the ${one.kind === 'other' ? 'thing' : one.kind} that came along: ${answer}`,
  })
  return { ...one, answer, why }
}

const returnables = ready((db, commissionId: number) =>
  db
    .selectFrom('returnable')
    .select(['id', 'kind', 'words', 'answer', 'why', 'at', 'answered_at as answeredAt'])
    .$narrowType<Pick<ReturnableTable, 'kind'>>()
    .where('commission_id', '=', commissionId)
    .orderBy('id'),
)

export const returnablesOf = (db: Db, commissionId: number): Promise<Returnable[]> => returnables(db, commissionId)
