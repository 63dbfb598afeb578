/**
 * What the database refuses by itself, whatever program writes: for each rule, statements that break it and no other.
 * Of several statements only the last is refused. The workshop they are tried on is that of whole-workshop.ts.
 */

import { arrivalsByCheck, arrivalsByTrigger, arrivalsByUnique, clientByCheck } from './forbidden-arrivals.js'
import { bathsByCheck, bathsByTrigger, bathsByUnique, sharesBath } from './forbidden-baths.js'
import { calendarByCheck, calendarByTrigger, calendarByUnique } from './forbidden-calendar.js'
import { chainByCheck, chainByTrigger, chainByUnique } from './forbidden-chain.js'
import { clientPagesByCheck, clientPagesByTrigger, clientPagesByUnique } from './forbidden-client-pages.js'
import { erasuresByTrigger } from './forbidden-erasures.js'
import { handBacksByCheck, handBacksByTrigger, handBacksByUnique } from './forbidden-hand-backs.js'
import { incidentsByCheck, incidentsByTrigger } from './forbidden-incidents.js'
import { photographsByCheck, photographsByTrigger } from './forbidden-photographs.js'
import { placesByCheck, placesByTrigger, placesByUnique } from './forbidden-places.js'
import { planByCheck, planByUnique, potByCheck, stepByCheck } from './forbidden-plan.js'
import { promisesByCheck, promisesByTrigger, promisesByUnique } from './forbidden-promises.js'
import { putRightByCheck, putRightByTrigger } from './forbidden-put-right.js'
import { settingsByCheck, settingsByTrigger } from './forbidden-settings.js'
import { nameOnTag, tagsByCheck, tagsByTrigger, tagsByUnique } from './forbidden-tags.js'
import { tiesByCheck, tiesByTrigger, tiesReplacedCases } from './forbidden-ties.js'
import { weighedByCheck, weighedByTrigger } from './forbidden-weighed.js'
import { wetClothsByCheck, wetClothsByTrigger } from './forbidden-wet-cloths.js'

/** A new row like the first of its table (or the first that fits), but for these columns. */
export type Another = { another: string; but: Record<string, string>; like?: string }
export type Case = (string | Another)[]

const another = (table: string, but: Record<string, string>, like?: string): Another =>
  like === undefined ? { another: table, but } : { another: table, but, like }

/** By the name of the trigger. Without it, and with all the others, each of these goes through. */
export const byTrigger: Record<string, Case[]> = {
  ...bathsByTrigger,
  ...calendarByTrigger,
  ...chainByTrigger,
  ...erasuresByTrigger,
  ...wetClothsByTrigger,
  ...promisesByTrigger,
  ...incidentsByTrigger,
  ...photographsByTrigger,
  ...placesByTrigger,
  ...clientPagesByTrigger,
  ...settingsByTrigger,
  ...handBacksByTrigger,
  ...arrivalsByTrigger,
  ...tagsByTrigger,
  ...weighedByTrigger,
  ...tiesByTrigger,
  ...putRightByTrigger,
  history_stays: [["update history set what = 'nothing' where id = 1"]],
  history_kept: [['delete from history where id = 1'], ['delete from history']],
  move_stays: [["update move set to_place = 'pot' where id = 1"]],
  move_kept: [['delete from move where bundle_id = 1']],
  bath_log_stays: [['update bath_log set amount = 6 where id = 3'], ["update bath_log set words = 'x' where id = 1"]],
  bath_log_kept: [['delete from bath_log where id = 4']],
  recipe_stays: [['update recipe set dry_weight_g = 1'], ["update recipe set answer = '{}' where id = 1"]],
  recipe_kept: [['delete from recipe where id = 1']],
  outcome_stays: [["update outcome set nearness = 'as asked'"]],
  outcome_kept: [['delete from outcome']],
  client_change_stays: [["update client_change set became = '{}'"]],
  catalogue_change_stays: [["update catalogue_change set why = 'other'"]],
  catalogue_change_kept: [['delete from catalogue_change']],
  load_step_stays: [["update load_step set place = 'rinse' where n = 1"]],
  load_step_kept: [['delete from load_step where n = 5']],
  load_line_stays: [['update load_line set amount = 0']],
  load_line_kept: [['delete from load_line']],
  load_bundle_stays: [
    ['update load_bundle set bundle_id = 8 where bundle_id = 6'],
    ['update load_bundle set ties_on = 2'],
  ],
  load_bundle_kept: [['delete from load_bundle where bundle_id = 6']],

  bundle_kept: [['delete from bundle where id = 8']],
  lot_kept: [['delete from lot where id = 3']],
  bundle_arrives: [
    [another('bundle', { lot_id: '3', n: '2', place: "'ready shelf'" }, 'id = 8')],
    [another('bundle', { lot_id: '3', n: '2', ties_on: '2', ties_lost: '1' }, 'id = 8')],
    [another('bundle', { lot_id: '3', n: '2', ties_on: '0', ties_off: '3' }, 'id = 8')],
  ],
  bundle_in_open_lot: [[another('bundle', { lot_id: '1', n: '3' }, 'id = 8')]],
  bundle_as_taken_in: [['update bundle set lot_id = 3 where id = 8'], ['update bundle set n = 50 where id = 8']],
  lot_as_taken_in: [['update lot set commission_id = 2 where id = 4']],
  bundle_in_its_load: [["update bundle set place = 'pot', load_id = 1 where id = 8"]],
}

