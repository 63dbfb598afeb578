import { sql } from 'kysely'
import type { Nearness } from '../domain/outcome.js'
import { asksInSignsOnly, FIND_IN, type LotsAsk, lotNumberIn, wordsAsked } from '../domain/past-lots.js'
import type { Db } from './db.js'
import { numbersIn, ready } from './ready.js'

/** One lot in the list: what was asked, what came out, and what it was. `closedAt` null: it has not gone back yet. */
export type PastLot = {
  id: number
  clientId: number
  clientName: string
  clientMark: string
  purpose: string
  neededBy: string
  fibreName: string
  dyeName: string
  colour: string
  swatch: string | null
  /** The newest word on what came out. */
  outcome: { swatch: string | null; nearness: Nearness; words: string } | null
  bundles: number
  ties: number
  dryWeightG: number
  takenInAt: string
  closedAt: string | null
}

/** `before`: the number to give for the next, older page; null when there is none. */
export type PastLots = { lots: PastLot[]; before: number | null }

export const LOTS_A_PAGE = 20

/**
 * Lots that answer to every word of every field, newest first; all lots when nothing is asked for. A bare lot number
 * finds its lot first of all. Only the lots of one page are ever read, however many there are.
 */
export async function findPastLots(db: Db, ask: LotsAsk, before: number | null): Promise<PastLots> {
  if (asksInSignsOnly(ask)) return { lots: [], before: null }
  const number = lotNumberIn(ask.words)
  const first = number === null ? undefined : await theLot(db, number, matching({ ...ask, words: '' }))
  const onTop = first !== undefined && before === null ? [first] : []
  const room = LOTS_A_PAGE - onTop.length
  const ids = await numbersOf(db, matching(ask), { before, without: first, limit: room + 1 })
  const shown = ids.slice(0, room)
  const lots = await linesOf(db, [...onTop, ...shown])
  return { lots, before: ids.length > room ? (shown.at(-1) ?? null) : null }
}

/** The question in the words of the full-text table; null when nothing is asked for. */
function matching(ask: LotsAsk): string | null {
  const terms = FIND_IN.flatMap(field => wordsAsked(ask[field]).map(word => termOf(field, word)))
  return terms.length === 0 ? null : terms.join(' AND ')
}

/** A word in quotation marks is only ever a word: no sign that was typed can become part of the question itself. */
const termOf = (field: string, word: string) => (field === 'words' ? `"${word}"*` : `${field} : "${word}"*`)

async function theLot(db: Db, id: number, match: string | null): Promise<number | undefined> {
  const [found] = await numbersOf(db, match, { before: id + 1, without: undefined, limit: 1 })
  return found === id ? id : undefined
}

type Span = { before: number | null; without: number | undefined; limit: number }

/** Numbers only, straight from the index in its own order; the records are joined to the few that are shown. */
const numbersMatching = ready((db, match: string, before: number, without: number, limit: number) =>
  db
    .selectFrom('lot_text')
    .select('rowid as id')
    .where(sql<boolean>`lot_text match ${match}`)
    .where('rowid', '<', before)
    .where('rowid', '<>', without)
    .orderBy('rowid', 'desc')
    .limit(limit),
)
const allNumbers = ready((db, before: number, without: number, limit: number) =>
  db
    .selectFrom('lot')
    .select('id')
    .where('id', '<', before)
    .where('id', '<>', without)
    .orderBy('id', 'desc')
    .limit(limit),
)

async function numbersOf(db: Db, match: string | null, { before, without, limit }: Span): Promise<number[]> {
  const [from, skip] = [before ?? Number.MAX_SAFE_INTEGER, without ?? 0]
  const rows =
    match === null ? await allNumbers(db, from, skip, limit) : await numbersMatching(db, match, from, skip, limit)
  return rows.map(({ id }) => id)
}

const linesOfLots = ready((db, ids: string) =>
  db
    .selectFrom('lot')
    .innerJoin('commission', 'commission.id', 'lot.commission_id')
    .innerJoin('client', 'client.id', 'commission.client_id')
    .innerJoin('catalogue as fibre', 'fibre.id', 'lot.fibre_id')
    .innerJoin('catalogue as dye', 'dye.id', 'lot.dye_id')
    .innerJoin('bundle', 'bundle.lot_id', 'lot.id')
    .leftJoin('outcome', join =>
      join.on('outcome.id', '=', sql<number>`(select max(id) from outcome where lot_id = lot.id)`),
    )
    .where('lot.id', 'in', numbersIn(ids))
    .where('bundle.place', '<>', 'withdrawn')
    .groupBy('lot.id')
    .select(({ fn }) => [
      'lot.id',
      'client.id as clientId',
      'client.name as clientName',
      'client.mark as clientMark',
      'commission.purpose',
      'commission.needed_by as neededBy',
      'fibre.name as fibreName',
      'dye.name as dyeName',
      'lot.colour',
      'lot.swatch',
      'outcome.swatch as outcomeSwatch',
      'outcome.nearness',
      'outcome.words',
      fn.count<number>('bundle.id').as('bundles'),
      fn.sum<number>('bundle.ties_in').as('ties'),
      fn.sum<number>('bundle.dry_weight_g').as('dryWeightG'),
      'commission.taken_in_at as takenInAt',
      'lot.closed_at as closedAt',
    ]),
)

async function linesOf(db: Db, ids: number[]): Promise<PastLot[]> {
  const rows = await linesOfLots(db, JSON.stringify(ids))
  const lines = new Map(rows.map(row => [row.id, lineOf(row)]))
  return ids.flatMap(id => lines.get(id) ?? [])
}

type Row = Omit<PastLot, 'outcome'> & {
  outcomeSwatch: string | null
  nearness: Nearness | null
  words: string | null
}

function lineOf({ outcomeSwatch, nearness, words, ...row }: Row): PastLot {
  const outcome = nearness === null ? null : { swatch: outcomeSwatch, nearness, words: words ?? '' }
  return { ...row, outcome }
}
