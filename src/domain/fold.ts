/** Words as they are compared: without case, accents or doubled spaces, so that "José" is found by "jose". */
export const fold = (words: string): string =>
  words
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .toLowerCase()
    .replace(/\s+/g, ' ')
    .trim()
