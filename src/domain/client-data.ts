/** What the parts of a client's records are called, for whoever reads them on paper. A part without words has its name. */
export const TABLE_WORDS: Readonly<Record<string, string>> = {
  client: 'Who they are',
  client_change: 'What was changed about them',
  client_page: 'Their own pages',
  timed_wish: 'Wishes about days',
  erasure: 'That they were erased',
  commission: 'Commissions',
  arrival: 'How each commission came',
  returnable: 'What came along and goes back',
  unmet_wish: 'Wishes that could not be met',
  agreement: 'What was agreed, when and how',
  receipt: 'Receipts',
  release_mark: 'Marks: do not release',
  hand_back: 'Hand-backs',
  hand_back_person: 'Who received them',
  hand_back_note: 'Notes beside the slips',
  hand_back_lot: 'Lots of each hand-back',
  hand_back_bundle: 'Bundles of each hand-back',
  lot: 'Lots',
  lot_arrival: 'What was said of each lot',
  agreed_lot: 'What was agreed of each lot',
  keep_apart: 'Lots kept apart',
  recipe: 'Recipes',
  wet_cloth: 'What a wet cloth showed',
  day_promise: 'Days that were promised',
  outcome: 'What came out',
  photograph: 'Photographs',
  description: 'How it looked, in words',
  client_told: 'When they were told',
  incident: 'What went wrong',
  incident_bundle: 'With which bundles it went wrong',
  incident_word: 'What was done about it',
  plan_pin: 'What was settled of the plan',
  bundle: 'Bundles',
  bundle_arrival: 'How each bundle came',
  correction: 'What was put right',
  bundle_check: 'Checks before hand-back',
  found_again: 'Bundles found again',
  tag: 'Tags',
  tag_print: 'When tags were printed',
  move: 'Moves of each bundle',
  tie_event: 'What became of each tie',
  spot_move: 'Spots of each bundle',
  shelf_count_bundle: 'Shelf counts they were listed in',
  shelf_count_seen: 'When they were seen at a shelf count',
  shelf_count_finding: 'What shelf counts found',
  shelf_count_answer: 'What was missing or unexpected, answered',
  load: 'Loads',
  load_bundle: 'Bundles of each load',
  load_lot: 'Their share of each load',
  counted_out: 'Bundles counted out of a shared bath',
  load_step: 'Steps of each load',
  load_line: 'What was to be weighed out',
  load_weighed: 'What was weighed out',
  step_overrun: 'Steps that ran over',
  bath_log: 'Bath logs',
  history: 'Everything that was done',
}

/**
 * Words that are written about the fibre and what came with it, by table and column: they stay when the person is erased,
 * and the dyer sees them before. Most of them are linked in the chain of custody.
 */
export const WORDS_THAT_STAY: Readonly<Record<string, readonly string[]>> = {
  commission: ['purpose'],
  returnable: ['words', 'why'],
  lot: ['colour', 'against'],
  agreed_lot: ['colour'],
  lot_arrival: ['faults_words'],
  bundle: ['condition', 'how_tied'],
  bundle_arrival: ['words'],
  correction: ['was', 'became', 'why'],
  keep_apart: ['why', 'release_note'],
  tag: ['void_why'],
  move: ['why'],
  spot_move: ['why'],
  tie_event: ['words'],
  shelf_count_answer: ['words'],
  bath_log: ['words'],
  wet_cloth: ['why', 'words'],
  outcome: ['words'],
  description: ['words'],
  incident: ['what_happened', 'outcome'],
  bundle_check: ['explanation'],
  hand_back_bundle: ['explanation'],
  hand_back_lot: ['stays_words'],
  found_again: ['words'],
  history: ['words'],
}

/** What of these words there is, each once, part by part. */
export function wordsThatStay(data: Readonly<Record<string, readonly Row[]>>): { part: string; words: string[] }[] {
  return Object.entries(WORDS_THAT_STAY)
    .map(([table, columns]) => {
      const said = (data[table] ?? []).flatMap(row => columns.map(column => row[column]))
      const words = said.filter(word => typeof word === 'string' && word.trim() !== '').map(String)
      return { part: TABLE_WORDS[table] ?? table, words: [...new Set(words)] }
    })
    .filter(({ words }) => words.length > 0)
}

type Row = Readonly<Record<string, unknown>>

/** The same moment so many years before (ISO, UTC); of 29 February it is 1 March where there is none. */
export function yearsBefore(at: string, years: number): string {
  const then = new Date(at)
  then.setUTCFullYear(then.getUTCFullYear() - years)
  return then.toISOString()
}

/** A table as comma-separated values by RFC 4180: a first line of names, CRLF, quotes where they are needed. */
export function toCsv(rows: readonly Row[]): string {
  const [first] = rows
  if (first === undefined) return ''
  const names = Object.keys(first)
  const lines = [names.map(cell), ...rows.map(row => names.map(name => cell(row[name])))]
  return lines.map(cells => `${cells.join(',')}\r\n`).join('')
}

/** A cell that a spreadsheet would run as a formula is kept from it by a leading apostrophe, which it shows as text. */
function cell(value: unknown): string {
  const text = value === null || value === undefined ? '' : String(value)
  const tame = typeof value === 'string' && /^[=+\-@\t\r]/.test(text) ? `'${text}` : text
  return /[",\r\n]/.test(tame) ? `"${tame.replaceAll('"', '""')}"` : tame
}
