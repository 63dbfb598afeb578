/**
 * A name signed with a finger: strokes of straight lines on a field of 600 by 200, written as path data of whole
 * numbers ("M12 34L15 36…"). Nothing but numbers, M and L ever becomes part of a drawing.
 */
import { type Read, read, unread } from './refusal.js'

export const SIGNATURE_FIELD = { width: 600, height: 200 } as const
/** Longer than any name: a finger that is never lifted is asked to begin again. */
export const LONGEST_SIGNATURE = 20_000

const STROKES = /^(M\d{1,3} \d{1,3}(L\d{1,3} \d{1,3})*)+$/
const isInField = (point: RegExpMatchArray): boolean =>
  Number(point[1]) <= SIGNATURE_FIELD.width && Number(point[2]) <= SIGNATURE_FIELD.height

/** A dot is no name: there must be lines to see. */
const FEWEST_LINES = 3

/** Reads what the signing field made; '' is an answer: nobody signed. */
export function readSignature(typed: string): Read<string> {
  if (typed === '') return read('')
  if (typed.length > LONGEST_SIGNATURE) return unread('The signature has too many lines. Clear it and sign again.')
  const points = [...typed.matchAll(/[ML](\d+) (\d+)/g)]
  if (!STROKES.test(typed) || !points.every(isInField))
    return unread('The signature did not arrive whole. Clear it and sign again.')
  if ((typed.match(/L/g) ?? []).length < FEWEST_LINES)
    return unread('The signature is only a dot. Clear it and sign again, or choose another answer.')
  return read(typed)
}
