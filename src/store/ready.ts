import { type Compilable, type CompiledQuery, type RawBuilder, sql } from 'kysely'
import { answerAtOnce, type Db } from './db.js'

type Plan<Row> = { query: CompiledQuery<Row>; slots: number[] }

/**
 * A query of the pages that are asked for all day: its SQL is built once, and each asking only fills in the values.
 * Building it anew cost as much as running it. `build` must make the same SQL for any values; a list goes in as one
 * JSON text, read with `json_each`.
 */
export function ready<const V extends readonly unknown[], Row>(build: (db: Db, ...values: V) => Compilable<Row>) {
  let plan: Plan<Row> | undefined
  return async (db: Db, ...values: V): Promise<Row[]> => {
    plan ??= planOf(build, db, values.length)
    const { query, slots } = plan
    const parameters = query.parameters.map((value, n) => values[slots[n] ?? -1] ?? value)
    const rows = answerAtOnce(db, query.sql, parameters)
    return (rows as Row[] | undefined) ?? (await db.executeQuery<Row>({ ...query, parameters })).rows
  }
}

/** Builds the query around marks in the places of its values, and notes where each of them went. */
function planOf<V extends readonly unknown[], Row>(
  build: (db: Db, ...values: V) => Compilable<Row>,
  db: Db,
  count: number,
): Plan<Row> {
  const marks = Array.from({ length: count }, (_, n) => ({ mark: n }))
  const query = build(db, ...(marks as unknown as V)).compile()
  return { query, slots: query.parameters.map(value => marks.indexOf(value as { mark: number })) }
}

/** The numbers of a JSON list, for `in`: `.where('id', 'in', numbersIn(ids))`. */
export const numbersIn = (json: string): RawBuilder<number> => sql<number>`(select value from json_each(${json}))`
