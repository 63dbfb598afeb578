import type { Compilable, CompiledQuery } from 'kysely'
import type { Db } from './db.js'

/** Stands for the number while the query is built. */
const SOME_ID = Number.MIN_SAFE_INTEGER

/**
 * A query for one record's number that is built and compiled once, for the pages that are opened all day: building it
 * anew each time would cost about as much as running it.
 */
export function compiledById<Row>(
  build: (db: Db, id: number) => Compilable<Row>,
): (db: Db, id: number) => Promise<Row[]> {
  let compiled: CompiledQuery<Row> | undefined
  return async (db, id) => {
    compiled ??= build(db, SOME_ID).compile()
    const parameters = compiled.parameters.map(parameter => (parameter === SOME_ID ? id : parameter))
    return (await db.executeQuery<Row>({ ...compiled, parameters })).rows
  }
}
