/** What is different between two wordings of one entry of the catalogue, for its page. */
import type { Entry } from './catalogue.js'
import type { Field } from './catalogue-field.js'
import { GROUPS } from './catalogue-fields.js'
import { listIn, type Names, sayField, sayRows } from './catalogue-say.js'
import { valueAt } from './json-path.js'

export type ChangedField = { label: string; was: string; became: string }

/** Field by field, in the order of the page; both wordings are of the same kind of entry. */
export function changedFields(was: Entry, became: Entry, names: Names = new Map()): ChangedField[] {
  const fields = GROUPS[became.kind].flatMap(group => [...group.fields, ...group.whenNew])
  return fields.flatMap(field => changesIn(field, was.entry, became.entry, names))
}

function changesIn(field: Field, was: unknown, became: unknown, names: Names): ChangedField[] {
  if (field.is === 'rows') return changedRows(field, valueAt(was, field.path), valueAt(became, field.path), names)
  const inside = field.is === 'part' ? field.fields : []
  const [before, after] = [valueAt(was, field.path), valueAt(became, field.path)]
  return [
    ...changed(field.label, say(field, was, names), say(field, became, names)),
    ...inside.flatMap(inner => changesIn(inner, before, after, names)),
  ]
}

const say = (field: Field, beside: unknown, names: Names): string => {
  if (beside === null || beside === undefined) return NOTHING[field.is] ?? 'nothing'
  return sayField(field, beside, names) || (NOTHING[field.is] ?? 'nothing')
}

const NOTHING: Partial<Record<Field['is'], string>> = { figure: 'not known', flag: 'no', part: 'no' }

/** The rows that are no longer there, and those that were not there before. */
function changedRows(
  field: Extract<Field, { is: 'rows' }>,
  was: unknown,
  became: unknown,
  names: Names,
): ChangedField[] {
  const [before, after] = [sayRows(field, listIn(was), names), sayRows(field, listIn(became), names)]
  const gone = before.filter(row => !after.includes(row))
  const come = after.filter(row => !before.includes(row))
  return changed(field.label, gone.join('; ') || 'nothing', come.join('; ') || 'nothing')
}

const changed = (label: string, was: string, became: string): ChangedField[] =>
  was === became ? [] : [{ label, was, became }]
