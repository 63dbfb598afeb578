/**
 * What a paper that goes out says, as a list of blocks from top to bottom: the page, the print and the PDF all draw
 * these and add no word of their own.
 */
import type { TieState } from './bundle-check.js'

/** A bundle as it is drawn beside its row. */
export type DrawnBundle = { swatch: string | null; ties: TieState[]; tiesUndyed: boolean; label: string }

export type TableRow = { cells: string[]; drawn: DrawnBundle | null }

export type Block =
  | { is: 'head'; title: string; workshop: string }
  | { is: 'facts'; rows: { name: string; words: string }[] }
  | { is: 'heading'; words: string }
  | { is: 'colour'; swatch: string | null; words: string; beside: string }
  | { is: 'words'; words: string }
  /** `strong` begins the item; `quoted` ends it, word for word, or is ''. */
  | { is: 'list'; framed: boolean; items: { strong: string; words: string; quoted: string }[] }
  | { is: 'table'; caption: string; head: string[]; rows: TableRow[]; strong: boolean }
  /**
   * Lines to sign. `above`: what is signed for, where the paper may be long and they stand on a sheet of their own; or ''.
   * `signature` is path data in signature.ts's field, or '' for a line to write on.
   */
  | { is: 'signatures'; above: string; places: { words: string; signature: string }[] }
  /** An address as a QR, with the same address in letters. */
  | { is: 'address'; words: string; address: string }

/** A heading with words below it; nothing where there are none. */
export const section = (heading: string, words: string): Block[] =>
  words === ''
    ? []
    : [
        { is: 'heading', words: heading },
        { is: 'words', words },
      ]

/** The client's own page as a QR; nothing when they have none. */
export const addressBlocks = (address: string | null): Block[] =>
  address === null ? [] : [{ is: 'address', words: 'Where your bundles are, at any time:', address }]
