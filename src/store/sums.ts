/** Whether the records add up: asked of the file as it is, for `check`. What the database itself refuses is asked again. */
import { sql } from 'kysely'
import { sayRuns } from '../domain/number-runs.js'
import type { Db } from './db.js'

type Sum = { sentence: (ids: string) => string; wrong: string }

/** What bundle `b` weighed when it was laid, where its weight was put right since. */
const WEIGHT_THEN = `(select c.was from correction c join chain line on line.of_table = 'correction' and line.row_id = c.id
  where c.of_table = 'bundle' and c.row_id = b.id and c.field = 'dry_weight_g'
    and line.n > (select n from chain where of_table = 'load' and row_id = load.id) order by c.id limit 1)`

const SUMS: readonly Sum[] = [
  {
    sentence: ids => `Bundles ${ids} are not where their last move left them.`,
    wrong: `select id from bundle where place is not
      (select to_place from move where bundle_id = bundle.id order by id desc limit 1)`,
  },
  {
    sentence: ids => `Moves ${ids} do not begin where the move before ended.`,
    wrong: `select id from (select id, from_place, lag(to_place) over (partition by bundle_id order by id) as was from move)
      where from_place is not was`,
  },
  {
    sentence: ids => `The ties of bundles ${ids} do not add up to those that came.`,
    wrong: `select id from bundle where ties_on + ties_off + ties_lost <> ties_in`,
  },
  {
    sentence: ids => `The ties of bundles ${ids} do not hang as their last line on the tie board says.`,
    wrong: `select bundle.id from bundle join tie_event e on e.id = (select max(id) from tie_event where bundle_id = bundle.id)
      where (bundle.ties_on, bundle.ties_off, bundle.ties_lost, bundle.ties_replaced)
        is not (e.ties_on, e.ties_off, e.ties_lost, e.ties_replaced)`,
  },
  {
    sentence: ids => `Bundles ${ids} are under way in no load.`,
    wrong: `select id from bundle where place in ('soak tub', 'pot', 'rinse', 'drying line') and not exists (
      select 1 from load_bundle join load on load.id = load_bundle.load_id
      where load_bundle.bundle_id = bundle.id and load.id = bundle.load_id and load.done_at is null)`,
  },
  {
    sentence: ids => `The bundles of loads ${ids} do not add up to the shares of their lots.`,
    wrong: `select id from load where abs(dry_weight_g - (select total(dry_weight_g) from load_lot where load_id = load.id)) > 1e-6
      or exists (select 1 from load_lot where load_id = load.id and abs(dry_weight_g - (
        select total(coalesce(${WEIGHT_THEN}, b.dry_weight_g)) from load_bundle join bundle b on b.id = load_bundle.bundle_id
        where load_bundle.load_id = load.id and b.lot_id = load_lot.lot_id)) > 1e-6)`,
  },
  {
    sentence: ids => `Bundles ${ids} lay in a load that was not of their lot.`,
    wrong: `select distinct bundle.id from load_bundle join bundle on bundle.id = load_bundle.bundle_id
      where not exists (select 1 from load_lot where load_id = load_bundle.load_id and lot_id = bundle.lot_id)`,
  },
  {
    sentence: ids => `Bundles ${ids} went back on no closed hand-back.`,
    wrong: `select id from bundle where place = 'handed back' and not exists (
      select 1 from hand_back_bundle b join hand_back h on h.id = b.hand_back_id
      where b.bundle_id = bundle.id and b.found = 1 and h.closed = 1)`,
  },
  {
    sentence: ids => `Bundles ${ids} have no tag that counts, or more than one.`,
    wrong: `select id from bundle where 1 <> (select count(*) from tag where bundle_id = bundle.id and void_at is null)
      and place <> 'withdrawn'`,
  },
  {
    sentence: ids => `Lots ${ids} are closed although not all their bundles are gone, or the other way round.`,
    wrong: `select id from lot where (closed_at is null) <> exists (
      select 1 from bundle where lot_id = lot.id and place not in ('handed back', 'not found', 'withdrawn'))`,
  },
]

/** A sentence for each sum that does not add up; none in a workshop in order. */
export async function wrongSums(db: Db): Promise<string[]> {
  const sentences: string[] = []
  for (const { sentence, wrong } of SUMS) {
    const { rows } = await sql<{ id: number }>`${sql.raw(wrong)} order by 1`.execute(db)
    if (rows.length > 0) sentences.push(sentence(sayRuns(rows.map(({ id }) => id))))
  }
  return sentences
}

/** Whether the file itself is whole, page by page, and every reference in it leads somewhere. */
export async function damage(db: Db): Promise<string[]> {
  const pages = await sql<{ integrity_check: string }>`pragma integrity_check(5)`.execute(db)
  const broken = await sql<{ table: string }>`pragma foreign_key_check`.execute(db)
  return [
    ...pages.rows
      .filter(row => row.integrity_check !== 'ok')
      .map(row => `The file is damaged: ${row.integrity_check}.`),
    ...(broken.rows.length > 0 ? [`${broken.rows.length} references lead nowhere.`] : []),
  ]
}
