/** The part of the hand-back's form that says who receives the bundles, how, and how that is acknowledged. */
import { z } from 'zod'
import { addDays, readDay } from '../domain/day.js'
import { ACKNOWLEDGED, EVERYDAY, type Handover, HOW_HANDED, handoverTroubles } from '../domain/handover.js'
import { readSignature } from '../domain/signature.js'
import { choice, optionalText, readBy, readIfTyped } from './kit/fields.js'
import type { FieldError } from './kit/form.js'

/** One of these answers; a form without the question means the everyday one. */
const usually = <const O extends string>(label: string, options: readonly O[], everyday: O) =>
  choice<O | ''>(label, ['', ...options]).transform(answer => (answer === '' ? everyday : answer))

/** A rest that stays for longer than this is a slip of the pen. */
const LONGEST_STAY_DAYS = 1100

export const handoverFields = (today: string) => ({
  scanned: optionalText('The codes of the tags', 5000),
  toWhom: optionalText('Who receives them'),
  authority: optionalText('By what right they receive them', 500),
  how: usually('How they go', HOW_HANDED, EVERYDAY.how),
  reference: optionalText('Carrier and number', 200),
  acknowledged: usually('How it is signed for', ACKNOWLEDGED, EVERYDAY.acknowledged),
  notSignedBecause: optionalText('Why it is not signed', 500),
  signature: readBy(readSignature),
  staysUntil: readIfTyped(typed =>
    readDay(typed, today, {
      label: 'day until which the rest stays',
      earliest: today,
      latest: addDays(today, LONGEST_STAY_DAYS),
    }),
  ),
  staysWords: optionalText('Why the rest stays', 1000),
  words: optionalText('Words for the slip', 2000),
})

const shape = (today: string) => z.object(handoverFields(today))
export type HandoverTyped = z.output<ReturnType<typeof shape>>

export const handoverOf = ({
  authority,
  how,
  reference,
  acknowledged,
  notSignedBecause,
  signature,
}: HandoverTyped): Handover => ({ authority, how, reference, acknowledged, notSignedBecause, signature })

export function troublesOfHandover(typed: HandoverTyped, known: readonly string[]): FieldError[] {
  if (typed.toWhom === '') return [{ field: 'toWhom', sentence: 'Fill in: who receives them.' }]
  return handoverTroubles(typed.toWhom, known, handoverOf(typed))
}
