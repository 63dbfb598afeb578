/** Bundles of lots that share a bath, counted as they come out of it: as many of each lot as went in. */
import { type LotInBath, troubleCounted } from '../domain/one-bath.js'
import { Refusal } from '../domain/refusal.js'
import { sayTagCode } from '../domain/tag-code.js'
import type { Db, Trx } from './db.js'
import type { Load } from './load-record.js'

/** What has to come out of the load, lot by lot; what was written down as lost since it was laid is not waited for. */
export async function lotsInBath(db: Db, load: Pick<Load, 'id' | 'lots'>): Promise<LotInBath[]> {
  const rows = await db
    .selectFrom('load_bundle')
    .innerJoin('bundle', 'bundle.id', 'load_bundle.bundle_id')
    .innerJoin('tag', join => join.onRef('tag.bundle_id', '=', 'bundle.id').on('tag.void_at', 'is', null))
    .leftJoin('lost_from_load as lost', join =>
      join.onRef('lost.load_id', '=', 'load_bundle.load_id').onRef('lost.bundle_id', '=', 'bundle.id'),
    )
    .select(['bundle.lot_id as lotId', 'bundle.n', 'tag.code', 'lost.bundle_id as lostId'])
    .where('load_bundle.load_id', '=', load.id)
    .orderBy('bundle.n')
    .execute()
  return load.lots.map(({ lotId }) => {
    const own = rows.filter(row => row.lotId === lotId)
    return {
      lotId,
      bundles: own.filter(row => row.lostId === null).map(({ n, code }) => ({ n, code: sayTagCode(code) })),
      lostNs: own.filter(row => row.lostId !== null).map(({ n }) => n),
    }
  })
}

/** Each lot of which not as many were counted as went in, at its field of the form. */
export async function outNotIn(db: Db, load: Load, out: ReadonlyMap<number, number>) {
  return (await lotsInBath(db, load)).flatMap((lot, at) => {
    const sentence = troubleCounted(lot, out.get(lot.lotId))
    return sentence === null ? [] : [{ field: `out.${at}`, sentence }]
  })
}

export async function refuseOutNotIn(trx: Trx, load: Load, out: ReadonlyMap<number, number>): Promise<void> {
  const [first] = await outNotIn(trx, load, out)
  if (first) throw new Refusal('wrong', first.sentence, first.field)
}

/** Keeps what was counted with the line of the log that it was counted for. */
export async function writeCounts(trx: Trx, logId: number, load: Load, out: ReadonlyMap<number, number>) {
  for (const { lotId } of load.lots)
    await trx
      .insertInto('counted_out')
      .values({ log_id: logId, lot_id: lotId, bundles: out.get(lotId) ?? 0 })
      .execute()
}
