/**
 * What the database refuses of hand-backs. Of the whole workshop, slip 2 is begun for lot 2 (bundles 3 and 4) and not
 * closed; slip 3 is of lot 5: bundle 10 went back, and bundle 11 was not found and was found again.
 */
import type { Another, Case } from './forbidden.js'

const another = (table: string, but: Record<string, string>, like = 'true'): Another => ({ another: table, but, like })

/** A bundle on slip 2, as it came unless told otherwise. */
const goes = (bundleId: number, but: Record<string, string> = {}): Another => {
  const asItCame = { found: '1', tied_again: '1', ties_back: '3', ties_replaced: '0', explanation: "''" }
  return another('hand_back_bundle', { hand_back_id: '2', bundle_id: String(bundleId), ...asItCame, ...but })
}
const missing = { found: '0', tied_again: '0', ties_back: '0', explanation: "'nowhere'" }
const close = (slip: number) => `update hand_back set closed = 1 where id = ${slip}`
const leaves = (id: number, place = 'handed back', ties = '') =>
  `update bundle set place = '${place}'${ties} where id = ${id}`
const isLost = ', ties_on = 0, ties_lost = 3'
const slip2IsClosed: Case = [goes(3), goes(4), close(2)]
const lot = (slip: number, lotId: number, stays = '') =>
  `insert into hand_back_lot (hand_back_id, lot_id, stays_words) values (${slip}, ${lotId}, '${stays}')`
const slip = (commissionId: number) => another('hand_back', { commission_id: String(commissionId), closed: '0' })
const receiver = (id: number) => another('hand_back_person', { hand_back_id: String(id) })
const on1 = { hand_back_id: '1' }
const on4 = { hand_back_id: '4' }
const marked = (commissionId: number, held: number) =>
  `insert into release_mark (commission_id, held, reason, at, worker_id) values (${commissionId}, ${held}, 'x', '', 1)`

/** Ties are counted along without a line of the tie board. */
const untold = (cases: Case[]): Case[] => cases.map(one => ['drop trigger bundle_ties_told', ...one])

