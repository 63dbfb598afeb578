/** What is different between two wordings of one entry of the catalogue, for its page. */
import type { EntryKind, Figure } from './catalogue.js'
import { type Entry, figuresOf } from './catalogue-entry.js'
import { sayFigure } from './say-quantity.js'
import { saySource } from './say-source.js'

export type ChangedField = { label: string; was: string; became: string }

const sayKnown = (figure: Figure | null, unit: string): string =>
  figure === null ? 'not known' : `${sayFigure(figure.value, 6)} ${unit} (${saySource(figure.provenance)})`

/** The figures that changed, then the words; both wordings are of the same kind of entry. */
export function changedFields(was: Entry, became: Entry): ChangedField[] {
  return [...changedFigures(was, became), ...changedWords(was.kind, was.entry, became.entry)]
}

function changedFigures(was: Entry, became: Entry): ChangedField[] {
  const before = figuresOf(was)
  return figuresOf(became).flatMap(({ path, label, unit, figure }) => {
    const old = before.find(one => one.path === path)
    const [from, to] = [sayKnown(old?.figure ?? null, unit), sayKnown(figure, unit)]
    return from === to ? [] : [{ label, was: from, became: to }]
  })
}

const WORDS: Record<EntryKind, [string, string][]> = {
  fibre: [
    ['name', 'name'],
    ['latin', 'Latin name'],
    ['words', 'what to know'],
  ],
  substance: [
    ['name', 'name'],
    ['latin', 'Latin name'],
    ['words', 'what to know'],
    ['care', 'usual care'],
  ],
  rule: [
    ['name', 'name'],
    ['severity', 'how bad'],
    ['words', 'what it says'],
    ['provenance', 'where it comes from'],
  ],
}

function changedWords(kind: EntryKind, was: object, became: object): ChangedField[] {
  const [before, after] = [new Map(Object.entries(was)), new Map(Object.entries(became))]
  return WORDS[kind].flatMap(([field, label]) => {
    const [from, to] = [sayWords(before.get(field)), sayWords(after.get(field))]
    return from === to ? [] : [{ label, was: from, became: to }]
  })
}

function sayWords(value: unknown): string {
  if (value === null || value === undefined || value === '') return 'nothing'
  if (Array.isArray(value)) return value.length === 0 ? 'nothing' : value.join(' ')
  if (typeof value === 'object' && 'kind' in value && 'source' in value) return `${value.kind}: ${value.source}`
  return String(value)
}
