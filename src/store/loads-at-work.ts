/** The loads that are not done, each in one record: what the pots, the rinse and the drying line hold at this moment. */
import { type LoadStep, takesOut } from '../domain/load.js'
import type { Db } from './db.js'
import { stepsOfLoads } from './load-record.js'
import { type LotInLoad, lotsInLoads } from './lots-in-load.js'
import { ready } from './ready.js'

export type LoadAtWork = {
  id: number
  version: number
  potId: number
  potName: string
  /** Set once the bundles have left the pot for good. */
  potFreeAt: string | null
  lots: LotInLoad[]
  dryWeightG: number
  stepN: number
  stepSince: string
  /** How many steps there are, the one that runs, and the one that comes next; null after the last. */
  steps: number
  step: LoadStep
  next: LoadStep | null
  /** Whether the next press takes several lots out of the pot or the load, so that their bundles are counted with it. */
  countsOut: boolean
  tiesIn: number
  tiesOff: number
}

/** Loads that are not done, oldest first: the few that are open, however many there ever were. */
export async function loadsAtWork(db: Db): Promise<LoadAtWork[]> {
  const [loads, ties] = [await heads(db), await tiesIn(db)]
  const ids = loads.map(({ id }) => id)
  const [lotsOf, steps] = [await lotsInLoads(db, ids), await stepsOfLoads(db, ids)]
  return loads.map(load => {
    const own = steps.filter(({ loadId }) => loadId === load.id).map(({ step }) => step)
    const [step, next = null] = own.slice(load.stepN - 1)
    if (step === undefined) throw new Error(`load ${load.id} has no step ${load.stepN}`)
    const lots = lotsOf.get(load.id) ?? []
    const countsOut = lots.length > 1 && takesOut(own, load.stepN + 1)
    const { loadId: _, ...hung } = ties.find(({ loadId }) => loadId === load.id) ?? NO_TIES
    return { ...load, lots, steps: own.length, step, next, countsOut, ...hung }
  })
}

const NO_TIES = { loadId: 0, tiesIn: 0, tiesOff: 0 }

const heads = ready(db =>
  db
    .selectFrom('load')
    .innerJoin('pot', 'pot.id', 'load.pot_id')
    .select([
      'load.id',
      'load.version',
      'load.pot_id as potId',
      'pot.name as potName',
      'load.pot_free_at as potFreeAt',
      'load.dry_weight_g as dryWeightG',
      'load.step_n as stepN',
      'load.step_since as stepSince',
    ])
    .where('load.done_at', 'is', null)
    .orderBy('load.id'),
)

const tiesIn = ready(db =>
  db
    .selectFrom('load')
    .innerJoin('bundle', 'bundle.load_id', 'load.id')
    .select(({ fn }) => [
      'load.id as loadId',
      fn.sum<number>('bundle.ties_in').as('tiesIn'),
      fn.sum<number>('bundle.ties_off').as('tiesOff'),
    ])
    .where('load.done_at', 'is', null)
    .groupBy('load.id'),
)
