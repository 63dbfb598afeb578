export const SETTLES = ['paid', 'trade', 'gift'] as const
/** How a client settles, or how one commission is settled. */
export type Settles = (typeof SETTLES)[number]

export const PHOTOGRAPHS = ['not asked', 'yes', 'yes, not to show', 'no'] as const
/** Whether this client's fibre may be photographed; "not asked" is not a yes. */
export type Photographs = (typeof PHOTOGRAPHS)[number]

export const WISHES_ANSWERS = ['not asked', 'told', 'nothing special', 'rather not say'] as const
/** Whether a client was asked how the material may be handled; the last two are full answers. */
export type WishesAnswer = (typeof WISHES_ANSWERS)[number]

/** Wishes that were told are told, whatever else was ticked. */
export const wishesAnswerOf = (words: string, ticked: WishesAnswer = 'not asked'): WishesAnswer =>
  words !== '' ? 'told' : ticked === 'told' ? 'not asked' : ticked

export const SHARES_BATH = ['not asked', 'may', 'never'] as const
/** Whether this client's fibre may share a bath with that of others; "not asked" is not a yes. */
export type SharesBath = (typeof SHARES_BATH)[number]
export const SHARES_BATH_WORDS: Readonly<Record<SharesBath, string>> = {
  'not asked': 'not asked yet, so it has a bath to itself',
  may: 'may share one, when each can be told apart',
  never: 'never',
}

export const OFFCUTS = ['back to the client', 'kept by the dyer for samples', 'composted'] as const
/** Where offcuts and lost ties that are found again go. */
export type Offcuts = (typeof OFFCUTS)[number]

/** What is written down of a client, as the form says it, in its order. */
const FIELDS: Readonly<Record<string, string>> = {
  name: 'Full name',
  mark: 'Mark',
  contact: 'How to reach them',
  settles: 'How they settle',
  wishes: 'Handling wishes',
  wishesSaidBy: 'Who said the wishes',
  wishesAnswer: 'Asked for wishes',
  photographs: 'Photographs',
  offcuts: 'Offcuts and lost ties',
  sharesBath: 'One bath with the fibre of others',
  note: 'Note',
}

type Fields = Readonly<Record<string, string | undefined>>

/** What was changed, a line for each field: "Mark: from nothing to “IM”". */
export const sayClientChange = (was: Fields, became: Fields): string[] =>
  Object.entries(FIELDS)
    .filter(([field]) => field in became)
    .map(([field, label]) => `${label}: from ${quoted(was[field])} to ${quoted(became[field])}`)

const quoted = (words = ''): string => (words === '' ? 'nothing' : `“${words}”`)
