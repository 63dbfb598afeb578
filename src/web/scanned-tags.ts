/** Several tags in one field, scanned or typed, one to a line: each names a bundle that somebody has before them. */
import { Refusal } from '../domain/refusal.js'
import { sayTagCode } from '../domain/tag-code.js'
import { type Expected, WrongTag } from '../domain/wrong-tag.js'
import type { Trx } from '../store/db.js'
import { bundleByTag, type TaggedBundle } from '../store/tags.js'
import { type FieldError, Unfit } from './kit/form.js'

export type Scan = {
  field: string
  expected?: Expected
  /** Why this bundle is not right here, as the end of a sentence about it; null when it is. */
  whyNot?: (bundle: TaggedBundle) => string | null
}

/** By the bundle's id. Every code that is not right is named at once; one of another client comes first. */
export async function scannedTags(trx: Trx, typed: string, scan: Scan): Promise<Map<number, TaggedBundle>> {
  const { field, expected = {}, whyNot = () => null } = scan
  const scanned = new Map<number, TaggedBundle>()
  const wrong: FieldError[] = []
  for (const line of typed.split(/[\n,;]/).filter(line => line.trim() !== '')) {
    try {
      const bundle = await bundleByTag(trx, line, expected, field)
      const why = whyNot(bundle)
      if (why === null) scanned.set(bundle.bundleId, bundle)
      else wrong.push({ field, sentence: `The bundle with the tag ${sayTagCode(bundle.code)} ${why}.` })
    } catch (fault) {
      if (!(fault instanceof Refusal) || fault instanceof WrongTag) throw fault
      wrong.push({ field, sentence: fault.message })
    }
  }
  if (wrong.length > 0) throw new Unfit(wrong)
  return scanned
}