const asWritten = 'drop trigger bundle_as_written'

/** By table and words of the CHECK. Without checks each of these goes through. */
export const byCheck: Record<string, Record<string, Case[]>> = {
  ...bathsByCheck,
  ...calendarByCheck,
  ...chainByCheck,
  ...incidentsByCheck,
  ...wetClothsByCheck,
  ...promisesByCheck,
  ...photographsByCheck,
  ...placesByCheck,
  ...clientPagesByCheck,
  ...settingsByCheck,
  ...handBacksByCheck,
  ...arrivalsByCheck,
  ...tagsByCheck,
  ...weighedByCheck,
  ...planByCheck,
  ...tiesByCheck,
  ...putRightByCheck,
  workshop: {
    'id = 1': [[another('workshop', { id: '2' })]],
    "weight_unit IN ('metric', 'pounds')": [["update workshop set weight_unit = 'stone'"]],
    "volume_unit IN ('metric', 'us', 'imperial')": [["update workshop set volume_unit = 'cups'"]],
    "dry_basis IN ('oven-dry', 'conditioned')": [["update workshop set dry_basis = 'damp'"]],
    'scale_step_g > 0': [['update workshop set scale_step_g = 0']],
    "slip_paper IN ('A5', 'Letter', '80 mm roll')": [["update workshop set slip_paper = 'A4'"]],
  },
  worker: { 'length(name) BETWEEN 1 AND 200': [["update worker set name = ''"]] },
  press: { 'length(key) BETWEEN 16 AND 64': [["update press set key = 'short'"]] },
  client: {
    ...nameOnTag,
    ...sharesBath,
    'length(name) BETWEEN 1 AND 200': [["update client set name = '' where id = 1"]],
    ...clientByCheck,
    "settles IN ('paid', 'trade', 'gift')": [["update client set settles = 'later'"]],
    "photographs IN ('not asked', 'yes', 'yes, not to show', 'no')": [["update client set photographs = 'maybe'"]],
  },
  client_change: {
    'json_valid(was)': [[another('client_change', { was: "'{'" })]],
    'json_valid(became)': [[another('client_change', { became: "''" })]],
  },
  catalogue: {
    'length(id) BETWEEN 1 AND 80': [[another('catalogue', { id: "''" })]],
    "kind IN ('fibre', 'substance', 'rule')": [["update catalogue set kind = 'tool'"]],
    'json_valid(entry)': [["update catalogue set entry = 'nettle'"]],
  },
  catalogue_change: {
    'was IS NULL OR json_valid(was)': [[another('catalogue_change', { was: "'{'" })]],
    'json_valid(became)': [[another('catalogue_change', { became: "'{'" })]],
  },
  commission: {
    'length(purpose) > 0': [["update commission set purpose = ''"]],
    "needed_by GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'": [["update commission set needed_by = 'Friday'"]],
    "arrangement IN ('paid', 'trade', 'gift')": [["update commission set arrangement = 'owed'"]],
    'day_asked IN (0, 1)': [['update commission set day_asked = 2']],
  },
  lot: {
    'length(colour) > 0': [["update lot set colour = '' where id = 4"]],
    "swatch IS NULL OR swatch GLOB '#[0-9a-f][0-9a-f][0-9a-f][0-9a-f][0-9a-f][0-9a-f]'": [
      ["update lot set swatch = 'red' where id = 4"],
    ],
    'ties_undyed IN (0, 1)': [['update lot set ties_undyed = 2 where id = 4']],
    'json_valid(conditions)': [["update lot set conditions = 'waxy' where id = 4"]],
    'json_valid(purposes)': [["update lot set purposes = 'class use' where id = 4"]],
    'damp IS NULL OR json_valid(damp)': [["update lot set damp = '22 %' where id = 4"]],
  },
  bundle: {
    'n > 0': [[another('bundle', { n: '0' }, 'id = 8')]],
    'ties_in BETWEEN 0 AND 200': [[another('bundle', { n: '9', ties_in: '201', ties_on: '201' }, 'id = 8')]],
    'ties_on >= 0': [['drop trigger bundle_ties_told', 'update bundle set ties_on = -1, ties_off = 4 where id = 8']],
    'ties_off >= 0': [['drop trigger bundle_ties_told', 'update bundle set ties_on = 4, ties_off = -1 where id = 8']],
    'ties_lost >= 0': [['drop trigger bundle_ties_told', 'update bundle set ties_on = 4, ties_lost = -1 where id = 8']],
    'dry_weight_g > 0 AND dry_weight_g <= 40000': [
      [asWritten, 'update bundle set dry_weight_g = 0 where id = 8'],
      [asWritten, 'update bundle set dry_weight_g = 40001 where id = 8'],
    ],
    'thickness_mm > 0 AND thickness_mm <= 50': [
      [asWritten, 'update bundle set thickness_mm = 0 where id = 8'],
      [asWritten, 'update bundle set thickness_mm = 51 where id = 8'],
    ],
    "place IN ('arrivals shelf', 'soak tub', 'pot', 'rinse', 'drying line', 'ready shelf', 'handed back', 'not found', 'withdrawn')":
      [["update bundle set place = 'under the bench' where id = 8"], ["update bundle set place = '' where id = 8"]],
    'ties_replaced >= 0 AND ties_replaced <= ties_on + ties_off': tiesReplacedCases,
    'ties_on + ties_off + ties_lost = ties_in': [
      ['drop trigger bundle_ties_told', 'update bundle set ties_on = 2 where id = 8'],
      ['drop trigger bundle_ties_told', 'update bundle set ties_off = 1 where id = 8'],
      ['drop trigger bundle_ties_told', 'update bundle set ties_lost = 1 where id = 8'],
      ['drop trigger bundle_ties_told', 'update bundle set ties_off = 0 where id = 6'],
    ],
    "(place IN ('soak tub', 'pot', 'rinse', 'drying line')) = (load_id IS NOT NULL)": [
      ["update bundle set place = 'pot' where id = 8"],
      ["update bundle set place = 'ready shelf' where id = 6"],
      ['update bundle set load_id = null where id = 6'],
    ],
  },
  pot: {
    'length(name) BETWEEN 1 AND 80': [["update pot set name = '' where id = 1"]],
    'usable_ml > 0': [['update pot set usable_ml = 0']],
    'out_of_use IN (0, 1)': [['update pot set out_of_use = 2']],
    ...potByCheck,
  },
  recipe: {
    'dry_weight_g > 0': [[another('recipe', { dry_weight_g: '0' })]],
    'json_valid(job)': [[another('recipe', { job: "'{'" })]],
    'json_valid(answer)': [[another('recipe', { answer: "'{'" })]],
  },
  load: {
    'dry_weight_g > 0': [['update load set dry_weight_g = 0']],
    'step_n > 0': [['update load set step_n = 0']],
    'taken_out_at IS NULL OR done_at IS NOT NULL': [["update load set taken_out_at = '2026-03-02'"]],
  },
  load_bundle: {
    "from_place IN ('arrivals shelf', 'ready shelf')": [
      [another('load_bundle', { bundle_id: '8', from_place: "'pot'" })],
    ],
    'ties_on >= 0': [[another('load_bundle', { bundle_id: '8', ties_on: '-1' })]],
  },
  load_step: {
    'n > 0': [[another('load_step', { n: '0' })]],
    "place IN ('soak tub', 'pot', 'rinse', 'drying line')": [
      [another('load_step', { n: '9', place: "'ready shelf'" })],
    ],
    'heat IN (0, 1)': [[another('load_step', { n: '9', heat: '2' })]],
    'late_after_minutes IS NULL OR late_after_minutes >= minutes': [
      [another('load_step', { n: '9', minutes: '60', late_after_minutes: '59' })],
    ],
    'ties_come_off IN (0, 1)': [[another('load_step', { n: '9', ties_come_off: '-1' })]],
    ...stepByCheck,
  },
  load_line: {
    'n > 0': [[another('load_line', { n: '0' })]],
    'amount >= 0': [[another('load_line', { n: '9', amount: '-1' })]],
    "unit IN ('g', 'mL')": [[another('load_line', { n: '9', unit: "'cups'" })]],
  },
  bath_log: {
    "kind IN ('step', 'added', 'rinsed', 'noted', 'undone')": [
      [another('bath_log', { kind: "'forgotten'", words: "'x'" }, "kind = 'noted'")],
    ],
    'amount > 0': [[another('bath_log', { amount: '0' }, "kind = 'added'")]],
    "unit IN ('g', 'mL')": [[another('bath_log', { unit: "'handful'" }, "kind = 'added'")]],
    "water IN ('dark', 'coloured', 'tinted', 'clear')": [[another('bath_log', { water: "'cold'" }, "kind = 'rinsed'")]],
    "(kind = 'added') = (substance_id IS NOT NULL AND amount IS NOT NULL AND unit IS NOT NULL)": [
      [another('bath_log', { amount: 'null' }, "kind = 'added'")],
      [another('bath_log', { unit: 'null' }, "kind = 'added'")],
      [another('bath_log', { substance_id: 'null' }, "kind = 'added'")],
      [another('bath_log', { substance_id: "'weld'", amount: '1', unit: "'g'" }, "kind = 'noted'")],
    ],
    "(kind = 'rinsed') = (water IS NOT NULL)": [
      [another('bath_log', { water: 'null' }, "kind = 'rinsed'")],
      [another('bath_log', { water: "'dark'" }, "kind = 'noted'")],
    ],
    "(kind = 'step') = (step_n IS NOT NULL)": [
      [another('bath_log', { step_n: 'null' }, "kind = 'step'")],
      [another('bath_log', { step_n: '3' }, "kind = 'noted'")],
    ],
    "(kind = 'undone') = (undoes IS NOT NULL)": [
      [another('bath_log', { undoes: 'null' }, "kind = 'undone'")],
      [another('bath_log', { undoes: '4' }, "kind = 'noted'")],
    ],
    "kind <> 'noted' OR length(words) > 0": [[another('bath_log', { words: "''" }, "kind = 'noted'")]],
  },
  outcome: {
    "swatch IS NULL OR swatch GLOB '#[0-9a-f][0-9a-f][0-9a-f][0-9a-f][0-9a-f][0-9a-f]'": [
      [another('outcome', { swatch: "'#80202'" })],
    ],
    "nearness IN ('as asked', 'nearly as asked', 'not as asked')": [[another('outcome', { nearness: "'fine'" })]],
  },
  bundle_check: {
    'found IN (0, 1)': [['update bundle_check set found = 2']],
    'tied_again IN (0, 1)': [['update bundle_check set tied_again = 2']],
    'ties_back >= 0': [['update bundle_check set ties_back = -1']],
    'ties_replaced >= 0': [['update bundle_check set ties_replaced = -1']],
    'weight_g > 0': [['update bundle_check set weight_g = 0']],
  },
  history: {
    'was IS NULL OR json_valid(was)': [[another('history', { was: "'{'" })]],
    'became IS NULL OR json_valid(became)': [[another('history', { became: "'nothing'" })]],
  },
}

/** By table and columns: what is there once only. */
export const byUnique: Record<string, Case[]> = {
  ...arrivalsByUnique,
  ...tagsByUnique,
  ...placesByUnique,
  ...bathsByUnique,
  ...calendarByUnique,
  ...chainByUnique,
  ...handBacksByUnique,
  ...clientPagesByUnique,
  ...planByUnique,
  ...promisesByUnique,
  'bundle(lot_id, n)': [[another('bundle', { n: '4' }, 'id = 8')]],
  'pot(name)': [["update pot set name = 'POT 1' where id = 2"]],
  'load(pot_id)': [[another('load', {})]],
  'bath_log(undoes)': [[another('bath_log', {}, "kind = 'undone'")]],
  'catalogue(id)': [[another('catalogue', {})]],
}
