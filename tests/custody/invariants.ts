/** What must hold of a workshop's records at every moment, asked of the tables themselves and of nothing else. */
import type { Database } from 'better-sqlite3'
import { saysSomething } from './actions.js'

/** What went back, without what was given up and found again, and what did not go after all. */
const COUNTS = `(select * from hand_back_bundle b where not exists
  (select 1 from found_again f where f.hand_back_id = b.hand_back_id and f.bundle_id = b.bundle_id))`

/** Each rule as a question for the rows that break it. */
const RULES: Record<string, string> = {
  'a bundle is where its last move left it': `
    select id, place from bundle where place is not
      (select to_place from move where bundle_id = bundle.id order by id desc limit 1)`,
  'a move begins where the one before it ended': `
    select id, bundle_id, from_place from (
      select id, bundle_id, from_place, lag(to_place) over (partition by bundle_id order by id) as was from move
    ) where from_place is not was`,
  'a bundle lies on the spot of its last change of spot, which is one of its place': `
    select bundle.id, spot_id from bundle left join spot on spot.id = spot_id
      where spot_id is not (select to_spot_id from spot_move where bundle_id = bundle.id order by id desc limit 1)
        or (spot_id is not null and spot.place <> bundle.place)`,
  'a shelf count lists as many bundles as it says, and a done one says of each what was found': `
    select c.id from shelf_count c
      where listed <> (select count(*) from shelf_count_bundle l where l.count_id = c.id)
        or (ended_at is not null and exists (select 1 from shelf_count_bundle l where l.count_id = c.id
          and l.bundle_id not in (select bundle_id from shelf_count_finding f where f.count_id = c.id)))`,
  'a bundle was taken in once': `
    select bundle_id from move where from_place is null group by bundle_id having count(*) <> 1`,
  'the ties on, off and lost are the ties that came': `
    select id from bundle where ties_on + ties_off + ties_lost <> ties_in or min(ties_on, ties_off, ties_lost) < 0`,
  'ties hang on the board only after a bath': `
    select id from bundle where ties_off > 0 and id not in (select bundle_id from load_bundle)`,
  'a bundle under way is in one load, which is not done, at the place of its step': `
    select bundle.id, place, load_id from bundle where (load_id is not null or place in ('soak tub', 'pot', 'rinse', 'drying line'))
      and not exists (
        select 1 from load join load_bundle on load_bundle.load_id = load.id join load_step on load_step.load_id = load.id and load_step.n = load.step_n
        where load.id = bundle.load_id and load.done_at is null and load_step.place = bundle.place
          and load_bundle.bundle_id = bundle.id)`,
  'a load that is not done holds all its bundles': `
    select load.id, bundle.id from load join load_bundle on load_bundle.load_id = load.id
      join bundle on bundle.id = load_bundle.bundle_id
      where load.done_at is null and bundle.load_id is not load.id`,
  'a load holds bundles of its own lots, and some of each': `
    select load_bundle.load_id, bundle.id from load_bundle join bundle on bundle.id = load_bundle.bundle_id
      left join load_lot on load_lot.load_id = load_bundle.load_id and load_lot.lot_id = bundle.lot_id
      where load_lot.lot_id is null
    union all select load_id, lot_id from load_lot where not exists (select 1 from load_bundle
      join bundle on bundle.id = load_bundle.bundle_id where load_bundle.load_id = load_lot.load_id and bundle.lot_id = load_lot.lot_id)`,
  'the bath of a load is the recipe of one of its lots': `
    select load.id from load join recipe on recipe.id = load.recipe_id
      where not exists (select 1 from load_lot where load_id = load.id and lot_id = recipe.lot_id)`,
  'the shares of a load are the weights of its bundles as they stood then, and add up to it': `
    select load.id from load where abs(dry_weight_g - (select total(dry_weight_g) from load_lot where load_id = load.id)) > 1e-6
      or exists (select 1 from load_lot l where l.load_id = load.id and abs(l.dry_weight_g - (select total(coalesce(
          (select was from correction c join chain line on line.of_table = 'correction' and line.row_id = c.id
            where c.of_table = 'bundle' and c.row_id = b.id and c.field = 'dry_weight_g'
              and line.n > (select n from chain where of_table = 'load' and row_id = load.id) order by c.id limit 1), b.dry_weight_g))
        from load_bundle join bundle b on b.id = bundle_id where load_bundle.load_id = load.id and b.lot_id = l.lot_id)) > 1e-6)`,
  'lots share a bath only when it is said how they are told apart, and every owner lets them': `
    select load.id from load where (select count(*) from load_lot where load_id = load.id) > 1
      and (load.id not in (select load_id from shared_bath) or
        (1 < (select count(distinct c.client_id) from load_lot l join lot on lot.id = l.lot_id
            join commission c on c.id = lot.commission_id where l.load_id = load.id)
          and exists (select 1 from load_lot l join lot on lot.id = l.lot_id join commission c on c.id = lot.commission_id
            join client on client.id = c.client_id where l.load_id = load.id and client.shares_bath <> 'may')))`,
  'as many bundles of each lot were counted out of a shared bath as went in': `
    select load.id, l.lot_id from load join load_lot l on l.load_id = load.id
      where pot_free_at is not null and taken_out_at is null and (select count(*) from load_lot where load_id = load.id) > 1
        and not exists (select 1 from counted_out c join bath_log on bath_log.id = c.log_id
          where bath_log.load_id = load.id and c.lot_id = l.lot_id and c.bundles = (select count(*) from load_bundle
            join bundle on bundle.id = bundle_id where load_bundle.load_id = load.id and bundle.lot_id = l.lot_id))`,
  'a pot holds one load': `
    select pot_id from load where pot_free_at is null group by pot_id having count(*) > 1`,
  'a load that is in its pot holds it': `
    select bundle.id, load.id from bundle join load on load.id = bundle.load_id
      where bundle.place = 'pot' and load.pot_free_at is not null`,
  'a load that is done holds no pot': `select id from load where done_at is not null and pot_free_at is null`,
  'a load counts the lines of its log': `
    select id, version from load where version <> (select count(*) from bath_log where load_id = load.id)`,
  'every line of the log is told in the history of each lot, once': `
    select load_id, lot_id from load_lot l where (select count(*) from bath_log where load_id = l.load_id)
      <> (select count(*) from history where load_id = l.load_id and lot_id = l.lot_id
        and what not in ('weighed out', 'settled in the plan', 'left to the plan again') and what not like 'lifted over from %')`,
  'every weighing is told in the history of each lot, once': `
    select load_id, lot_id from load_lot l where (select count(*) from load_weighed where load_id = l.load_id and n = 1)
      <> (select count(*) from history where load_id = l.load_id and lot_id = l.lot_id and what = 'weighed out')`,
  'every lot is told to be taken in, once, and handed back as often as it was': `
    select id from lot where 1 <> (select count(*) from history where lot_id = lot.id and what = 'taken in')
      or (select count(*) from hand_back_lot where lot_id = lot.id)
        <> (select count(*) from history where lot_id = lot.id and what in ('handed back', 'handed back in part'))`,
  'a hand-back is closed': `select id from hand_back where closed <> 1`,
  'every bundle of a lot that was known at a hand-back stands on its slip or an earlier one, or stays with words': `
    select l.hand_back_id, bundle.id from hand_back_lot l join bundle on bundle.lot_id = l.lot_id
      join hand_back h on h.id = l.hand_back_id and h.at > (select min(at) from move where bundle_id = bundle.id)
      where l.stays_until is null and trim(l.stays_words) = '' and bundle.place <> 'withdrawn' and not exists
        (select 1 from hand_back_bundle b where b.hand_back_id <= l.hand_back_id and b.bundle_id = bundle.id)`,
  'a bundle goes back once': `
    select bundle_id from ${COUNTS} where found = 1 group by bundle_id having count(*) > 1`,
  'a bundle is on one slip that counts, at most': `
    select bundle_id from ${COUNTS} group by bundle_id having count(*) > 1`,
  'the bundles here and those on slips are the bundles that came': `
    select 1 where (select count(*) from bundle) <>
      (select count(*) from bundle where place not in ('handed back', 'not found', 'withdrawn')) + (select count(*) from ${COUNTS})
        + (select count(*) from correction where field = 'place')`,
  'what is here again stood on a slip that was closed': `
    select id from found_again f where not exists (select 1 from hand_back_bundle b join hand_back h on h.id = b.hand_back_id
      where b.hand_back_id = f.hand_back_id and b.bundle_id = f.bundle_id and h.closed = 1)`,
  'a slip is kept with its facts and its receiver, who had a right to it': `
    select h.id from hand_back h left join hand_back_person p on p.hand_back_id = h.id
      where h.facts is null or p.to_whom is null or (h.receiver = 'another' and trim(p.authority) = '')`,
  'a slip holds only bundles of its lots': `
    select b.hand_back_id, b.bundle_id from hand_back_bundle b join bundle on bundle.id = b.bundle_id
      where not exists (select 1 from hand_back_lot l where l.hand_back_id = b.hand_back_id and l.lot_id = bundle.lot_id)`,
  'a lot goes back with its own commission': `
    select l.lot_id from hand_back_lot l join lot on lot.id = l.lot_id join hand_back h on h.id = l.hand_back_id
      where lot.commission_id <> h.commission_id`,
  'a closed lot stands on a slip': `
    select id from lot where closed_at is not null and id not in (select lot_id from hand_back_lot)`,
  'a lot is closed exactly when none of its bundles is here': `
    select id from lot where (closed_at is null) <> exists
      (select 1 from bundle where lot_id = lot.id and place not in ('handed back', 'not found', 'withdrawn'))`,
  'a bundle is gone the way its slip says, with the ties that were counted': `
    select bundle.id, place from bundle left join ${COUNTS} b on b.bundle_id = bundle.id
      where (place = 'handed back') <> (b.found is 1) or (place = 'not found') <> (b.found is 0)
        or (b.found is not null and (bundle.ties_in <> b.ties_in or ties_on <> b.ties_back + b.ties_replaced or ties_off <> 0))`,
  'a bundle has one tag that counts, and one that was withdrawn has none': `
    select id from bundle where (place <> 'withdrawn') <> (select count(*) from tag where bundle_id = bundle.id and void_at is null)`,
  'a void tag is followed by another of its bundle, unless that was withdrawn, and no other is': `
    select id from tag where (void_at is not null and bundle_id not in (select id from bundle where place = 'withdrawn')) <> exists
      (select 1 from tag next where next.replaces = tag.id and next.bundle_id = tag.bundle_id)`,
  'ties are lost only on a slip or on the tie board': `
    select id from bundle where ties_lost > 0 and id not in (select bundle_id from ${COUNTS})
      and id not in (select bundle_id from hand_back_bundle where found = 1)
      and id not in (select bundle_id from tie_event where kind = 'lost' and words not like 'hand-back, slip%')`,
  'the ties hang as their last line on the tie board says, or as they came': `
    select bundle.id from bundle left join tie_event e
      on e.id = (select max(id) from tie_event where bundle_id = bundle.id)
      where (bundle.ties_on, bundle.ties_off, bundle.ties_lost, bundle.ties_replaced)
        is not (ifnull(e.ties_on, ties_in), ifnull(e.ties_off, 0), ifnull(e.ties_lost, 0), ifnull(e.ties_replaced, 0))`,
  'each line of the tie board adds up to the ties that came': `
    select e.id from tie_event e join bundle on bundle.id = bundle_id
      where e.ties_on + e.ties_off + e.ties_lost <> ties_in or e.ties_replaced > e.ties_on + e.ties_off
        or min(e.ties_on, e.ties_off, e.ties_lost, e.ties_replaced) < 0`,
  'what stands written of a bundle is what its newest line says, and the lines follow one from the other': `
    select id, field from correction c where became is not coalesce(
      (select min(was) from correction later where later.id = (select min(id) from correction
        where of_table = c.of_table and row_id = c.row_id and field = c.field and id > c.id)),
      (select case c.field when 'ties_in' then ties_in when 'dry_weight_g' then dry_weight_g when 'weight_typed' then weight_typed
        when 'place' then place when 'condition' then condition when 'how_tied' then how_tied end from bundle where id = c.row_id))
      and of_table = 'bundle' and field in ('ties_in', 'dry_weight_g', 'weight_typed', 'place', 'condition', 'how_tied')`,
  'a bundle goes back with as many ties made anew as its slip says': `
    select bundle.id from bundle join ${COUNTS} b on b.bundle_id = bundle.id where bundle.ties_replaced <> b.ties_replaced`,
}

