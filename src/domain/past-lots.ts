/** How past lots are looked for: the words of each field, read off what was typed. */

/** Where the words are looked for: `words` anywhere in what is known of a lot, the others each in their own part of it. */
export const FIND_IN = ['words', 'client', 'colour', 'fibre', 'dye'] as const
export type FindIn = (typeof FIND_IN)[number]
/** What was typed into each field; '' asks for nothing. */
export type LotsAsk = Record<FindIn, string>

/** More words than this do not find a lot better. */
export const MOST_WORDS = 12

const WORD = /[\p{L}\p{N}][\p{L}\p{N}\p{M}]*/gu

/** The words of a text: letters and figures count, every other sign only parts them. */
export function wordsIn(text: string): string[] {
  return [...text.matchAll(WORD)].map(([word]) => word)
}

/** The words that a field is looked through for: its first `MOST_WORDS`. */
export const wordsAsked = (text: string): string[] => wordsIn(text).slice(0, MOST_WORDS)

/** Whether a field holds more words than are looked for. */
export const isShortened = (ask: LotsAsk): boolean => FIND_IN.some(field => wordsIn(ask[field]).length > MOST_WORDS)

/** Whether a field was filled in without a single letter or figure: no lot answers to that. */
export const asksInSignsOnly = (ask: LotsAsk): boolean =>
  FIND_IN.some(field => ask[field].trim() !== '' && wordsIn(ask[field]).length === 0)

/** Lots that went back stand first: they are what is looked for here. Each part keeps its order. */
export const finishedFirst = <L extends { closedAt: string | null }>(lots: readonly L[]): L[] => [
  ...lots.filter(({ closedAt }) => closedAt !== null),
  ...lots.filter(({ closedAt }) => closedAt === null),
]

/** The number of a lot that was typed by itself: "214", "lot 214", "Lot #214"; null for anything else. */
export function lotNumberIn(words: string): number | null {
  const number = /^\s*(?:lot\s*)?#?\s*(\d{1,9})\s*$/i.exec(words)?.[1]
  return number === undefined ? null : Number(number)
}
