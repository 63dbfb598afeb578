/** What is kept of a client, in words that they understand: the names of the fields, and what stands in them. */
import { TABLE_WORDS } from './client-data.js'

/** By column; where one table means something else by it, by "table.column". */
export const COLUMN_WORDS: Readonly<Record<string, string>> = {
  id: 'Number',
  n: 'Number in its list',
  at: 'When',
  worker_id: 'Written down by (number of the worker)',
  made_at: 'Made',
  made_by: 'Made by (number of the worker)',
  entered_at: 'Written down at',
  version: 'Its version: 1, and one more for each change',
  words: 'In words',
  why: 'Why',
  how: 'How',
  kind: 'What kind',
  what: 'What was done',
  was: 'As it was',
  became: 'As it became',
  client_id: 'Number of the client',
  commission_id: 'Number of the commission',
  lot_id: 'Number of the lot',
  bundle_id: 'Number of the bundle in the records',
  load_id: 'Number of the load',
  hand_back_id: 'Number of the slip',
  incident_id: 'Number of what went wrong',
  recipe_id: 'Number of the recipe',
  agreement_id: 'Number of the agreement',
  pot_id: 'Number of the pot',
  tag_id: 'Number of the tag',
  spot_id: 'Number of the spot where it lies',
  count_id: 'Number of the shelf count',
  finding_id: 'Number of what the shelf count found',
  log_id: 'Number of the line in the bath log',
  name: 'Name',
  name_folded: 'Name, as it is looked for',
  mark: 'Mark',
  contact: 'How to reach them',
  settles: 'How they settle',
  wishes: 'Handling wishes',
  wishes_answer: 'What they answered when asked for wishes',
  wishes_said_by: 'Who said the wishes, if not the client',
  wishes_at: 'When the wishes were said',
  photographs: 'Photographs',
  offcuts: 'Offcuts and lost ties',
  name_on_tag: 'The name stands on tags',
  shares_bath: 'One bath with others',
  note: 'Note',
  token: 'End of the address of the page',
  off_at: 'Ended',
  off_by: 'Ended by (number of the worker)',
  weekdays: 'On these weekdays',
  from_day: 'From this day on',
  to_day: 'Up to and with this day',
  yearly: 'Each year',
  from_clock: 'From this time',
  to_clock: 'Until this time',
  said: 'As it is said everywhere',
  ended_at: 'Counts no more since',
  ended_by: 'Ended by (number of the worker)',
  client_made_at: 'When the client was first written down',
  purpose: 'What it is for',
  needed_by: 'Needed by',
  day_asked: 'The client asked for that day',
  arrangement: 'Settlement',
  taken_in_at: 'Taken in',
  taken_in_by: 'Taken in by (number of the worker)',
  brought_by: 'Brought by, if not the client',
  authority: 'By what right',
  gathered: 'Where it was gathered',
  gathered_may_be_told: 'That may be told',
  terms: 'Terms of that day',
  answer: 'What became of it',
  'recipe.answer': 'The recipe, worked out',
  answered_at: 'When that was said',
  answered_by: 'Said by (number of the worker)',
  decision: 'What the client decided',
  decided_by: 'Who decided',
  decided_at: 'When it was decided',
  noted_by: 'Written down by (number of the worker)',
  agreed_on: 'Agreed on',
  content: 'What the receipt says',
  grain: 'Chance in the seal of the receipt',
  seal: 'Seal of a receipt that was erased',
  held: 'Kept from being handed back',
  reason: 'Why it is kept back, or not any more',
  closed: 'Handed back and sealed',
  workshop_name: 'Name of the workshop',
  slip_words: 'Words at the foot of the slip',
  receiver: 'Received by the client, or by another',
  reference: 'Carrier and number of the parcel',
  acknowledged: 'Signed',
  not_signed_because: 'Why it was not signed',
  facts: 'What the slip says',
  to_whom: 'Who received them',
  client_name: 'Name of the client on that day',
  client_mark: 'Mark of the client on that day',
  signature: 'Signature, as lines',
  fibre_id: 'Fibre',
  colour: 'Colour asked for',
  swatch: 'Swatch',
  route: 'How the colour is made',
  dye_id: 'Dye',
  ties_undyed: 'The ties stay undyed',
  against: 'Why it is dyed in spite of a warning',
  repeats_lot_id: 'Repeats lot',
  closed_at: 'Settled',
  'lot.closed_at': 'Wholly gone back',
  conditions: 'What was said of the fibre',
  purposes: 'What was said of its use',
  damp: 'How its dry weight was reckoned',
  faults: 'Faults told',
  faults_words: 'Which faults',
  released_at: 'Not kept apart any more since',
  released_by: 'Released by (number of the worker)',
  release_note: 'Why it need not be kept apart',
  part_of: 'Part of recipe',
  dry_weight_g: 'Dry weight (g)',
  job: 'What the recipe was worked out from',
  grade: 'How much the cloth took on (5: nothing)',
  least: 'What the workshop asks for at least',
  day: 'Day',
  earliest: 'The earliest day on that day',
  told_on: 'Told on',
  on_day: 'Told on',
  nearness: 'How near to what was asked',
  hash: 'Name of the file',
  moment: 'When in the work',
  width_px: 'Width (pixels)',
  height_px: 'Height (pixels)',
  bytes: 'Size (bytes)',
  withdrawn_at: 'Withdrawn',
  withdrawn_by: 'Withdrawn by (number of the worker)',
  withdrawn_why: 'Why it was withdrawn',
  stays_until: 'What is left stays until',
  stays_words: 'Why it stays',
  found_at: 'When it was seen',
  what_happened: 'What happened',
  outcome: 'How it was settled',
  part: 'Which part of the work',
  step_n: 'Number of the step',
  starts_at: 'Begins',
  agreed: 'What you agreed to',
  undone_at: 'Taken back',
  undone_by: 'Taken back by (number of the worker)',
  ties_in: 'Ties that came',
  ties_on: 'Ties on it',
  ties_off: 'Ties on the tie board',
  ties_lost: 'Ties lost',
  ties_back: 'Ties that go back',
  ties_replaced: 'Ties replaced',
  weight_typed: 'Weight as it was written',
  weight_g: 'Weight back (g)',
  thickness_mm: 'Thickness (mm)',
  thickness_typed: 'Thickness as it was written',
  condition: 'Condition',
  how_tied: 'How it is tied',
  place: 'Where it is',
  'load_step.place': 'Where the step is done',
  warm_up_minutes: 'Of these, to get hot (minutes)',
  found: 'Found',
  'bundle_arrival.found': 'What was seen of it',
  tie_place: 'Where it is tied',
  tie_kind: 'What kind of tie',
  thick_end: 'Which end comes first',
  of_table: 'In which part of the records',
  row_id: 'Number there',
  field: 'Which field (its name in the records)',
  code: 'Code',
  replaces: 'In the stead of tag number',
  void_at: 'Void since',
  void_why: 'Why it is void',
  sheet: 'Number of the sheet',
  from_place: 'From',
  to_place: 'To',
  from_spot_id: 'From spot number',
  to_spot_id: 'To spot number',
  count: 'How many ties',
  tied: 'Tied on',
  seen: 'It was there',
  finding: 'What was found',
  tied_again: 'Tied up again as it came',
  explanation: 'What is said of it',
  tag_code: 'Known by its tag',
  band_from: 'Weight that may come back: from (share of the dry weight)',
  band_to: 'Weight that may come back: to (share of the dry weight)',
  band_of: 'Learned from how many lots',
  laid_at: 'Begun',
  laid_by: 'Begun by (number of the worker)',
  step_since: 'Since when at this step',
  pot_free_at: 'Out of the pot since',
  done_at: 'Done',
  taken_out_at: 'Taken out again',
  bundles: 'How many bundles',
  key: 'Which line or step (its name in the records)',
  title: 'Step',
  minutes: 'How long (min)',
  temperature_c: 'Temperature (°C)',
  heat: 'It is heated',
  ties_come_off: 'The ties come off with it',
  late_after_minutes: 'Late after (min)',
  at_least_minutes: 'At least (min)',
  at_most_minutes: 'At most (min)',
  hands: 'It takes hands',
  hands_minutes: 'For how long (min)',
  may_stand_overnight: 'It may stand overnight',
  substance_id: 'Substance',
  bath_key: 'For which bath',
  amount: 'How much',
  unit: 'In which unit',
  typed: 'As it was written',
  water: 'How the water ran',
  undoes: 'Takes back line number',
}

