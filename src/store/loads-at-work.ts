/** The loads that are not done, each in one record: what the pots, the rinse and the drying line hold at this moment. */
import { sql } from 'kysely'
import type { LoadStep } from '../domain/load.js'
import type { Db } from './db.js'
import { openedStep } from './load-record.js'
import { ready } from './ready.js'
import { allWishes } from './timed-wishes.js'

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
  const [loads, steps, bundles] = [await heads(db), await stepsNow(db), await bundlesIn(db)]
  return loads.map(load => {
    const [step, next] = steps.filter(({ load_id }) => load_id === load.id).map(openedStep)
    if (step?.n !== load.stepN) throw new Error(`load ${load.id} has no step ${load.stepN}`)
    const { ns, tiesIn, tiesOff } = bundles.find(({ loadId }) => loadId === load.id) ?? NO_BUNDLES
    return { ...load, step, next: next ?? null, bundleNs: JSON.parse(ns), tiesIn, tiesOff }
  })
}

const NO_BUNDLES = { ns: '[]', tiesIn: 0, tiesOff: 0 }

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
      allWishes().as('wishes'),
      'commission.purpose',
      'commission.needed_by as neededBy',
      'fibre.name as fibreName',
      'lot.colour',
      'lot.swatch',
      'load.dry_weight_g as dryWeightG',
      'load.step_n as stepN',
      'load.step_since as stepSince',
      sql<number>`(select count(*) from load_step where load_id = load.id)`.as('steps'),
      sql<number>`(select count(*) from bundle where lot_id = lot.id)`.as('bundlesOfLot'),
    ])
    .where('load.done_at', 'is', null)
    .orderBy('load.id'),
)

/** The step that runs in each of them, and the one after it. */
const stepsNow = ready(db =>
  db
    .selectFrom('load')
    .innerJoin('load_step', 'load_step.load_id', 'load.id')
    .selectAll('load_step')
    .where('load.done_at', 'is', null)
    .where(sql<boolean>`load_step.n between load.step_n and load.step_n + 1`)
    .orderBy('load.id')
    .orderBy('load_step.n'),
)

const bundlesIn = ready(db =>
  db
    .selectFrom('load')
    .innerJoin('bundle', 'bundle.load_id', 'load.id')
    .select(({ fn }) => [
      'load.id as loadId',
      sql<string>`json_group_array(bundle.n order by bundle.n)`.as('ns'),
      fn.sum<number>('bundle.ties_in').as('tiesIn'),
      fn.sum<number>('bundle.ties_off').as('tiesOff'),
    ])
    .where('load.done_at', 'is', null)
    .groupBy('load.id'),
)
