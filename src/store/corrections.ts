/** Lines of what was put right. A line writes its record along; nothing else may. */
import { sql } from 'kysely'
import type { By, Db, Trx } from './db.js'
import { ready } from './ready.js'
import type { CorrectionTable } from './schema-of-arrivals.js'

export type CorrectionLine = Pick<CorrectionTable, 'of_table' | 'row_id' | 'field' | 'was' | 'became'>

export async function writeCorrections(trx: Trx, by: By, why: string, lines: readonly CorrectionLine[]): Promise<void> {
  const written = { why, at: by.at, worker_id: by.workerId }
  for (const line of lines)
    await trx
      .insertInto('correction')
      .values({ ...line, ...written })
      .execute()
}

/** One line of what was put right, as its record's page tells it. */
export type Correction = {
  field: string
  was: string | number | null
  became: string | number | null
  why: string
  at: string
  who: string
}

/** What was put right of one bundle, oldest first; what was seen and how it was tied with it. */
export const correctionsOfBundle: (db: Db, bundleId: number) => Promise<Correction[]> = ready((db, bundleId: number) =>
  db
    .selectFrom('correction')
    .innerJoin('worker', 'worker.id', 'correction.worker_id')
    .select(['field', 'was', 'became', 'why', 'correction.at', 'worker.name as who'])
    .where('of_table', 'in', ['bundle', 'bundle_arrival'])
    .where('row_id', '=', bundleId)
    .orderBy('correction.id'),
)

const lastWord = ready((db, commissionId: number) =>
  db
    .selectFrom('history')
    .select(sql<number>`what like 'put right%'`.as('isOlder'))
    .where('commission_id', '=', commissionId)
    .where(sql<boolean>`(what like 'put right%' or what like 'receipt % issued')`)
    .orderBy('id', 'desc')
    .limit(1),
)

/** Whether something was put right that the newest receipt does not say yet. */
export async function receiptIsOlder(db: Db, commissionId: number): Promise<boolean> {
  return (await lastWord(db, commissionId))[0]?.isOlder === 1
}