type Row = Readonly<Record<string, unknown>>
/** A part of what is kept, with its rows as they read; fields in which nothing stands are left out. */
export type PartInWords = { part: string; rows: { label: string; words: string }[][] }

export const inWords = (data: Readonly<Record<string, readonly Row[]>>): PartInWords[] =>
  Object.entries(data)
    .filter(([, rows]) => rows.length > 0)
    .map(([table, rows]) => ({ part: TABLE_WORDS[table] ?? table, rows: rows.map(row => rowInWords(table, row)) }))

const rowInWords = (table: string, row: Row) =>
  Object.entries(row)
    .map(([column, value]) => ({ label: columnWords(table, column), words: valueWords(table, column, value) }))
    .filter(({ words }) => words !== '')

/** Kept as 1 or 0. */
const YES_OR_NO: ReadonlySet<string> = new Set([
  ...['name_on_tag', 'yearly', 'day_asked', 'gathered_may_be_told', 'held', 'closed', 'ties_undyed', 'tied'],
  ...['tied_again', 'seen', 'heat', 'ties_come_off', 'hands', 'may_stand_overnight'],
  ...['bundle_check.found', 'hand_back_bundle.found'],
])

const columnWords = (table: string, column: string): string =>
  COLUMN_WORDS[`${table}.${column}`] ?? COLUMN_WORDS[column] ?? column.replaceAll('_', ' ')

