/** The tags that were scanned or typed at the hand-back, one to a line: each names a bundle that lies on the table. */
import { isHere } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import { sayTagCode } from '../domain/tag-code.js'
import { WrongTag } from '../domain/wrong-tag.js'
import type { Trx } from '../store/db.js'
import { bundleByTag } from '../store/tags.js'
import { type FieldError, Unfit } from './kit/form.js'

const FIELD = 'scanned'

/** By the bundle's id, the code of its tag. Every code that is not right is named; one of another client comes first. */
export async function scannedBundles(trx: Trx, typed: string, commissionId: number): Promise<Map<number, string>> {
  const scanned = new Map<number, string>()
  const wrong: FieldError[] = []
  for (const line of typed.split(/[\n,;]/).filter(line => line.trim() !== '')) {
    try {
      const { bundleId, place, code } = await bundleByTag(trx, line, { commissionId }, FIELD)
      if (isHere(place)) scanned.set(bundleId, code)
      else wrong.push({ field: FIELD, sentence: `The bundle with the tag ${sayTagCode(code)} is gone: ${place}.` })
    } catch (fault) {
      if (!(fault instanceof Refusal) || fault instanceof WrongTag) throw fault
      wrong.push({ field: FIELD, sentence: fault.message })
    }
  }
  if (wrong.length > 0) throw new Unfit(wrong)
  return scanned
}
