/** What a lot's page shows beside the lot itself: each bundle's moves and how it went back, and what was really used. */
import { sql } from 'kysely'
import type { Place } from '../domain/place.js'
import type { Recipe, UsedRate } from '../domain/recipe.js'
import type { Db } from './db.js'
import type { LoadOfLot } from './loads-of-lot.js'
import { ready } from './ready.js'
import { ratesUsed } from './really-used.js'

export type MoveOfBundle = {
  n: number
  from: Place | null
  to: Place
  potName: string | null
  at: string
  who: string
  why: string
}

/** The pot in which the load of a move lay at its time; it may have been lifted over since. */
const potOfMove = sql<string | null>`iif(move.to_place <> 'pot', null, coalesce(
  (select was.name from correction join pot as was on was.id = correction.was
    where of_table = 'load' and row_id = move.load_id and field = 'pot_id' and correction.at > move.at
    order by correction.id limit 1),
  pot.name))`.as('potName')

/** Every move of every bundle of a lot, bundle by bundle, oldest first. */
export const movesOfLot: (db: Db, lotId: number) => Promise<MoveOfBundle[]> = ready((db, lotId: number) =>
  db
    .selectFrom('bundle')
    .innerJoin('move', 'move.bundle_id', 'bundle.id')
    .innerJoin('worker', 'worker.id', 'move.worker_id')
    .leftJoin('load', 'load.id', 'move.load_id')
    .leftJoin('pot', 'pot.id', 'load.pot_id')
    .select([
      'bundle.n',
      'move.from_place as from',
      'move.to_place as to',
      potOfMove,
      'move.at',
      'worker.name as who',
      'move.why',
    ])
    .where('bundle.lot_id', '=', lotId)
    .orderBy('bundle.n')
    .orderBy('move.id'),
)

/** The main figures of the recipe in force: the newest that is not a load's share of another. */
export type Computed = Pick<Recipe, 'job' | 'lines' | 'dyeWords' | 'depthWords' | 'waterL'> & {
  recipeId: number
  madeAt: string
  who: string
}

/** Taken out of the recipe where it lies: the whole of it, with its steps and its working, is several times as long. */
const figuresOfLot = ready((db, lotId: number) =>
  db
    .selectFrom('recipe')
    .innerJoin('worker', 'worker.id', 'recipe.made_by')
    .select([
      'recipe.id as recipeId',
      'recipe.made_at as madeAt',
      'worker.name as who',
      sql<string>`json_extract(answer, '$.job', '$.lines', '$.dyeWords', '$.depthWords', '$.waterL')`.as('figures'),
    ])
    .where('recipe.lot_id', '=', lotId)
    .where('recipe.part_of', 'is', null)
    .orderBy('recipe.id', 'desc')
    .limit(1),
)

export async function computedForLot(db: Db, lotId: number): Promise<Computed | undefined> {
  const [row] = await figuresOfLot(db, lotId)
  if (row === undefined) return undefined
  const [job, lines, dyeWords, depthWords, waterL] = JSON.parse(row.figures)
  return { recipeId: row.recipeId, madeAt: row.madeAt, who: row.who, job, lines, dyeWords, depthWords, waterL }
}

/** What was really used of a substance per kg of dry fibre, with what one of its containers holds. */
export type UsedOnLot = UsedRate & {
  asComputed: boolean
  name: string
  container: string | null
  containerHolds: number | null
}

const substances = ready((db, ids: string) =>
  db
    .selectFrom('catalogue')
    .select([
      'id',
      'name',
      sql<string | null>`entry ->> '$.label.container'`.as('container'),
      sql<number | null>`entry ->> '$.label.containerHolds.value'`.as('containerHolds'),
    ])
    .where('id', 'in', sql<string>`(select value from json_each(${ids}))`),
)

/** What a repeat of this lot would be reckoned from. */
export async function usedOnLot(db: Db, lotId: number, loads: readonly LoadOfLot[]): Promise<UsedOnLot[]> {
  const rates = ratesUsed(lotId, loads)
  if (rates.length === 0) return []
  const rows = await substances(db, JSON.stringify(rates.map(({ substanceId }) => substanceId)))
  const known = new Map(rows.map(({ id, ...substance }) => [id, substance]))
  return rates.map(rate => {
    const { name = rate.substanceId, container = null, containerHolds = null } = known.get(rate.substanceId) ?? {}
    return { ...rate, name, container, containerHolds }
  })
}

/** How a bundle went back, as its slip says it; without what was found again after its slip. */
export type BundleBack = {
  n: number
  handBackId: number
  found: boolean
  tiedAgain: boolean
  tiesBack: number
  tiesReplaced: number
  weightG: number | null
  condition: string
  explanation: string
}

export async function bundlesBack(db: Db, lotId: number): Promise<BundleBack[]> {
  const rows = await backOfLot(db, lotId)
  return rows.map(row => ({ ...row, found: row.found === 1, tiedAgain: row.tiedAgain === 1 }))
}

const backOfLot = ready((db, lotId: number) =>
  db
    .selectFrom('bundle')
    .innerJoin('hand_back_bundle as back', 'back.bundle_id', 'bundle.id')
    .innerJoin('hand_back', join => join.onRef('hand_back.id', '=', 'back.hand_back_id').on('hand_back.closed', '=', 1))
    .leftJoin('found_again as again', join =>
      join.onRef('again.hand_back_id', '=', 'back.hand_back_id').onRef('again.bundle_id', '=', 'back.bundle_id'),
    )
    .select([
      'bundle.n',
      'back.hand_back_id as handBackId',
      'back.found',
      'back.tied_again as tiedAgain',
      'back.ties_back as tiesBack',
      'back.ties_replaced as tiesReplaced',
      'back.weight_g as weightG',
      'back.condition',
      'back.explanation',
    ])
    .where('bundle.lot_id', '=', lotId)
    .where('again.id', 'is', null)
    .orderBy('bundle.n'),
)
