/**
 * What the database refuses of spots and shelf counts. In the workshop that these are tried on, bundle 9 lies at spot 1 of the
 * arrivals shelf; count 1 is done, its findings 1 to 3 are of bundles 8 (fine), 9 (missing, answered) and 3 (unexpected);
 * count 2, of the ready shelf, is open.
 */
import type { Another, Case } from './forbidden.js'

const another = (table: string, but: Record<string, string>, like?: string): Another =>
  like === undefined ? { another: table, but } : { another: table, but, like }
const end = (id: number) =>
  `update shelf_count set ended_at = '2026-03-02T10:00:00.000Z', ended_by = 1 where id = ${id}`
const found = (bundle: number) =>
  `insert into shelf_count_finding (count_id, bundle_id, finding) values (2, ${bundle}, 'fine')`
/** About what was unexpected. */
const answer = (but: Record<string, string>): Another =>
  another('shelf_count_answer', {
    finding_id: "(select id from shelf_count_finding where finding = 'unexpected')",
    ...but,
  })

export const placesByTrigger: Record<string, Case[]> = {
  spot_kept: [['delete from spot where id = 2']],
  spot_as_named: [
    ["update spot set name = 'hook 4' where id = 2"],
    ["update spot set place = 'drying line' where id = 2"],
  ],
  spot_empty: [["update spot set withdrawn_at = '2026-03-02' where id = 1"]],
  bundle_spot_of_place: [
    ['update bundle set spot_id = 2 where id = 8'],
    ['update bundle set spot_id = 1 where id = 6'],
    ["update spot set withdrawn_at = '2026-03-02' where id = 2", 'update bundle set spot_id = 2 where id = 3'],
  ],
  bundle_spot_apart: [3, 5].map(bundle => [
    `update bundle set spot_id = 2 where id = ${bundle}`,
    "insert into keep_apart (lot_id, why, at, worker_id) values (2, 'mould seen', '2026-03-02', 1)",
    `update bundle set spot_id = 2 where id = ${8 - bundle}`,
  ]),
  bundle_arrives_at_no_spot: [[another('bundle', { lot_id: '4', n: '9', spot_id: '1' }, 'id = 8')]],
  spot_move_stays: [["update spot_move set why = 'x'"]],
  spot_move_kept: [['delete from spot_move']],
  spot_move_follows: [
    [another('spot_move', { to_spot_id: '2' })],
    [another('spot_move', { bundle_id: '3', from_spot_id: '2', to_spot_id: 'null' })],
  ],
  shelf_count_kept: [['delete from shelf_count where id = 2']],
  shelf_count_as_begun: [
    ['update shelf_count set listed = 4 where id = 2'],
    ["update shelf_count set begun_at = '' where id = 2"],
  ],
  shelf_count_of_place: [[another('shelf_count', { place: "'drying line'", spot_id: '2' }, 'id = 2')]],
  shelf_count_sealed: [["update shelf_count set ended_at = '2026-03-03' where id = 1"]],
  shelf_count_whole: [[end(2)], [found(3), found(4), end(2)]],
  shelf_count_bundle_stays: [['update shelf_count_bundle set bundle_id = 1 where bundle_id = 9']],
  shelf_count_bundle_kept: [['delete from shelf_count_bundle where bundle_id = 9']],
  shelf_count_bundle_late: [
    [another('shelf_count_bundle', { bundle_id: '8' }, 'count_id = 2')],
    ['insert into shelf_count_bundle (count_id, bundle_id) values (1, 3)'],
  ],
  shelf_count_seen_stays: [['update shelf_count_seen set seen = 0']],
  shelf_count_seen_kept: [['delete from shelf_count_seen where count_id = 2']],
  shelf_count_seen_late: [[another('shelf_count_seen', { bundle_id: '9' }, 'count_id = 1')]],
  shelf_count_finding_stays: [["update shelf_count_finding set finding = 'fine'"]],
  shelf_count_finding_kept: [["delete from shelf_count_finding where finding = 'unexpected'"]],
  shelf_count_finding_late: [[another('shelf_count_finding', { bundle_id: '4' }, 'count_id = 1')]],
  shelf_count_answer_stays: [["update shelf_count_answer set words = 'elsewhere'"]],
  shelf_count_answer_kept: [['delete from shelf_count_answer']],
  shelf_count_answer_fits: [
    [answer({})],
    [answer({ answer: "'lost'", incident_id: '1' })],
    [
      answer({
        finding_id: "(select id from shelf_count_finding where finding = 'fine' limit 1)",
        answer: "'explained'",
      }),
    ],
  ],
}

export const placesByCheck: Record<string, Record<string, Case[]>> = {
  spot: {
    "place IN ('arrivals shelf', 'drying line', 'ready shelf')": [[another('spot', { place: "'pot'", name: "'rim'" })]],
    'length(name) BETWEEN 1 AND 60': [[another('spot', { name: "''" })]],
  },
  spot_move: {
    'from_spot_id IS NOT to_spot_id': [[another('spot_move', { bundle_id: '8', to_spot_id: 'null' })]],
  },
  shelf_count: {
    "place IN ('arrivals shelf', 'drying line', 'ready shelf')": [
      [another('shelf_count', { place: "'pot'" }, 'id = 2')],
    ],
    'listed >= 0': [[another('shelf_count', { place: "'drying line'", listed: '-1' }, 'id = 2')]],
    '(ended_at IS NULL) = (ended_by IS NULL)': [
      [another('shelf_count', { place: "'drying line'", ended_by: '1' }, 'id = 2')],
    ],
  },
  shelf_count_seen: { 'seen IN (0, 1)': [[another('shelf_count_seen', { seen: '2' }, 'count_id = 2')]] },
  shelf_count_finding: {
    "finding IN ('fine', 'missing', 'unexpected', 'moved since')": [
      ["insert into shelf_count_finding (count_id, bundle_id, finding) values (2, 3, 'odd')"],
    ],
  },
  shelf_count_answer: {
    "(answer = 'lost') = (incident_id IS NOT NULL)": [[answer({ answer: "'put here'", incident_id: '1' })]],
    "answer NOT IN ('found', 'explained') OR length(trim(words)) > 0": [
      [answer({ answer: "'explained'", words: "' '" })],
    ],
  },
}

export const placesByUnique: Record<string, Case[]> = {
  'spot(name)': [[another('spot', { name: "'TOP BOARD'" })]],
  'shelf_count(place)': [[another('shelf_count', {}, 'id = 2')]],
  'shelf_count_bundle(count_id, bundle_id)': [
    [
      "insert into shelf_count (place, listed, begun_at, worker_id) values ('drying line', 2, '', 1)",
      'insert into shelf_count_bundle (count_id, bundle_id) values (3, 1)',
      'insert into shelf_count_bundle (count_id, bundle_id) values (3, 1)',
    ],
  ],
  'shelf_count_finding(count_id, bundle_id)': [[found(3), found(3)]],
  'shelf_count_answer(finding_id)': [[another('shelf_count_answer', {})]],
}
