/** Everything that the records hold of one client, table by table as it stands there, and of nobody else. */
import { type RawBuilder, sql } from 'kysely'
import type { Db } from './db.js'

const COMMISSIONS = 'select id from commission where client_id = ?'
const LOTS = `select id from lot where commission_id in (${COMMISSIONS})`
const BUNDLES = `select id from bundle where lot_id in (${LOTS})`
const LOADS = `select load_id from load_bundle where bundle_id in (${BUNDLES})`
const HAND_BACKS = `select id from hand_back where commission_id in (${COMMISSIONS})`
const INCIDENTS = `select id from incident where lot_id in (${LOTS})`

/** The rows of each table that are about a client, as a condition on that table; `?` is the client's number. */
export const OWNED: Readonly<Record<string, string>> = {
  client: 'id = ?',
  client_change: 'client_id = ?',
  client_page: 'client_id = ?',
  timed_wish: 'client_id = ?',
  erasure: 'client_id = ?',
  commission: 'client_id = ?',
  arrival: `commission_id in (${COMMISSIONS})`,
  returnable: `commission_id in (${COMMISSIONS})`,
  unmet_wish: `commission_id in (${COMMISSIONS})`,
  agreement: `commission_id in (${COMMISSIONS})`,
  receipt: `commission_id in (${COMMISSIONS})`,
  release_mark: `commission_id in (${COMMISSIONS})`,
  hand_back: `commission_id in (${COMMISSIONS})`,
  lot: `commission_id in (${COMMISSIONS})`,
  lot_arrival: `lot_id in (${LOTS})`,
  agreed_lot: `lot_id in (${LOTS})`,
  keep_apart: `lot_id in (${LOTS})`,
  recipe: `lot_id in (${LOTS})`,
  wet_cloth: `lot_id in (${LOTS})`,
  day_promise: `lot_id in (${LOTS})`,
  outcome: `lot_id in (${LOTS})`,
  photograph: `lot_id in (${LOTS})`,
  description: `lot_id in (${LOTS})`,
  client_told: `lot_id in (${LOTS})`,
  hand_back_lot: `lot_id in (${LOTS})`,
  incident: `lot_id in (${LOTS})`,
  incident_bundle: `incident_id in (${INCIDENTS})`,
  incident_word: `incident_id in (${INCIDENTS})`,
  plan_pin: `lot_id in (${LOTS})`,
  bundle: `lot_id in (${LOTS})`,
  bundle_arrival: `bundle_id in (${BUNDLES})`,
  correction: `(of_table in ('bundle', 'bundle_arrival') and row_id in (${BUNDLES})) or (of_table = 'lot' and row_id in (${LOTS}))
    or (of_table = 'commission' and row_id in (${COMMISSIONS})) or (of_table = 'load' and row_id in (${LOADS}))`,
  tag: `bundle_id in (${BUNDLES})`,
  tag_print: `tag_id in (select id from tag where bundle_id in (${BUNDLES}))`,
  move: `bundle_id in (${BUNDLES})`,
  tie_event: `bundle_id in (${BUNDLES})`,
  spot_move: `bundle_id in (${BUNDLES})`,
  shelf_count_bundle: `bundle_id in (${BUNDLES})`,
  shelf_count_seen: `bundle_id in (${BUNDLES})`,
  shelf_count_finding: `bundle_id in (${BUNDLES})`,
  shelf_count_answer: `finding_id in (select id from shelf_count_finding where bundle_id in (${BUNDLES}))`,
  bundle_check: `bundle_id in (${BUNDLES})`,
  hand_back_bundle: `bundle_id in (${BUNDLES})`,
  found_again: `bundle_id in (${BUNDLES})`,
  load_bundle: `bundle_id in (${BUNDLES})`,
  load: `id in (${LOADS})`,
  load_lot: `lot_id in (${LOTS})`,
  counted_out: `lot_id in (${LOTS})`,
  load_step: `load_id in (${LOADS})`,
  load_line: `load_id in (${LOADS})`,
  load_weighed: `load_id in (${LOADS})`,
  step_overrun: `load_id in (${LOADS})`,
  bath_log: `load_id in (${LOADS})`,
  hand_back_person: `hand_back_id in (${HAND_BACKS})`,
  hand_back_note: `hand_back_id in (${HAND_BACKS})`,
  history: `lot_id in (${LOTS}) or commission_id in (${COMMISSIONS})`,
}

/** A condition with the client's number in the place of each `?`. */
export function aboutClient(condition: string, clientId: number): RawBuilder<unknown> {
  const parts = condition.split('?')
  return sql.join(
    parts.flatMap((part, n) => (n === 0 ? [sql.raw(part)] : [sql`${clientId}`, sql.raw(part)])),
    sql``,
  )
}

type Row = Record<string, unknown>
export type ClientData = Record<string, Row[]>

/** Each table's rows about a client, whole, as they stand: what a client may take away (GDPR, articles 15 and 20). */
export async function everythingOf(db: Db, clientId: number): Promise<ClientData> {
  const data: ClientData = {}
  for (const [table, condition] of Object.entries(OWNED)) {
    const { rows } =
      await sql<Row>`select * from ${sql.table(table)} where ${aboutClient(condition, clientId)}`.execute(db)
    data[table] = rows
  }
  return data
}
