/** What the chain of custody goes through, and by which columns. */

/** A table whose rows are linked by these columns; `parts` are the rows of a second table that belong to each of them. */
export type Chained = {
  table: string
  /** Its number, where that is not `id`. */
  key?: string
  /** Linked as it was first written; what was put right since is told by lines of `correction`. */
  isPutRight?: true
  /** Words that are linked by a seal, so that they can be erased. */
  isSealed?: true
  columns: readonly string[]
  parts?: { table: string; of: string; columns: readonly string[] }
}

/**
 * What is linked, in the order in which records of one transaction are. Only columns that are never changed, or only put
 * right, and none that a person's erasure empties. A column that a later migration adds is not put into an old list: its links are made.
 */
export const CHAINED: readonly Chained[] = [
  { table: 'lot', isPutRight: true, columns: ['commission_id', 'fibre_id'] },
  { table: 'bundle', isPutRight: true, columns: ['lot_id', 'n', 'ties_in', 'dry_weight_g', 'weight_typed'] },
  {
    table: 'bundle_arrival',
    key: 'bundle_id',
    isPutRight: true,
    columns: ['at', 'worker_id', 'found', 'words', 'tie_place', 'tie_kind', 'thick_end'],
  },
  { table: 'correction', columns: ['of_table', 'row_id', 'field', 'was', 'became', 'why', 'at', 'worker_id'] },
  {
    table: 'agreement',
    columns: ['commission_id', 'how', 'agreed_on', 'at', 'worker_id'],
    parts: {
      table: 'agreed_lot',
      of: 'agreement_id',
      columns: ['lot_id', 'colour', 'dye_id', 'route', 'ties_undyed'],
    },
  },
  { table: 'tag', columns: ['code', 'bundle_id', 'made_at', 'replaces'] },
  { table: 'receipt', columns: ['commission_id', 'n', 'at', 'worker_id'], isSealed: true },
  {
    table: 'photograph',
    columns: ['hash', 'lot_id', 'bundle_id', 'moment', 'at', 'worker_id', 'width_px', 'height_px', 'bytes'],
  },
  { table: 'recipe', columns: ['lot_id', 'part_of', 'dry_weight_g', 'job', 'answer', 'made_at', 'made_by'] },
  {
    table: 'load',
    isPutRight: true,
    columns: ['pot_id', 'recipe_id', 'dry_weight_g', 'laid_at', 'laid_by'],
    parts: { table: 'load_bundle', of: 'load_id', columns: ['bundle_id', 'from_place', 'ties_on'] },
  },
  {
    table: 'shared_bath',
    key: 'load_id',
    columns: ['told_apart', 'at', 'worker_id'],
    parts: { table: 'load_lot', of: 'load_id', columns: ['lot_id', 'recipe_id', 'dry_weight_g'] },
  },
  {
    table: 'bath_log',
    columns: [
      ...['load_id', 'at', 'entered_at', 'worker_id', 'kind', 'step_n', 'substance_id'],
      ...['amount', 'unit', 'typed', 'water', 'words', 'undoes'],
    ],
  },
  { table: 'load_weighed', columns: ['load_id', 'n', 'amount', 'typed', 'at', 'worker_id'] },
  { table: 'counted_out', columns: ['log_id', 'lot_id', 'bundles'] },
  { table: 'outcome', columns: ['lot_id', 'at', 'worker_id', 'swatch', 'nearness', 'words'] },
  {
    table: 'hand_back',
    columns: ['commission_id', 'worker_id', 'at'],
    parts: {
      table: 'hand_back_bundle',
      of: 'hand_back_id',
      columns: [
        ...['bundle_id', 'found', 'tied_again', 'ties_in', 'ties_back', 'ties_replaced'],
        ...['weight_g', 'condition', 'explanation'],
      ],
    },
  },
  { table: 'wet_cloth', columns: ['lot_id', 'grade', 'least', 'why', 'words', 'at', 'worker_id'] },
  { table: 'day_promise', columns: ['lot_id', 'day', 'earliest', 'how', 'told_on', 'at', 'worker_id'] },
  { table: 'step_overrun', columns: ['load_id', 'step_n', 'minutes', 'at', 'worker_id'] },
  {
    table: 'incident',
    columns: ['lot_id', 'kind', 'found_at', 'entered_at', 'worker_id', 'what_happened'],
    parts: { table: 'incident_bundle', of: 'incident_id', columns: ['bundle_id'] },
  },
  { table: 'incident_word', columns: ['incident_id', 'kind', 'at', 'entered_at', 'worker_id'] },
  { table: 'spot_move', columns: ['bundle_id', 'from_spot_id', 'to_spot_id', 'at', 'worker_id', 'why'] },
  { table: 'shelf_count_bundle', columns: ['count_id', 'bundle_id'] },
  { table: 'shelf_count_seen', columns: ['count_id', 'bundle_id', 'seen', 'at', 'worker_id'] },
  { table: 'shelf_count_finding', columns: ['count_id', 'bundle_id', 'finding'] },
  { table: 'shelf_count_answer', columns: ['finding_id', 'answer', 'incident_id', 'at', 'worker_id'] },
  {
    table: 'tie_event',
    columns: [
      ...['bundle_id', 'kind', 'count', 'tied', 'load_id', 'at', 'worker_id', 'words'],
      ...['ties_on', 'ties_off', 'ties_lost', 'ties_replaced'],
    ],
  },
  { table: 'move', columns: ['bundle_id', 'from_place', 'to_place', 'load_id', 'at', 'worker_id', 'why'] },
  {
    table: 'history',
    columns: ['at', 'worker_id', 'commission_id', 'lot_id', 'load_id', 'what', 'was', 'became', 'words'],
  },
]

export const CHAINED_TABLES = CHAINED.map(({ table }) => table)

const NAMES: Readonly<Record<string, string>> = {
  bundle_arrival: 'how bundle',
  bath_log: 'line of a bath log',
  correction: 'line of what was put right',
  load_weighed: 'weighing',
  shared_bath: 'shared bath',
  counted_out: 'count',
  hand_back: 'hand-back',
  wet_cloth: 'wet cloth',
  day_promise: 'promised day',
  step_overrun: 'step that ran over',
  incident_word: 'line about an incident',
  history: 'line of the history',
  spot_move: 'change of spot',
  tie_event: 'line of the tie board',
  shelf_count_bundle: 'line of a shelf count',
  shelf_count_seen: 'sighting of a shelf count',
  shelf_count_finding: 'finding of a shelf count',
  shelf_count_answer: 'answer to a shelf count',
}
/** What a record of this table is called; one of how a bundle came reads "how bundle 3 came". */
export function nameOfRecord(table: string, id: number): string {
  const name = `${NAMES[table] ?? table} ${id}`
  return table === 'bundle_arrival' ? `${name} came` : name
}
