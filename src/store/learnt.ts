/** Reads what the bath log teaches. */
import { sql } from 'kysely'
import { type FibreAndRoute, type LearntFigure, type LoggedLoad, learn, learntMinutesFor } from '../domain/learnt.js'
import type { Press } from '../domain/load.js'
import type { Water } from '../domain/outcome.js'
import type { Route, StepKey } from '../domain/recipe.js'
import type { Db } from './db.js'
import { stepsOfLoads } from './load-record.js'
import { numbersIn } from './ready.js'

/** What is learnt so far, by fibre, route and step; of one fibre only when it is named. */
export const learntFigures = async (db: Db, fibreId?: string): Promise<LearntFigure[]> =>
  learn(await loggedLoads(db, fibreId))

/** For a plan: the minutes that a step takes here, or null. */
export async function learntByLog(db: Db) {
  const figures = await learntFigures(db)
  return (step: { key: StepKey }, fibreId: string, route: FibreAndRoute['route']): number | null =>
    learntMinutesFor(figures, { fibreId, route })(step)
}

/** So many loads, the newest ones, are what a workshop does now. */
const NEWEST = 400

/** What is undone teaches nothing, nor a load that was taken out again. A shared bath teaches of each fibre in it, once. */
async function loggedLoads(db: Db, fibreId: string | undefined): Promise<LoggedLoad[]> {
  const loads = await db
    .selectFrom('load')
    .innerJoin('load_lot', 'load_lot.load_id', 'load.id')
    .innerJoin('lot', 'lot.id', 'load_lot.lot_id')
    .select(['load.id', 'lot.fibre_id as fibreId', sql<Route>`lot.route`.as('route')])
    .distinct()
    .where('taken_out_at', 'is', null)
    .$if(fibreId !== undefined, query => query.where('lot.fibre_id', '=', fibreId ?? ''))
    .orderBy('load.id', 'desc')
    .limit(NEWEST)
    .execute()
  const ids = loads.map(({ id }) => id)
  const [stepsOf, linesOf] = [byLoad(await stepsOfLoads(db, ids)), byLoad(await linesThatCount(db, ids))]
  return loads.map(({ id, ...lot }) => ({
    ...lot,
    steps: (stepsOf.get(id) ?? []).map(({ step }) => step),
    presses: (linesOf.get(id) ?? []).flatMap(({ n, at }): Press[] => (n === null ? [] : [{ n, at }])),
    rinses: (linesOf.get(id) ?? []).flatMap(({ water }): { water: Water }[] => (water === null ? [] : [{ water }])),
  }))
}

function byLoad<T extends { loadId: number }>(rows: readonly T[]): Map<number, T[]> {
  const groups = new Map<number, T[]>()
  for (const row of rows) {
    const group = groups.get(row.loadId)
    if (group) group.push(row)
    else groups.set(row.loadId, [row])
  }
  return groups
}

const linesThatCount = (db: Db, loadIds: number[]) =>
  db
    .selectFrom('bath_log as line')
    .leftJoin('bath_log as undoing', 'undoing.undoes', 'line.id')
    .select(['line.load_id as loadId', 'line.step_n as n', 'line.at', 'line.water'])
    .where('line.load_id', 'in', numbersIn(JSON.stringify(loadIds)))
    .where('line.kind', 'in', ['step', 'rinsed'])
    .where('undoing.id', 'is', null)
    .orderBy('line.id')
    .execute()
