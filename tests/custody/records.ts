/** All records of a workshop as text, so that what an action changed can be seen to the last byte. */
import type { Database } from 'better-sqlite3'

/** The rows of each table, in the order of their keys. */
export type Records = ReadonlyMap<string, readonly string[]>

/** A form's one-time key, a browser's visit and an address made by chance are no part of what happens to fibre. */
const BESIDES = ['press', 'session', 'client_page', 'calendar_feed']

/** Tables that only ever grow: an earlier row stays as it was, byte for byte. */
export const APPEND_ONLY = [
  'history',
  'move',
  'bath_log',
  'recipe',
  'outcome',
  'description',
  'load_bundle',
  'load_lot',
  'shared_bath',
  'counted_out',
  'load_step',
  'load_line',
  'load_weighed',
  'hand_back',
  'hand_back_lot',
  'hand_back_bundle',
  'hand_back_person',
  'hand_back_note',
  'found_again',
  'release_mark',
  'client_told',
  'client_change',
  'catalogue_change',
  'workshop_change',
  'arrival',
  'lot_arrival',
  'correction',
  'agreement',
  'agreed_lot',
  'receipt',
  'tag_print',
  'chain',
  'chain_table',
  'wet_cloth',
  'day_promise',
  'kept_plan',
  'step_overrun',
  'tie_event',
  'erasure',
  'incident_bundle',
  'incident_word',
  'spot_move',
  'shelf_count_bundle',
  'shelf_count_seen',
  'shelf_count_finding',
  'shelf_count_answer',
] as const

/** Columns that are made by chance, so that no two workshops have the same: a receipt's grain, and what is reckoned from it. */
const BY_CHANCE: Readonly<Record<string, string>> = { receipt: 'grain', chain: 'hash' }

export function recordsOf(raw: Database): Records {
  const tables = raw.prepare("select name from sqlite_master where type = 'table' order by name").pluck().all()
  return new Map(
    tables
      .map(String)
      .filter(name => !BESIDES.includes(name))
      .map(name => [name, rowsOf(raw, name)]),
  )
}

/** Each as one text. */
function rowsOf(raw: Database, table: string): string[] {
  const all = raw.prepare<[], unknown[]>(`select * from "${table}"`).raw()
  const byChance = all.columns().findIndex(({ name }) => name === BY_CHANCE[table])
  return all.all().map(row => JSON.stringify(row.filter((_, column) => column !== byChance)))
}

const shown = (row: string): string => (row.length > 300 ? `${row.slice(0, 300)}…` : row)

/** Every row that is in one of the two and not in the other. */
export function differences(before: Records, after: Records): string[] {
  return [...after].flatMap(([table, rows]) => {
    const were = before.get(table) ?? []
    if (were.length === rows.length && were.every((row, at) => row === rows[at])) return []
    const [old, young] = [new Set(were), new Set(rows)]
    return [
      ...were.filter(row => !young.has(row)).map(row => `- ${table} ${shown(row)}`),
      ...rows.filter(row => !old.has(row)).map(row => `+ ${table} ${shown(row)}`),
    ]
  })
}

/** Rows of tables that only grow, which are no longer there as they were. */
export function rewritten(before: Records, after: Records): string[] {
  return APPEND_ONLY.flatMap(table => {
    const rows = new Set(after.get(table))
    return (before.get(table) ?? []).filter(row => !rows.has(row)).map(row => `${table}: ${shown(row)}`)
  })
}
