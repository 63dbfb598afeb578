import type { By, Db } from './db.js'
import { ready } from './ready.js'

export type HistoryEntry = {
  commissionId?: number
  lotId?: number
  loadId?: number
  what: string
  was?: unknown
  became?: unknown
  words?: string
}

const json = (value: unknown): string | null => (value === undefined ? null : JSON.stringify(value))

/** Adds one line to the append-only history; called inside the transaction of what it tells. */
export async function remember(db: Db, by: By, entry: HistoryEntry): Promise<void> {
  await db
    .insertInto('history')
    .values({
      at: by.at,
      worker_id: by.workerId,
      commission_id: entry.commissionId ?? null,
      lot_id: entry.lotId ?? null,
      load_id: entry.loadId ?? null,
      what: entry.what,
      was: json(entry.was),
      became: json(entry.became),
      words: entry.words ?? '',
    })
    .execute()
}

export type HistoryLine = { at: string; who: string; what: string; was: unknown; became: unknown; words: string }

const linesOfLot = ready((db, lotId: number) =>
  db
    .selectFrom('history')
    .innerJoin('worker', 'worker.id', 'history.worker_id')
    .select(['history.at', 'worker.name as who', 'what', 'was', 'became', 'words'])
    .where('lot_id', '=', lotId)
    .orderBy('history.id'),
)

/** A lot's whole history, oldest first. */
export async function historyOfLot(db: Db, lotId: number): Promise<HistoryLine[]> {
  const rows = await linesOfLot(db, lotId)
  return rows.map(row => ({
    ...row,
    was: row.was === null ? null : JSON.parse(row.was),
    became: row.became === null ? null : JSON.parse(row.became),
  }))
}

/** What an edit changed, as two small records with only the fields that differ; undefined when none does. */
export function difference<T extends object>(before: T, after: T): { was: Partial<T>; became: Partial<T> } | undefined {
  const was: Partial<T> = {}
  const became: Partial<T> = {}
  for (const field of Object.keys(after) as (keyof T)[]) {
    if (before[field] === after[field]) continue
    was[field] = before[field]
    became[field] = after[field]
  }
  return Object.keys(became).length > 0 ? { was, became } : undefined
}
