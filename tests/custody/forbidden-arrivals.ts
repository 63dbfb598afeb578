/** What the database refuses of how commissions came and what was agreed, by trigger, CHECK and what is there once. */
import type { Another, Case } from './forbidden.js'

const another = (table: string, but: Record<string, string>, like = 'true'): Another => ({ another: table, but, like })
const intoLoad1 = (bundle: string) => `insert into load_bundle (load_id, bundle_id) values (1, ${bundle})`
const apart = another('keep_apart', { lot_id: '4', released_at: 'null', released_by: 'null', release_note: "''" })
const openWish = another('unmet_wish', { decision: "''", decided_by: "''", decided_at: 'null', noted_by: 'null' })

export const arrivalsByTrigger: Record<string, Case[]> = {
  arrival_kept: [['delete from arrival where commission_id = 3'], ['delete from arrival']],
  arrival_terms: [["update arrival set terms = 'other terms' where commission_id = 3"]],
  lot_arrival_kept: [['delete from lot_arrival where lot_id = 4']],
  bundle_arrival_stays: [
    ["update bundle_arrival set words = 'it was torn already' where bundle_id = 8"],
    ["update bundle_arrival set found = '[]', at = '2026-01-01' where bundle_id = 1"],
  ],
  bundle_arrival_kept: [['delete from bundle_arrival where bundle_id = 8']],
  returnable_as_came: [
    ["update returnable set kind = 'sample' where answer = 'open'"],
    ['update returnable set commission_id = 2'],
    ["update returnable set at = '2026-01-01'"],
  ],
  returnable_answered: [
    ["update returnable set answer = 'open', answered_at = null where answer = 'gone back'"],
    ["update returnable set why = 'it was eaten' where answer = 'gone back'"],
  ],
  returnable_kept: [["delete from returnable where answer = 'open'"]],
  keep_apart_released: [
    ["update keep_apart set released_at = null, release_note = ''"],
    [apart, "update keep_apart set why = 'no reason' where released_at is null"],
    [
      apart,
      "update keep_apart set lot_id = 3, released_at = '2026-03-02', release_note = 'aired' where released_at is null",
    ],
  ],
  keep_apart_kept: [['delete from keep_apart']],
  unmet_wish_decided: [
    ["update unmet_wish set decision = 'as the dyer likes'"],
    ["update unmet_wish set decision = '', decided_at = null"],
    ["update unmet_wish set words = 'another wish'"],
  ],
  unmet_wish_kept: [['delete from unmet_wish']],
  agreement_stays: [
    ["update agreement set how = 'signed' where id = 1"],
    ["update agreement set agreed_on = '2026-01-01'"],
  ],
  agreement_kept: [['delete from agreement where id = 3']],
  agreed_lot_stays: [["update agreed_lot set colour = 'blue' where lot_id = 4"]],
  agreed_lot_kept: [['delete from agreed_lot where lot_id = 4']],
  receipt_in_order: [[another('receipt', { n: '3' })]],
  receipt_stays: [
    ["update receipt set content = '{}' where commission_id = 1"],
    [`update receipt set content = '"erased"' where commission_id = 3`],
    ['update receipt set n = 2 where commission_id = 1'],
  ],
  receipt_kept: [['delete from receipt where commission_id = 1']],

  load_bundle_after_arrival: [
    [
      another('bundle', { lot_id: '3', n: '2' }, 'id = 8'),
      'drop trigger load_bundle_of_its_lots',
      intoLoad1('(select max(id) from bundle)'),
    ],
  ],
  load_bundle_as_agreed: [
    ["update lot set colour = 'blue' where id = 4", intoLoad1('8')],
    ["update lot set dye_id = 'weld' where id = 4", intoLoad1('8')],
    ["update lot set route = 'plant' where id = 4", intoLoad1('8')],
    ['update lot set ties_undyed = 1 - ties_undyed where id = 4', intoLoad1('8')],
  ],
  load_bundle_wishes_met: [[openWish, intoLoad1('8')]],
}

