/** Everything that is still to be done with fibre that is here, in a few statements however many lots there ever were. */
import { sql } from 'kysely'
import type { Condition } from '../domain/catalogue.js'
import type { LotToDye } from '../domain/job-for-lot.js'
import type { TimedStep } from '../domain/plan-steps.js'
import type { Purpose, Recipe, Route, StepKey } from '../domain/recipe.js'
import type { Db } from './db.js'
import { type LotInLoad, lotsInLoads, namedLots, type OpenLot } from './lots-in-load.js'
import { ready } from './ready.js'

export type OpenLoad = {
  loadId: number
  lots: LotInLoad[]
  potId: number
  potFreeAt: string | null
  laidAt: string
  dryWeightG: number
  bundles: number
  recipe: Recipe
  steps: TimedStep[]
  /** When its steps began; the last of these is under way. */
  begunAt: string[]
}

const loadRows = ready(db =>
  db
    .selectFrom('load')
    .innerJoin('recipe', 'recipe.id', 'load.recipe_id')
    .select([
      'load.id as loadId',
      'load.pot_id as potId',
      'load.pot_free_at as potFreeAt',
      'load.laid_at as laidAt',
      'load.dry_weight_g as dryWeightG',
      'recipe.answer',
      sql<number>`(select count(*) from bundle where load_id = load.id)`.as('bundles'),
    ])
    .where('load.done_at', 'is', null)
    .orderBy('load.id'),
)

const stepRows = ready(db =>
  db
    .selectFrom('load')
    .innerJoin('load_step', 'load_step.load_id', 'load.id')
    .selectAll('load_step')
    .where('load.done_at', 'is', null)
    .orderBy('load.id')
    .orderBy('load_step.n'),
)

/** The presses that count: each began a step. */
const pressRows = ready(db =>
  db
    .selectFrom('load')
    .innerJoin('bath_log as line', 'line.load_id', 'load.id')
    .leftJoin('bath_log as undoing', 'undoing.undoes', 'line.id')
    .select(['load.id as loadId', 'line.at'])
    .where('load.done_at', 'is', null)
    .where('line.kind', '=', 'step')
    .where('undoing.id', 'is', null)
    .orderBy('load.id')
    .orderBy('line.step_n'),
)

export async function openLoads(db: Db): Promise<OpenLoad[]> {
  const [rows, steps, presses] = [await loadRows(db), await stepRows(db), await pressRows(db)]
  const [stepsOf, pressesOf] = [groupedBy(steps, row => row.load_id), groupedBy(presses, row => row.loadId)]
  const lotsOf = await lotsInLoads(
    db,
    rows.map(({ loadId }) => loadId),
  )
  return rows.map(({ answer, ...row }) => ({
    ...row,
    lots: lotsOf.get(row.loadId) ?? [],
    recipe: JSON.parse(answer),
    steps: (stepsOf.get(row.loadId) ?? []).map(timedStep),
    begunAt: (pressesOf.get(row.loadId) ?? []).map(({ at }) => at),
  }))
}

function groupedBy<Row>(rows: readonly Row[], keyOf: (row: Row) => number): Map<number, Row[]> {
  const groups = new Map<number, Row[]>()
  for (const row of rows) {
    const group = groups.get(keyOf(row))
    if (group === undefined) groups.set(keyOf(row), [row])
    else group.push(row)
  }
  return groups
}

/** What a load knew nothing of when it was laid is taken as most recipes have it. */
const timedStep = (row: Awaited<ReturnType<typeof stepRows>>[number]): TimedStep => ({
  key: row.key as StepKey,
  title: row.title,
  place: row.place,
  minutes: row.minutes,
  warmUpMinutes: row.warm_up_minutes,
  atLeastMinutes: row.at_least_minutes ?? null,
  atMostMinutes: row.at_most_minutes ?? row.late_after_minutes,
  hands: (row.hands ?? (row.key === 'rinse' ? 1 : 0)) === 1,
  handsMinutes: row.hands_minutes ?? 15,
  heat: row.heat === 1,
  mayStandOvernight: (row.may_stand_overnight ?? (STANDING_KEYS.includes(row.key) ? 1 : 0)) === 1,
})
const STANDING_KEYS = ['soak', 'stand', 'vat', 'dry']

/** A lot with bundles on the arrivals shelf that may go into a bath. */
export type WaitingLot = OpenLot &
  Omit<LotToDye, 'bundles'> & {
    takenInAt: string
    bundles: { id: number; n: number; dryWeightG: number }[]
    /** The recipe in force; null when there is none. */
    recipe: Recipe | null
  }

const waitingRows = ready(db =>
  namedLots(db)
    .select([
      sql<Route>`lot.route`.as('route'),
      'lot.dye_id as dyeId',
      'lot.ties_undyed as tiesUndyed',
      'lot.against',
      'lot.conditions',
      'lot.purposes',
      'commission.taken_in_at as takenInAt',
      sql<
        string | null
      >`(select answer from recipe where lot_id = lot.id and part_of is null order by id desc limit 1)`.as('answer'),
    ])
    .where('lot.id', 'in', db.selectFrom('bundle').select('lot_id').where('place', '=', 'arrivals shelf'))
    .where('lot.closed_at', 'is', null)
    .orderBy('commission.needed_by')
    .orderBy('lot.id'),
)

/** What was found unsuitable waits for an answer, and is not planned. */
const waitingBundles = ready(db =>
  db
    .selectFrom('bundle')
    .select(['id', 'lot_id as lotId', 'n', 'dry_weight_g as dryWeightG'])
    .where('place', '=', 'arrivals shelf')
    .where(
      sql<boolean>`not exists (select 1 from incident_bundle join incident on incident.id = incident_bundle.incident_id
        where incident_bundle.bundle_id = bundle.id and incident.kind = 'unsuitable fibre' and incident.closed_at is null)`,
    )
    .orderBy('lot_id')
    .orderBy('n'),
)

export async function waitingLots(db: Db): Promise<WaitingLot[]> {
  const [rows, bundles] = [await waitingRows(db), await waitingBundles(db)]
  const bundlesOf = groupedBy(bundles, row => row.lotId)
  return rows.map(({ answer, tiesUndyed, conditions, purposes, ...row }) => ({
    ...row,
    tiesUndyed: tiesUndyed === 1,
    conditions: JSON.parse(conditions) as Condition[],
    purposes: JSON.parse(purposes) as Purpose[],
    bundles: (bundlesOf.get(row.lotId) ?? []).map(({ lotId: _, ...bundle }) => bundle),
    recipe: answer === null ? null : (JSON.parse(answer) as Recipe),
  }))
}
