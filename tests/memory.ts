/** Records in memory: the schema is made once for each file of tests and copied, for making it takes longer than most tests. */
import { type Opened, openDb } from '../src/store/db.js'

let empty: Buffer | undefined

export function openMemory(): Opened {
  if (!empty) {
    const first = openDb(':memory:').raw
    empty = first.serialize()
    first.close()
  }
  return openDb(empty)
}
