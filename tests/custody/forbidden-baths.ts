/** What the database refuses by itself of lots that share a bath. */
import type { Another, Case } from './forbidden.js'

const another = (table: string, but: Record<string, string>, like?: string): Another =>
  like === undefined ? { another: table, but } : { another: table, but, like }

/** A load that has not started, of 150 g, in a pot of the past. */
export const newLoad = another('load', { pot_free_at: "'2026-03-02T09:00:00.000Z'", dry_weight_g: '150' })
const recipeOf = (lot: number) => `(select recipe_id from load_lot where lot_id = ${lot} limit 1)`
export const lotInto = (lot: number, grams = 150, recipe = recipeOf(lot)) =>
  `insert into load_lot select max(id), ${lot}, ${recipe}, ${grams} from load`
const told = "insert into shared_bath select max(id), 'a red knot', '2026-03-02', 1 from load"
const bundleInto = (bundle: number) =>
  `insert into load_bundle (load_id, bundle_id, ties_on) select max(id), ${bundle}, 3 from load`
const starts = another('bath_log', { load_id: '(select max(id) from load)' }, "kind = 'step' and step_n = 1")
const apart = (lot: number) => `insert into keep_apart (lot_id, why, at, worker_id) values (${lot}, 'insects', '', 1)`
const stepOfLoad2 = another('bath_log', { load_id: '2', step_n: '6' }, "kind = 'step' and step_n = 2")
const counted = (lot: number, bundles: number) =>
  `insert into counted_out (log_id, lot_id, bundles) select max(id), ${lot}, ${bundles} from bath_log where load_id = 2`
const done = "update load set done_at = '2026-03-03' where id = 2"
const lost = `insert into incident (lot_id, kind, found_at, entered_at, worker_id, what_happened)
  select 6, 'bundle lost', '2026-03-02', laid_at, 1, 'down the drain' from load where id = 2`
const lostBundle = 'insert into incident_bundle select max(id), 12 from incident'

export const bathsByTrigger: Record<string, Case[]> = {
  shared_bath_stays: [["update shared_bath set told_apart = 'by their smell'"]],
  shared_bath_kept: [['delete from shared_bath']],
  load_lot_told_apart: [[newLoad, lotInto(6), lotInto(7)]],
  load_lot_allowed: [
    [newLoad, told, "update client set shares_bath = 'never' where id = 3", lotInto(6), lotInto(7)],
    [newLoad, told, "update client set shares_bath = 'never' where id = 1", lotInto(6), lotInto(7)],
    [newLoad, told, "update client set shares_bath = 'not asked' where id = 1", lotInto(6), lotInto(7)],
  ],
  load_lot_apart: [
    [newLoad, told, apart(6), lotInto(6), lotInto(7)],
    [newLoad, told, apart(7), lotInto(6), lotInto(7)],
  ],
  load_lot_by_its_recipe: [[newLoad, lotInto(6, 150, recipeOf(7))]],
  load_lot_before_it_starts: [
    [
      "update client set shares_bath = 'may'",
      "insert into shared_bath values (1, 'a red knot', '2026-03-02', 1)",
      `insert into load_lot values (1, 6, ${recipeOf(6)}, 150)`,
    ],
  ],
  load_lot_stays: [['update load_lot set dry_weight_g = 1 where load_id = 2 and lot_id = 6']],
  load_lot_kept: [['delete from load_lot where load_id = 2 and lot_id = 7']],
  load_bundle_of_its_lots: [
    ['insert into load_bundle (load_id, bundle_id, ties_on) values (1, 13, 3)'],
    [newLoad, lotInto(7), bundleInto(13)],
  ],
  load_starts_whole: [
    [newLoad, starts],
    [newLoad, lotInto(6), starts],
    [newLoad, lotInto(6, 140), bundleInto(13), starts],
    [newLoad, 'update load set dry_weight_g = 300', lotInto(6), bundleInto(13), starts],
  ],
  counted_out_of_load: [
    ['insert into counted_out (log_id, lot_id, bundles) select min(id), 6, 1 from bath_log where load_id = 1'],
    [
      "insert into counted_out (log_id, lot_id, bundles) select id, 6, 1 from bath_log where load_id = 2 and kind = 'rinsed'",
    ],
  ],
  counted_out_stays: [['update counted_out set bundles = 3']],
  counted_out_kept: [['delete from counted_out']],
  load_out_as_in: [
    [done],
    [stepOfLoad2, counted(6, 1), done],
    [stepOfLoad2, counted(6, 1), counted(7, 2), done],
    [stepOfLoad2, counted(6, 0), counted(7, 1), done],
    [lost, lostBundle, stepOfLoad2, counted(6, 1), counted(7, 1), done],
  ],
}

export const sharesBath: Record<string, Case[]> = {
  "shares_bath IN ('not asked', 'may', 'never')": [["update client set shares_bath = 'perhaps' where id = 1"]],
}

export const bathsByCheck: Record<string, Record<string, Case[]>> = {
  shared_bath: {
    'length(trim(told_apart)) > 0': [
      [newLoad, "insert into shared_bath select max(id), ' ', '2026-03-02', 1 from load"],
    ],
  },
  load_lot: { 'dry_weight_g > 0': [[newLoad, lotInto(6, 0)]] },
  counted_out: { 'bundles >= 0': [[stepOfLoad2, counted(6, -1)]] },
}

export const bathsByUnique: Record<string, Case[]> = {
  'counted_out(log_id, lot_id)': [[another('counted_out', {})]],
}
