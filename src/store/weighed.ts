/** What was really weighed out for a load, said by whoever weighed it. The last word on a line counts. */
import { Refusal } from '../domain/refusal.js'
import { sayFigure } from '../domain/say-quantity.js'
import { isAsComputed } from '../domain/weighed.js'
import { loadAt, tell } from './bath-log.js'
import type { By, Trx } from './db.js'
import type { LineInLoad } from './load-record.js'

export type WeighedOut = {
  loadId: number
  lines: { n: number; amount: number; typed: string }[]
  /** When it was, where it was not just now. */
  at?: string | undefined
}

/** Writes down what was weighed out of every line. To say the same again is refused: nothing would change. */
export async function noteWeighedOut(trx: Trx, by: By, { loadId, lines, at = by.at }: WeighedOut): Promise<void> {
  const load = await loadAt(trx, loadId)
  const said = load.lines.map(line => ({ ...line, said: lines.find(({ n }) => n === line.n) }))
  const rows = said.flatMap(({ n, said }) => (said ? [{ n, amount: said.amount, typed: said.typed }] : []))
  if (rows.length === 0 || rows.length !== said.length || rows.length !== lines.length)
    throw new Refusal('wrong', 'Say of every line what was weighed out of it.')
  if (said.every(({ weighed, said }) => weighed !== null && weighed.amount === said?.amount))
    throw new Refusal('conflict', 'This is written down already, with just these amounts.')
  await trx
    .insertInto('load_weighed')
    .values(rows.map(row => ({ load_id: loadId, at, worker_id: by.workerId, ...row })))
    .execute()
  const words = said.flatMap(({ said, ...line }) => (said ? differenceOf(line, said.amount) : []))
  await tell(trx, by, load, 'weighed out', rows, words.length === 0 ? 'as written' : words.join('; '))
}

function differenceOf({ name, amount, unit }: LineInLoad, weighed: number): string[] {
  if (isAsComputed(amount, weighed)) return []
  return [`${name}: ${sayFigure(weighed, 4)} ${unit} instead of ${sayFigure(amount, 4)} ${unit}`]
}
