/** How a drop-off came, as its form tells it: everything here is left empty in the everyday case. */
import { z } from 'zod'
import {
  AGREED_HOW,
  type Agreement,
  CONDITIONS_FOUND,
  type Faults,
  type ReturnableIn,
  readReturnables,
  THICK_ENDS,
  TIE_KINDS,
  TIE_PLACES,
  type Tying,
} from '../domain/arrival.js'
import { OFFCUTS, PHOTOGRAPHS } from '../domain/client.js'
import { read, unread } from '../domain/refusal.js'
import { refuseWithoutAuthority } from '../store/arrivals.js'
import type { Came, LotCame, ToldNow } from '../store/drop-off.js'
import { choice, group, optionalText, readBy, tick, ticks } from './kit/fields.js'

const MOST_RETURNABLES = 30

/** What came along, one to a line. */
export const returnables = readBy<ReturnableIn[]>(typed => {
  const all = readReturnables(typed)
  if (all.length > MOST_RETURNABLES) return unread(`${MOST_RETURNABLES} things that came along can be listed at most.`)
  const long = all.some(({ words }) => words.length > 200)
  return long
    ? unread('What came along: each line can hold 200 characters at most; shorten it, or put the rest in a note.')
    : read(all)
})

/** Said of the whole commission; the page on how it came asks the same again. */
export const arrivalFields = {
  broughtBy: optionalText('Who brought it'),
  authority: optionalText('By what right', 500),
  gathered: optionalText('Where it was gathered', 2000),
  gatheredMayBeTold: tick,
}

const cameFields = {
  ...arrivalFields,
  offcuts: choice('Offcuts and lost ties', ['', ...OFFCUTS]),
  returnables,
  wishes: optionalText('Handling wishes', 2000),
  wishesAnswer: choice('Handling wishes', ['', 'nothing special', 'rather not say']),
  wishesSaidBy: optionalText('Who said so'),
  photographs: choice('Photographs', ['', ...PHOTOGRAPHS]),
  agreed: choice('Agreed with the client', ['', ...AGREED_HOW, 'not yet']),
  agreedWords: optionalText('What was said about it', 500),
}

export const cameForm = group(cameFields)

export const lotCameFields = {
  found: ticks(CONDITIONS_FOUND),
  faults: choice('Faults that the client tells', ['', 'not asked', 'client says no faults']),
  faultsWords: optionalText('Faults that the client tells', 1000),
  keepApart: optionalText('Why it is kept apart', 500),
  tiePlace: choice('Where it is tied', ['', ...TIE_PLACES]),
  tieKind: choice('How it is tied', ['', ...TIE_KINDS]),
  thickEnd: choice('Thick ends', ['', ...THICK_ENDS]),
}

/** The names of these fields, as they are added to each lot of the form. */
export const LOT_CAME_NAMES = ['faults', 'faultsWords', 'keepApart', 'tiePlace', 'tieKind', 'thickEnd'] as const

const lotCameForm = z.object(lotCameFields)
type LotCameForm = z.output<typeof lotCameForm>

export const faultsIn = (chosen: string, words: string): Faults => {
  if (words !== '') return { faults: 'told', words }
  return { faults: chosen === 'client says no faults' ? chosen : 'not asked', words: '' }
}

/** How a lot came; where nothing was chosen of its tying, as is usual here or with this client. */
export const lotCameIn = (lot: LotCameForm, usual: Tying): LotCame => ({
  found: lot.found,
  tying: {
    tiePlace: lot.tiePlace || usual.tiePlace,
    tieKind: lot.tieKind || usual.tieKind,
    thickEnd: lot.thickEnd || usual.thickEnd,
  },
  faults: faultsIn(lot.faults, lot.faultsWords),
  keepApart: lot.keepApart,
})

export type CameForm = z.output<typeof cameForm>

/** Agreed as it is read back, by word of mouth and on that day, unless something else is chosen there. */
function agreedIn({ agreed, agreedWords }: CameForm, today: string): Agreement | null {
  if (agreed === 'not yet') return null
  return { how: agreed === '' ? 'spoken' : agreed, agreedOn: today, words: agreedWords }
}

export function cameIn(form: CameForm, today: string): Came {
  const { broughtBy, authority, gathered, gatheredMayBeTold, returnables, offcuts } = form
  refuseWithoutAuthority({ broughtBy, authority })
  return {
    broughtBy,
    authority: broughtBy === '' ? '' : authority,
    gathered,
    gatheredMayBeTold,
    returnables,
    agreed: agreedIn(form, today),
    ...(offcuts === '' ? {} : { offcuts }),
  }
}

/** What the client answers today of what is asked once; it takes the place of what stood in their record. */
export function toldIn({ wishes, wishesAnswer, wishesSaidBy, photographs }: CameForm): ToldNow {
  const answered = wishes !== '' ? 'told' : wishesAnswer
  return {
    ...(answered === '' ? {} : { wishes, wishesAnswer: answered, wishesSaidBy }),
    ...(photographs === '' ? {} : { photographs }),
  }
}