export const handBacksByTrigger: Record<string, Case[]> = {
  hand_back_bundle_ties: [
    [goes(3, { ties_in: '2', ties_back: '2' })],
    [goes(3, { ties_in: '4', explanation: "'one too many'" })],
  ],
  hand_back_bundle_weight: [
    [goes(3, { weight_g: '10' })],
    [goes(3, { weight_g: '170', band_to: '1.1' })],
    [goes(3, { weight_g: '10', explanation: "'  '" })],
  ],
  hand_back_bundle_of_lot: [[goes(5)], [goes(8)]],
  hand_back_bundle_once: [
    [goes(3, missing), slip(2), lot(4, 2), goes(3, on4)],
    [goes(3, missing), slip(2), lot(4, 2), goes(3, { ...missing, ...on4 })],
    [goes(3), slip(2), lot(4, 2), goes(3, { ...missing, ...on4 })],
  ],
  hand_back_lot_of_commission: [[lot(2, 4)], [...slip2IsClosed, lot(2, 3)], [lot(1, 3)]],
  hand_back_starts_open: [[another('hand_back', { commission_id: '2', closed: '1' })]],
  hand_back_not_empty: [[slip(1), receiver(4), close(4)]],
  hand_back_lot_not_empty: [[goes(3), goes(4), lot(2, 3, 'later'), close(2)]],
  hand_back_adds_up: [
    [goes(3), close(2)],
    [goes(4, missing), close(2)],
    [slip(2), receiver(4), lot(4, 2, '  '), goes(3, on4), close(4)],
  ],
  hand_back_from_ready_shelf: [
    [goes(3), goes(4), "update bundle set place = 'arrivals shelf' where id = 4", close(2)],
    [
      goes(3),
      goes(4, missing),
      'drop trigger load_bundle_of_its_lots',
      'insert into load_bundle (load_id, bundle_id) values (1, 4)',
      "update bundle set place = 'rinse', load_id = 1 where id = 4",
      close(2),
    ],
  ],
  hand_back_has_receiver: [[slip(2), lot(4, 2), goes(3, on4), goes(4, on4), close(4)]],
  hand_back_authority: [["update hand_back set receiver = 'another' where id = 2", goes(3), goes(4), close(2)]],
  hand_back_signature: [
    ["update hand_back set acknowledged = 'on the screen' where id = 2", goes(3), goes(4), close(2)],
  ],
  hand_back_released: [[marked(2, 1), goes(3), goes(4), close(2)]],
  hand_back_sealed: [
    ["update hand_back set receiver = 'another' where id = 1"],
    ['update hand_back set closed = 0 where id = 1'],
    ["update hand_back set facts = '{}' where id = 1"],
  ],
  // Words that name people may be erased, and only when nothing of theirs is here: lot 5 of slip 3 is open again.
  hand_back_words_sealed: [
    ["update hand_back set words = 'other' where id = 1"],
    ["update hand_back set reference = '7' where id = 1"],
    ["update hand_back set not_signed_because = 'x', words = 'erased' where id = 1"],
    ["update hand_back set words = 'erased' where id = 3"],
  ],
  hand_back_kept: [['delete from hand_back where id = 1'], ['delete from hand_back where id = 2']],
  hand_back_lot_sealed: [
    ['update hand_back_lot set hand_back_id = 2 where lot_id = 1'],
    ['update hand_back_lot set lot_id = 3 where lot_id = 2'],
    ["update hand_back_lot set stays_words = 'later' where lot_id = 1"],
  ],
  hand_back_lot_kept: [['delete from hand_back_lot where lot_id = 1'], ['delete from hand_back_lot where lot_id = 2']],
  hand_back_bundle_sealed: [
    ["update hand_back_bundle set explanation = 'other' where bundle_id = 1"],
    [goes(3), "update hand_back_bundle set condition = 'torn' where bundle_id = 3"],
  ],
  hand_back_bundle_kept: [['delete from hand_back_bundle where bundle_id = 1']],
  hand_back_bundle_late: [
    [
      'drop trigger bundle_in_open_lot',
      another('bundle', { lot_id: '1', n: '3' }, 'id = 8'),
      another('hand_back_bundle', { bundle_id: '(select max(id) from bundle)' }),
    ],
  ],
  hand_back_person_stays: [["update hand_back_person set to_whom = 'Ode' where hand_back_id = 1"]],
  hand_back_person_late: [
    ['delete from hand_back_person where hand_back_id = 1', another('hand_back_person', { hand_back_id: '1' })],
  ],
  hand_back_person_kept: [
    ['delete from hand_back_person where hand_back_id = 2'],
    ['delete from hand_back_person where hand_back_id = 3'],
  ],
  hand_back_note_after: [[another('hand_back_note', { hand_back_id: '2' })]],
  hand_back_note_stays: [
    ["update hand_back_note set words = 'never mind'"],
    ["update hand_back_note set words = 'erased' where hand_back_id = 3"],
    [another('hand_back_note', on1), "update hand_back_note set words = 'erased', at = '' where hand_back_id = 1"],
    [another('hand_back_note', on1), "update hand_back_note set words = 'other' where hand_back_id = 1"],
  ],
  hand_back_note_kept: [['delete from hand_back_note']],

  found_again_of_lost: [
    [another('found_again', { hand_back_id: '1', bundle_id: '10' })],
    [...slip2IsClosed, another('found_again', { hand_back_id: '2', bundle_id: '3' })],
    [goes(3, missing), another('found_again', { hand_back_id: '2', bundle_id: '3' })],
  ],
  found_again_stays: [["update found_again set words = 'elsewhere'"]],
  found_again_kept: [['delete from found_again']],
  release_mark_turns: [[marked(4, 0)], [marked(2, 1), marked(2, 1)], [marked(1, 0)]],
  release_mark_stays: [
    ["update release_mark set reason = 'other'"],
    ["update release_mark set reason = 'erased' where commission_id = 4"],
    [marked(1, 1), "update release_mark set reason = 'erased', held = 0 where commission_id = 1"],
    [marked(1, 1), "update release_mark set reason = 'other' where commission_id = 1"],
  ],
  release_mark_kept: [['delete from release_mark where held = 1']],
  client_told_stays: [
    ["update client_told set how = 'by letter'"],
    ["update client_told set words = 'erased' where lot_id = 5"],
    [another('client_told', { lot_id: '1' }), "update client_told set words = 'other' where lot_id = 1"],
    [
      another('client_told', { lot_id: '1' }),
      "update client_told set words = 'erased', on_day = '2026-01-01' where lot_id = 1",
    ],
  ],
  client_told_kept: [['delete from client_told']],

  bundle_leaves: untold([
    [goes(3), leaves(3)],
    [goes(3, missing), leaves(3, 'not found', isLost)],
    [...slip2IsClosed, leaves(3, 'not found')],
    [goes(3), goes(4, missing), close(2), leaves(4, 'handed back', isLost)],
    [slip(4), lot(4, 5), goes(11, { ...missing, ...on4 }), leaves(11, 'not found', isLost)],
  ]),
  bundle_leaves_with_its_ties: untold([
    [...slip2IsClosed, leaves(3, 'handed back', ', ties_on = 2, ties_off = 1')],
    [...slip2IsClosed, leaves(3, 'handed back', ', ties_on = 2, ties_lost = 1')],
    [goes(3, { ties_back: '1', ties_replaced: '1', explanation: "'worn'" }), goes(4), close(2), leaves(3)],
    [goes(3, missing), goes(4), close(2), leaves(3, 'not found')],
    [slip(4), receiver(4), lot(4, 5), goes(11, on4), close(4), leaves(11, 'handed back', isLost)],
  ]),
  bundle_not_found: untold([
    [
      goes(3, missing),
      goes(4),
      close(2),
      leaves(3, 'not found', isLost),
      'drop trigger bundle_as_written',
      "update bundle set how_tied = '' where id = 3",
    ],
    [
      goes(3, missing),
      goes(4),
      close(2),
      leaves(3, 'not found', isLost),
      leaves(3, 'ready shelf', ', ties_on = 3, ties_lost = 0'),
    ],
  ]),
  bundle_gone: [
    [
      ...slip2IsClosed,
      leaves(3),
      'drop trigger bundle_as_written',
      "update bundle set condition = 'better' where id = 3",
    ],
    [...slip2IsClosed, leaves(3), leaves(3, 'ready shelf')],
  ],
  bundle_of_closed_lot: untold([
    [
      another('found_again', { hand_back_id: '1', bundle_id: '2' }),
      "update bundle set place = 'ready shelf', ties_on = 3, ties_lost = 0 where id = 2",
    ],
  ]),
  lot_closes: [
    ["update lot set closed_at = '2026-03-02' where id = 3"],
    [...slip2IsClosed, leaves(3), "update lot set closed_at = '2026-03-02' where id = 2"],
  ],
  lot_sealed: [
    ["update lot set colour = 'blue' where id = 1"],
    ['update lot set closed_at = null where id = 1'],
    [another('found_again', { hand_back_id: '1', bundle_id: '2' }), "update lot set colour = 'blue' where id = 1"],
  ],
}