const UNEXPLAINED = `
  select bundle_id, explanation from hand_back_bundle
    where found = 0 or tied_again = 0 or ties_back + ties_replaced <> ties_in
      or (weight_g is not null and weight_g not between band_from * (select dry_weight_g from bundle where id = bundle_id) - 1e-6
        and band_to * (select dry_weight_g from bundle where id = bundle_id) + 1e-6)
      or condition <> 'as it came'`

/** Every rule that is broken, with the rows that break it; [] for a workshop in order. */
export function brokenRules(raw: Database): string[] {
  const broken = Object.entries(RULES).flatMap(([rule, question]) => tell(rule, raw.prepare(question).all()))
  const told = raw.prepare<[], { bundle_id: number; explanation: string }>(UNEXPLAINED).all()
  const silent = told.filter(({ explanation }) => !saysSomething(explanation))
  return [
    ...broken,
    ...tell('what does not add up on a slip has words', silent),
    ...tell('every reference leads somewhere', raw.pragma('foreign_key_check') as unknown[]),
  ]
}

const tell = (rule: string, rows: unknown[]): string[] => (rows.length > 0 ? [`${rule}: ${JSON.stringify(rows)}`] : [])

/** The file itself, page by page and reference by reference. */
export const isWhole = (raw: Database): boolean =>
  raw.pragma('integrity_check', { simple: true }) === 'ok' &&
  (raw.pragma('foreign_key_check') as unknown[]).length === 0
