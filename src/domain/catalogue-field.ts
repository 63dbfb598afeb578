/** The kinds of fields that a catalogue entry has, for pages and forms that are made from a table of them. */
import type { Bounds } from './catalogue-figures.js'

/** Entries that a field may name. */
export type Named = 'fibre' | 'dye' | 'mordant' | 'substance'

/** `path` is counted from the entry, or from the row or part that the field belongs to. */
type Place = { path: string; label: string; hint: string }

/** One line or several; `blank`: what stands in the entry when nothing was typed, undefined = something must be. */
export type TextField = Place & { is: 'text'; most: number; lines: number; blank: '' | null | undefined }
/** One of a few; `none` names the choice of none of them, which is null in the entry. `tellNone`: none is told too. */
export type ChoiceField = Place & {
  is: 'choice'
  options: readonly string[]
  none: string | null
  tellNone: boolean
}
/** Any number of a few. */
export type TicksField = Place & { is: 'ticks'; options: readonly string[] }
/** Any number of other entries, or just one. */
export type EntriesField = Place & { is: 'entries' | 'entry'; of: Named }
export type FlagField = Place & { is: 'flag' }
/** A list of sentences, one on each line. */
export type SentencesField = Place & { is: 'sentences'; most: number }
/** A figure with its source, or not known; `unitAt`: the field beside it that says its unit. */
export type FigureField = Place & Omit<Bounds, 'label'> & { is: 'figure'; unitAt: string | null }
export type SourceField = Place & { is: 'source' }
/** A list of alike rows; `one` names a row. */
export type RowsField = Place & { is: 'rows'; one: string; fields: readonly Field[] }
/** What an entry may have or not: null in the entry when it has not. */
export type PartField = Place & { is: 'part'; fields: readonly Field[] }

export type Field =
  | TextField
  | ChoiceField
  | TicksField
  | EntriesField
  | FlagField
  | SentencesField
  | FigureField
  | SourceField
  | RowsField
  | PartField

/** `whenNew`: what is asked when an entry is made and stays, since every figure rests on it. */
export type Group = { key: string; title: string; fields: readonly Field[]; whenNew: readonly Field[] }

export const group = (key: string, title: string, fields: readonly Field[], whenNew: readonly Field[] = []): Group => ({
  key,
  title,
  fields,
  whenNew,
})

export const text = (path: string, label: string, most: number, given: Partial<TextField> = {}): TextField => ({
  is: 'text',
  path,
  label,
  hint: '',
  most,
  lines: 0,
  blank: undefined,
  ...given,
})

/** With `none`, none of them is a choice too. */
export const choice = (
  path: string,
  label: string,
  options: readonly string[],
  given: Partial<ChoiceField> = {},
): ChoiceField => ({ is: 'choice', path, label, hint: '', options, none: null, tellNone: false, ...given })

export const ticks = (path: string, label: string, options: readonly string[]): TicksField => ({
  is: 'ticks',
  path,
  label,
  hint: '',
  options,
})

export const entries = (path: string, label: string, of: Named): EntriesField => ({
  is: 'entries',
  path,
  label,
  hint: '',
  of,
})

export const entry = (path: string, label: string, of: Named): EntriesField => ({
  is: 'entry',
  path,
  label,
  hint: '',
  of,
})

export const flag = (path: string, label: string): FlagField => ({ is: 'flag', path, label, hint: '' })

export const sentences = (path: string, label: string, most: number): SentencesField => ({
  is: 'sentences',
  path,
  label,
  hint: 'One sentence on each line.',
  most,
})

export const figure = (path: string, bounds: Bounds, given: Partial<FigureField> = {}): FigureField => ({
  is: 'figure',
  path,
  hint: '',
  unitAt: null,
  ...bounds,
  ...given,
})

export const source = (path: string): SourceField => ({ is: 'source', path, label: 'where it comes from', hint: '' })

export const rows = (path: string, label: string, one: string, fields: readonly Field[], hint = ''): RowsField => ({
  is: 'rows',
  path,
  label,
  hint,
  one,
  fields,
})

export const part = (path: string, label: string, fields: readonly Field[]): PartField => ({
  is: 'part',
  path,
  label,
  hint: '',
  fields,
})
