/** Who receives what goes back, by what right, how, and how that is acknowledged. */
import { fold } from './fold.js'
import { SAYS_SOMETHING } from './hand-back.js'

export const HOW_HANDED = ['in person', 'by carrier'] as const
export type HowHanded = (typeof HOW_HANDED)[number]

export const ACKNOWLEDGED = ['on paper', 'on the screen', 'not signed'] as const
export type Acknowledged = (typeof ACKNOWLEDGED)[number]

export type Handover = {
  /** Why somebody who is neither the owner nor the person who brought the bundles may have them; else ''. */
  authority: string
  how: HowHanded
  /** The carrier and its number for the parcel; '' in person. */
  reference: string
  acknowledged: Acknowledged
  notSignedBecause: string
  /** Path data, see signature.ts; '' when nothing was signed on the screen. */
  signature: string
}

/** Everyday: they stand at the table, and sign the slip. */
export const EVERYDAY: Handover = {
  authority: '',
  how: 'in person',
  reference: '',
  acknowledged: 'on paper',
  notSignedBecause: '',
  signature: '',
}

/** Whether a name is one of those who may have the bundles without being asked why: the owner, or who brought them. */
export const isKnownReceiver = (toWhom: string, known: readonly string[]): boolean =>
  known.some(name => fold(name) !== '' && fold(name) === fold(toWhom))

export type HandoverTrouble = { field: keyof Handover; sentence: string }

const says = (words: string): boolean => SAYS_SOMETHING.test(words)

/** What is missing about a handover; [] for nothing. */
export function handoverTroubles(toWhom: string, known: readonly string[], given: Handover): HandoverTrouble[] {
  const all: (HandoverTrouble | false)[] = [
    !isKnownReceiver(toWhom, known) &&
      !says(given.authority) && {
        field: 'authority',
        sentence: `${toWhom} is neither the owner nor the one who brought the bundles: say by what right they receive them.`,
      },
    given.how === 'by carrier' &&
      !says(given.reference) && { field: 'reference', sentence: 'Name the carrier, and its number for the parcel.' },
    given.acknowledged === 'on the screen' &&
      given.signature === '' && {
        field: 'signature',
        sentence: 'Nobody has signed yet: sign in the field, or choose another answer.',
      },
    given.acknowledged === 'not signed' &&
      !says(given.notSignedBecause) && { field: 'notSignedBecause', sentence: 'Say why it is not signed.' },
  ]
  return all.filter(trouble => trouble !== false)
}

/** What belongs to another answer is not kept: a number without a carrier, a signature beside "on paper". */
export const settled = (given: Handover): Handover => ({
  ...given,
  reference: given.how === 'by carrier' ? given.reference : '',
  notSignedBecause: given.acknowledged === 'not signed' ? given.notSignedBecause : '',
  signature: given.acknowledged === 'on the screen' ? given.signature : '',
})