export const handBacksByCheck: Record<string, Record<string, Case[]>> = {
  hand_back: {
    'closed IN (0, 1)': [['update hand_back set closed = 2 where id = 2']],
    "receiver IN ('client', 'another')": [["update hand_back set receiver = 'the dog' where id = 2"]],
    "how IN ('in person', 'by carrier')": [["update hand_back set how = 'by river' where id = 2"]],
    "how <> 'by carrier' OR length(trim(reference)) > 0": [["update hand_back set how = 'by carrier' where id = 2"]],
    "acknowledged IN ('on paper', 'on the screen', 'not signed')": [
      ["update hand_back set acknowledged = 'with a nod' where id = 2"],
    ],
    "acknowledged <> 'not signed' OR length(trim(not_signed_because)) > 0": [
      ["update hand_back set acknowledged = 'not signed' where id = 2"],
    ],
    'facts IS NULL OR json_valid(facts)': [["update hand_back set facts = '{' where id = 2"]],
  },
  hand_back_lot: {
    "stays_until GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'": [
      ["insert into hand_back_lot (hand_back_id, lot_id, stays_until) values (2, 3, 'Friday')"],
    ],
  },
  hand_back_bundle: {
    'found IN (0, 1)': [[goes(3, { found: '2', tied_again: '0', ties_back: '0', explanation: "'x'" })]],
    'tied_again IN (0, 1)': [[goes(3, { tied_again: '2', explanation: "'x'" })]],
    'ties_back >= 0': [[goes(3, { ties_back: '-1', explanation: "'x'" })]],
    'ties_replaced >= 0': [[goes(3, { ties_replaced: '-1', explanation: "'x'" })]],
    'weight_g > 0': [[goes(3, { weight_g: '0', explanation: "'gone'" })]],
    'band_from > 0': [[goes(3, { band_from: '0' })]],
    'band_from < band_to AND band_to < 3': [
      [goes(3, { weight_g: 'null', band_from: '1.2' })],
      [goes(3, { band_to: '3' })],
    ],
    'band_of >= 0': [[goes(3, { band_of: '-1' })]],
    'ties_back + ties_replaced <= ties_in': [[goes(3, { ties_replaced: '1', explanation: "'one too many'" })]],
    'found = 1 OR (ties_back = 0 AND ties_replaced = 0 AND tied_again = 0)': [
      [goes(3, { ...missing, ties_back: '3' })],
      [goes(3, { ...missing, ties_replaced: '1' })],
      [goes(3, { ...missing, tied_again: '1' })],
    ],
    '(found = 1 AND tied_again = 1 AND ties_back + ties_replaced = ties_in) OR length(trim(explanation)) > 0': [
      [goes(3, { ties_back: '2' })],
      [goes(3, { ties_back: '2', explanation: "'   '" })],
      [goes(3, { tied_again: '0' })],
      [goes(3, { ...missing, explanation: "''" })],
    ],
  },
  hand_back_person: {
    'length(to_whom) > 0': [[slip(1), another('hand_back_person', { ...on4, to_whom: "''" })]],
    "signature NOT GLOB '*[^ML0-9 ]*'": [
      [slip(1), another('hand_back_person', { ...on4, signature: "'M1 2\"/><b>'" })],
    ],
  },
  hand_back_note: { 'length(trim(words)) > 0': [[another('hand_back_note', { words: "' '" })]] },
  found_again: {
    'length(trim(words)) > 0': [
      ['drop trigger found_again_of_lost', another('found_again', { hand_back_id: '1', bundle_id: '2', words: "' '" })],
    ],
  },
  release_mark: {
    'held IN (0, 1)': [[another('release_mark', { held: '2' })]],
    'length(trim(reason)) > 0': [[another('release_mark', { commission_id: '2', reason: "''" })]],
  },
  client_told: {
    "on_day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'": [[another('client_told', { on_day: "'Friday'" })]],
    "how IN ('by phone', 'by message', 'by letter', 'in person', 'cannot be told')": [
      [another('client_told', { how: "'by smoke'" })],
    ],
    "how <> 'cannot be told' OR length(trim(words)) > 0": [
      [another('client_told', { how: "'cannot be told'", words: "' '" })],
    ],
  },
}

export const handBacksByUnique: Record<string, Case[]> = {
  'found_again(hand_back_id, bundle_id)': [['drop trigger found_again_of_lost', another('found_again', {})]],
}