export const arrivalsByCheck: Record<string, Record<string, Case[]>> = {
  drop_off_default: {
    'id = 1': [[another('drop_off_default', { id: '2' })]],
    'weeks_without_day BETWEEN 1 AND 52': [
      ['update drop_off_default set weeks_without_day = 0'],
      ['update drop_off_default set weeks_without_day = 53'],
    ],
  },
  arrival: {
    "offcuts IN ('back to the client', 'kept by the dyer for samples', 'composted')": [
      ["update arrival set offcuts = 'sold'"],
    ],
    'gathered_may_be_told IN (0, 1)': [['update arrival set gathered_may_be_told = 2']],
    "brought_by = '' OR length(trim(authority)) > 0": [
      ["update arrival set brought_by = 'a neighbour' where commission_id = 3"],
      ["update arrival set brought_by = 'a neighbour', authority = '  ' where commission_id = 3"],
    ],
  },
  lot_arrival: {
    "faults IN ('not asked', 'client says no faults', 'told')": [["update lot_arrival set faults = 'none'"]],
    "(faults = 'told') = (length(trim(faults_words)) > 0)": [
      ["update lot_arrival set faults = 'told'"],
      ["update lot_arrival set faults_words = 'worm'"],
    ],
  },
  bundle_arrival: {
    'json_valid(found)': [
      [
        another('bundle', { lot_id: '3', n: '2' }, 'id = 8'),
        another('bundle_arrival', { bundle_id: '(select max(id) from bundle)', found: "'damp'" }),
      ],
    ],
  },
  returnable: {
    "kind IN ('wrapper', 'container', 'sample', 'pattern', 'note', 'other')": [
      [another('returnable', { kind: "'gift'" })],
    ],
    'length(words) > 0': [[another('returnable', { words: "''" })]],
    "answer IN ('open', 'gone back', 'does not go back')": [
      [another('returnable', { answer: "'perhaps'" }, "answer = 'gone back'")],
    ],
    "(answer = 'open') = (answered_at IS NULL)": [
      [another('returnable', { answered_at: 'null' }, "answer = 'gone back'")],
      [another('returnable', { answered_at: "'2026-03-02'" }, "answer = 'open'")],
    ],
    "answer <> 'does not go back' OR length(trim(why)) > 0": [
      [another('returnable', { answer: "'does not go back'", why: "' '" }, "answer = 'gone back'")],
    ],
  },
  keep_apart: {
    'length(trim(why)) > 0': [[another('keep_apart', { why: "' '" })]],
    '(released_at IS NULL) = (length(trim(release_note)) = 0)': [
      [another('keep_apart', { release_note: "' '" })],
      [another('keep_apart', { released_at: 'null' })],
    ],
  },
  unmet_wish: {
    'length(trim(words)) > 0': [[another('unmet_wish', { words: "' '" })]],
    '(decided_at IS NULL) = (length(trim(decision)) = 0)': [
      [another('unmet_wish', { decision: "' '" })],
      [another('unmet_wish', { decided_at: 'null' })],
    ],
  },
  agreement: {
    "how IN ('spoken', 'message', 'signed')": [[another('agreement', { how: "'assumed'" })]],
    "agreed_on GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'": [[another('agreement', { agreed_on: "'Friday'" })]],
  },
  receipt: {
    'n > 0': [['drop trigger receipt_in_order', another('receipt', { n: '0' })]],
    'json_valid(content)': [[another('receipt', { n: '2', content: "'{'" })]],
  },
}

export const clientByCheck: Record<string, Case[]> = {
  "wishes_answer IN ('not asked', 'told', 'nothing special', 'rather not say')": [
    ["update client set wishes_answer = 'sacred'"],
  ],
  "offcuts IN ('back to the client', 'kept by the dyer for samples', 'composted')": [
    ["update client set offcuts = 'sold'"],
  ],
}

export const arrivalsByUnique: Record<string, Case[]> = {
  'keep_apart(lot_id)': [[apart, apart]],
  'receipt(commission_id, n)': [['drop trigger receipt_in_order', another('receipt', {})]],
}
