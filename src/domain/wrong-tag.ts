import { Refusal } from './refusal.js'
import { sayTagCode } from './tag-code.js'

/** What is being worked on while a tag is scanned or typed: the bundle must belong to it. */
export type Expected = { commissionId?: number; lotId?: number; loadId?: number }

/** Said to whoever holds the wrong bundle: what is in hand, and nothing about the other one. */
function inHand({ commissionId, lotId, loadId }: Expected): string {
  if (lotId !== undefined) return `to lot ${lotId}`
  if (commissionId !== undefined) return `to commission ${commissionId}`
  return loadId === undefined ? 'here' : 'into this pot'
}

/** The tag is a good one, but of something else than what is being worked on. Nothing is done, and it is noted. */
export class WrongTag extends Refusal {
  readonly expected: Expected
  readonly tagCode: string

  constructor(tagCode: string, expected: Expected, field?: string) {
    super(
      'conflict',
      `Stop: the bundle with the tag ${sayTagCode(tagCode)} does not belong ${inHand(expected)}. Put it aside, then look it up by its code. Nothing was changed.`,
      field,
    )
    this.name = 'WrongTag'
    this.expected = expected
    this.tagCode = tagCode
  }
}
