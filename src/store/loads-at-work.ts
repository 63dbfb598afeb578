/** The loads that are not done, each in one record: what the pots, the rinse and the drying line hold at this moment. */
import { sql } from 'kysely'
import type { LoadStep } from '../domain/load.js'
import type { Db } from './db.js'
import { stepsOfLoads } from './load-record.js'
import { numbersIn, ready } from './ready.js'

export type LoadAtWork = {
  id: number
  version: number
  potId: number
  potName: string
  /** Set once the bundles have left the pot for good. */
  potFreeAt: string | null
  lotId: number
  clientName: string
  clientMark: string
  wishes: string
  purpose: string
  neededBy: string
  fibreName: string
  colour: string
  swatch: string | null
  dryWeightG: number
  stepN: number
  stepSince: string
  /** How many steps there are, the one that runs, and the one that comes next; null after the last. */
  steps: number
  step: LoadStep
  next: LoadStep | null
  /** Numbers of its bundles in the lot, which has `bundlesOfLot` in all. */
  bundleNs: number[]
  bundlesOfLot: number
  tiesIn: number
  tiesOff: number
}

/** Loads that are not done, oldest first: the few that are open, however many there ever were. */
export async function loadsAtWork(db: Db): Promise<LoadAtWork[]> {
  const loads = await heads(db)
  const ids = loads.map(({ id }) => id)
  const [steps, bundles] = [await stepsOfLoads(db, ids), await bundlesIn(db, JSON.stringify(ids))]
  return loads.map(load => {
    const plan = steps.filter(({ loadId }) => loadId === load.id)
    const inIt = bundles.filter(({ loadId }) => loadId === load.id)
    const step = plan[load.stepN - 1]?.step
    if (step === undefined) throw new Error(`load ${load.id} has no step ${load.stepN}`)
    return {
      ...load,
      steps: plan.length,
      step,
      next: plan[load.stepN]?.step ?? null,
      bundleNs: inIt.map(({ n }) => n),
      tiesIn: inIt.reduce((sum, { tiesIn }) => sum + tiesIn, 0),
      tiesOff: inIt.reduce((sum, { tiesOff }) => sum + tiesOff, 0),
    }
  })
}

const heads = ready(db =>
  db
    .selectFrom('load')
    .innerJoin('pot', 'pot.id', 'load.pot_id')
    .innerJoin('recipe', 'recipe.id', 'load.recipe_id')
    .innerJoin('lot', 'lot.id', 'recipe.lot_id')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .innerJoin('catalogue as fibre', 'fibre.id', 'lot.fibre_id')
    .select([
      'load.id',
      'load.version',
      'load.pot_id as potId',
      'pot.name as potName',
      'load.pot_free_at as potFreeAt',
      'lot.id as lotId',
      'client.name as clientName',
      'client.mark as clientMark',
      'client.wishes',
      'commission.purpose',
      'commission.needed_by as neededBy',
      'fibre.name as fibreName',
      'lot.colour',
      'lot.swatch',
      'load.dry_weight_g as dryWeightG',
      'load.step_n as stepN',
      'load.step_since as stepSince',
      sql<number>`(select count(*) from bundle where lot_id = lot.id)`.as('bundlesOfLot'),
    ])
    .where('load.done_at', 'is', null)
    .orderBy('load.id'),
)

const bundlesIn = ready((db, loadIds: string) =>
  db
    .selectFrom('bundle')
    .select(['load_id as loadId', 'n', 'ties_in as tiesIn', 'ties_off as tiesOff'])
    .where('load_id', 'in', numbersIn(loadIds))
    .orderBy('n'),
)
