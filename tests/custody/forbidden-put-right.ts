/**
 * What the database refuses of what is put right. Bundle 1 went back, bundle 6 is in a load, bundle 8 waits with three ties;
 * the condition of bundle 9 was put right, and bundle 15 was withdrawn.
 */

import type { Another, Case } from './forbidden.js'
import { lotInto, newLoad } from './forbidden-baths.js'

const line = (but: Record<string, string>): Another => ({ another: 'correction', but })
const ofBundle8 = (field: string, was: string, became: string) =>
  line({ of_table: "'bundle'", row_id: '8', field: `'${field}'`, was, became })
const ofOwner = (commission: string, was: string, became: string) =>
  line({ of_table: "'commission'", row_id: commission, field: "'client_id'", was, became })
const ofLoad = (load: string, was: string, became: string) =>
  line({ of_table: "'load'", row_id: load, field: "'pot_id'", was, became })
const tieLine = (kind: string, tied: string, on: string, off: string) =>
  `insert into tie_event (bundle_id, kind, count, tied, ties_on, ties_off, ties_lost, ties_replaced, at, worker_id, words)
    values (8, '${kind}', 1, ${tied}, ${on}, ${off}, 0, 0, '', 1, '')`

export const putRightByTrigger: Record<string, Case[]> = {
  correction_stays: [
    ["update correction set why = 'because'"],
    ["update correction set at = '2026-01-01' where id = 1"],
  ],
  correction_kept: [['delete from correction where id = 1'], ['delete from correction']],
  correction_of_what_stands: [
    [ofBundle8('lot_id', '4', '3')],
    [line({ of_table: "'bundle'", row_id: '987', field: "'condition'" })],
    [line({ of_table: "'bundle_arrival'", row_id: '987', field: "'words'" })],
    [line({ of_table: "'lot'", row_id: '4', field: "'id'" })],
  ],
  correction_while_here: [
    [
      line({
        of_table: "'bundle_arrival'",
        row_id: '1',
        field: "'words'",
        was: "'as expected'",
        became: "'it was torn already'",
      }),
    ],
  ],
  correction_of_ties: [
    [tieLine('taken off', '0', '2', '1'), tieLine('put back', '1', '3', '0'), ofBundle8('ties_in', '3', '4')],
    [
      'drop trigger bundle_in_its_load',
      "update bundle set load_id = 1, place = 'soak tub' where id = 8",
      ofBundle8('ties_in', '3', '4'),
    ],
  ],
  correction_withdraws: [
    [ofBundle8('place', "'arrivals shelf'", "'ready shelf'")],
    ["update bundle set place = 'ready shelf' where id = 8", ofBundle8('place', "'ready shelf'", "'withdrawn'")],
    [
      "update bundle set place = 'arrivals shelf' where id = 5",
      line({ of_table: "'bundle'", row_id: '5', field: "'place'", was: "'arrivals shelf'", became: "'withdrawn'" }),
    ],
  ],
  bundle_as_written: [
    ['update bundle set ties_in = 2, ties_on = 2 where id = 8'],
    ['drop trigger bundle_ties_told', 'update bundle set ties_in = 4, ties_lost = 1 where id = 8'],
    ['update bundle set dry_weight_g = dry_weight_g + 1 where id = 8'],
    ["update bundle set weight_typed = '1 kg' where id = 8"],
    ['update bundle set thickness_mm = 2 where id = 8'],
    ["update bundle set thickness_typed = '2 mm' where id = 8"],
    ["update bundle set condition = 'torn' where id = 8"],
    ["update bundle set how_tied = 'a bow' where id = 8"],
    // Its line says from what to what, and only the newest one counts.
    ["update bundle set condition = '' where id = 9"],
  ],
  load_lot_for_what_came: [
    [{ another: 'bundle', but: { lot_id: '6', n: '9' }, like: 'id = 8' }, newLoad, lotInto(6)],
    ['drop trigger lot_as_written', "update lot set fibre_id = 'flax' where id = 6", newLoad, lotInto(6)],
  ],
  correction_of_whole: [
    [line({ of_table: "'lot'", row_id: '5', field: "'fibre_id'", was: "'red-cedar-inner-bark'", became: "'flax'" })],
    [ofOwner('4', '(select client_id from commission where id = 4)', '1')],
  ],
  correction_shares_bath: [[ofOwner('5', '1', '2')]],
  correction_photographed: [
    [
      { another: 'photograph', but: { withdrawn_at: 'null', withdrawn_by: 'null', withdrawn_why: 'null' } },
      "update client set photographs = 'no' where id = 2",
      ofOwner('3', '(select client_id from commission where id = 3)', '2'),
    ],
  ],
  // The old pot is out of use; load 2 holds none.
  correction_lifts_over: [[ofLoad('1', '1', '4')], [ofLoad('1', '1', '987')], [ofLoad('2', '2', '3')]],
  load_in_its_pot: [
    ['update load set pot_id = 2 where id = 1'],
    [ofLoad('1', '1', '2'), 'update load set pot_id = 3 where id = 1'],
  ],
  lot_as_written: [["update lot set fibre_id = 'flax' where id = 4"]],
  commission_as_written: [['update commission set client_id = 2 where id = 3']],
  bundle_withdrawn: [["update bundle set place = 'withdrawn' where id = 8"]],
  bundle_stays_withdrawn: [["update bundle set place = 'arrivals shelf' where id = 15"]],
}

const anyLine = 'drop trigger correction_of_what_stands'

export const putRightByCheck: Record<string, Record<string, Case[]>> = {
  correction: {
    "of_table IN ('commission', 'lot', 'bundle', 'bundle_arrival', 'load')": [[anyLine, line({ of_table: "'pot'" })]],
    'length(trim(why)) > 0': [[anyLine, line({ of_table: "'lot'", why: "' '" })]],
    'was IS NOT became': [[anyLine, line({ of_table: "'lot'", became: 'was' })]],
  },
}
