import type { Db } from './db.js'

/** `toWhom` is '' once their name was erased; `bundles` are those that went back, without those not found. */
export type HandBackLine = { id: number; at: string; toWhom: string; who: string; lotIds: number[]; bundles: number }

/** The hand-backs of a commission, oldest first. */
export async function handBacksOfCommission(db: Db, commissionId: number): Promise<HandBackLine[]> {
  const rows = await db
    .selectFrom('hand_back')
    .innerJoin('worker', 'worker.id', 'hand_back.worker_id')
    .leftJoin('hand_back_person', 'hand_back_person.hand_back_id', 'hand_back.id')
    .innerJoin('hand_back_bundle', 'hand_back_bundle.hand_back_id', 'hand_back.id')
    .innerJoin('bundle', 'bundle.id', 'hand_back_bundle.bundle_id')
    .groupBy(['hand_back.id', 'bundle.lot_id'])
    .select(({ fn }) => [
      'hand_back.id',
      'hand_back.at',
      'hand_back_person.to_whom as toWhom',
      'worker.name as who',
      'bundle.lot_id as lotId',
      fn.sum<number>('hand_back_bundle.found').as('bundles'),
    ])
    .where('hand_back.commission_id', '=', commissionId)
    .where('hand_back.closed', '=', 1)
    .orderBy('hand_back.id')
    .orderBy('bundle.lot_id')
    .execute()
  const lines = new Map<number, HandBackLine>()
  for (const { lotId, bundles, toWhom, ...row } of rows) {
    const line = lines.get(row.id) ?? { ...row, toWhom: toWhom ?? '', lotIds: [], bundles: 0 }
    lines.set(row.id, { ...line, lotIds: [...line.lotIds, lotId], bundles: line.bundles + bundles })
  }
  return [...lines.values()]
}