/** What stands in a field; '' where nothing does. */
function valueWords(table: string, column: string, value: unknown): string {
  if (value === null || value === undefined) return ''
  if (YES_OR_NO.has(column) || YES_OR_NO.has(`${table}.${column}`)) return value === 1 ? 'yes' : 'no'
  return sayMoment(sayKept(String(value)))
}

/** What is kept as JSON, a line for each of its parts. */
function sayKept(text: string): string {
  if (!/^[[{"]/.test(text)) return text
  try {
    const kept: unknown = JSON.parse(text)
    return isGroup(kept) ? partsOf(kept).join('\n') : sayPart(kept)
  } catch {
    return text
  }
}

type Group = Readonly<Record<string, unknown>>
const isGroup = (value: unknown): value is Group => typeof value === 'object' && value !== null && !Array.isArray(value)

const partsOf = (group: Group): string[] =>
  Object.entries(group).flatMap(([key, value]) => {
    const said = sayPart(value)
    return said === '' ? [] : [`${nameOf(key)}: ${said}`]
  })

function sayPart(value: unknown): string {
  if (value === null || value === undefined) return ''
  if (Array.isArray(value)) return value.map(sayPart).filter(Boolean).join('; ')
  if (isGroup(value)) return partsOf(value).join(', ')
  return typeof value === 'boolean' ? (value ? 'yes' : 'no') : String(value)
}

/** "dryWeightG" is kept in the column dry_weight_g. */
function nameOf(key: string): string {
  const column = key.replace(/[A-Z]/g, letter => `_${letter.toLowerCase()}`)
  return COLUMN_WORDS[column] ?? column.replaceAll('_', ' ')
}

const sayMoment = (text: string): string =>
  text.replace(/\b(\d{4}-\d\d-\d\d)T(\d\d:\d\d)(?::\d\d(?:\.\d+)?)?Z/g, '$1 $2 UTC')
