/** The tags that were scanned or typed at the hand-back, one to a line: each names a bundle that lies on the table. */
import { isHere } from '../domain/place.js'
import type { Trx } from '../store/db.js'
import { scannedTags } from './scanned-tags.js'

/** By the bundle's id, the code of its tag. Every code that is not right is named; one of another client comes first. */
export async function scannedBundles(trx: Trx, typed: string, commissionId: number): Promise<Map<number, string>> {
  const scanned = await scannedTags(trx, typed, {
    field: 'scanned',
    expected: { commissionId },
    whyNot: ({ place }) => (isHere(place) ? null : `is gone: ${place}`),
  })
  return new Map([...scanned].map(([id, { code }]) => [id, code]))
}
