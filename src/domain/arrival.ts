/** How fibre came: its condition, how it is tied, what came along and what is agreed, in a few agreed words. */
import { fold } from './fold.js'

/** What can be seen of a bundle when it comes; none of these is "as expected". Common practice, no source. */
export const CONDITIONS_FOUND = [
  'damp',
  'brittle',
  'mould seen',
  'insects seen',
  'torn strips',
  'dyed or treated before',
  'mixed widths',
  'dirty',
  'smells of smoke',
] as const
export type ConditionFound = (typeof CONDITIONS_FOUND)[number]

/** What spreads from one lot to another: such a lot is kept apart without anybody asking. Common practice, no source. */
const SPREADS: readonly ConditionFound[] = ['mould seen', 'insects seen']

export const FAULTS = ['not asked', 'client says no faults', 'told'] as const
/** What the client says is wrong with the fibre: nothing is another answer than not asked. */
export type Faults = { faults: (typeof FAULTS)[number]; words: string }

const UNKNOWN = 'not written down'
export const TIE_PLACES = [UNKNOWN, 'in the middle', 'near one end', 'near both ends', 'all along'] as const
export const TIE_KINDS = [UNKNOWN, 'wrapped and tucked', 'a knot', 'a bow', 'looped through itself'] as const
export const THICK_ENDS = [UNKNOWN, 'thick end first', 'thin end first', 'ends in turn'] as const
export type Tying = {
  tiePlace: (typeof TIE_PLACES)[number]
  tieKind: (typeof TIE_KINDS)[number]
  thickEnd: (typeof THICK_ENDS)[number]
}
export const TYING_UNKNOWN: Tying = { tiePlace: UNKNOWN, tieKind: UNKNOWN, thickEnd: UNKNOWN }

export const RETURNABLE_KINDS = ['wrapper', 'container', 'sample', 'pattern', 'note', 'other'] as const
export type ReturnableKind = (typeof RETURNABLE_KINDS)[number]
export type ReturnableIn = { kind: ReturnableKind; words: string }

export const AGREED_HOW = ['spoken', 'message', 'signed'] as const
export type AgreedHow = (typeof AGREED_HOW)[number]
/** How and on which day (YYYY-MM-DD) a plan was agreed, and what was said about it or ''. */
export type Agreement = { how: AgreedHow; agreedOn: string; words: string }

/** The one tying, and where it is not written down the other. */
export const knownOrElse = (one: Tying, other: Tying): Tying => ({
  tiePlace: one.tiePlace === UNKNOWN ? other.tiePlace : one.tiePlace,
  tieKind: one.tieKind === UNKNOWN ? other.tieKind : one.tieKind,
  thickEnd: one.thickEnd === UNKNOWN ? other.thickEnd : one.thickEnd,
})

/** The parts of what was typed: "damp; a little mould, brittle" has three. */
const parts = (typed: string): string[] => typed.split(/[,;.\n]/).map(fold)

const among = <W extends string>(words: readonly W[], typed: string): W[] =>
  words.filter(word => parts(typed).includes(fold(word)))

/** The agreed words that stand as a part of what was typed of one bundle, beside those that are said of its whole lot. */
export const conditionFound = (ofLot: readonly ConditionFound[], typed: string): ConditionFound[] => {
  const own = among(CONDITIONS_FOUND, typed)
  return CONDITIONS_FOUND.filter(word => ofLot.includes(word) || own.includes(word))
}

/** How one bundle is tied: as its lot is, unless agreed words in what was typed of it say otherwise. */
export const tyingOf = (ofLot: Tying, typed: string): Tying => ({
  tiePlace: among(TIE_PLACES, typed)[0] ?? ofLot.tiePlace,
  tieKind: among(TIE_KINDS, typed)[0] ?? ofLot.tieKind,
  thickEnd: among(THICK_ENDS, typed)[0] ?? ofLot.thickEnd,
})

/** "tied near one end, a knot, thick end first"; '' when nothing is written down. */
export const sayTying = ({ tiePlace, tieKind, thickEnd }: Tying): string => tiedWith([tiePlace, tieKind, thickEnd])

const tiedWith = (words: readonly string[]): string => {
  const known = words.filter(word => word !== UNKNOWN)
  return known.length === 0 ? '' : `tied ${known.join(', ')}`
}

/** The same with the words that were written of the bundle, nothing said twice. */
export function sayHowTied({ tiePlace, tieKind, thickEnd }: Tying, words: string): string {
  const own = parts(words)
  const beside = [tiePlace, tieKind, thickEnd].filter(word => !own.includes(word))
  return [tiedWith(beside), words.trim()].filter(Boolean).join('; ')
}

const AS_EXPECTED = 'as expected'

/** "damp; a little at one end"; "as expected" when there is nothing to say. */
export function sayCondition(found: readonly string[], words: string): string {
  const own = parts(words)
  const told = fold(words) === AS_EXPECTED ? '' : words.trim()
  const said = [...found.filter(word => !own.includes(fold(word))), told].filter(Boolean)
  return said.length === 0 ? AS_EXPECTED : said.join('; ')
}

/** Why a lot is kept apart although nobody said so, or ''. */
export const whyApartAnyway = (found: readonly ConditionFound[]): string =>
  SPREADS.filter(word => found.includes(word)).join(', ')

/** What came along, one to a line, its kind by the word that stands in it: "the wrapper, blue cloth". */
export function readReturnables(typed: string): ReturnableIn[] {
  const lines = typed.split(/[\n;]/).map(line => line.trim())
  return lines.filter(Boolean).map(words => ({ kind: kindOf(words), words }))
}

const CALLED: [RegExp, ReturnableKind][] = [
  [/\b(wrap|cloth|bag|sack|blanket|paper bag)/, 'wrapper'],
  [/\b(container|box|basket|crate|tub|bucket|tray)/, 'container'],
  [/\b(sample|swatch)/, 'sample'],
  [/\b(pattern|drawing|template)/, 'pattern'],
  [/\b(note|letter|list|label)/, 'note'],
]
const kindOf = (words: string): ReturnableKind => {
  const said = fold(words)
  const called = RETURNABLE_KINDS.find(kind => kind !== 'other' && said.includes(kind))
  return called ?? CALLED.find(([word]) => word.test(said))?.[1] ?? 'other'
}

/** What of a lot is agreed with its client. */
export type Plan = { colour: string; dyeId: string; route: string; tiesUndyed: boolean }

/** Whether what is asked of a lot now is what was agreed; another colour or another way to it is not. */
export const isAgreed = (asked: Plan, agreed: Plan | undefined): boolean =>
  agreed !== undefined &&
  asked.colour === agreed.colour &&
  asked.dyeId === agreed.dyeId &&
  asked.route === agreed.route &&
  asked.tiesUndyed === agreed.tiesUndyed
