/** The form that says what was weighed out: a field for each line, which stands there as computed. */
import type { FastifyRequest } from 'fastify'
import { measureOf } from '../domain/line-measure.js'
import { readWeighed } from '../domain/weighed.js'
import { readCatalogue } from '../store/catalogue.js'
import type { Trx } from '../store/db.js'
import type { LineInLoad } from '../store/load-record.js'
import type { Load } from '../store/loads.js'
import type { Workshop } from '../store/workshop.js'
import { type Form, Unfit } from './kit/form.js'
import { unitsOf } from './pots.js'

export const weighedField = (n: number): string => `weighed.${n}`

/** What stands in the field of a line before anything is typed; sent back like this, it is the very amount. */
export const amountAsWritten = ({ amount, weighed, unit }: LineInLoad, workshop: Workshop): string =>
  measureOf({ amount: weighed?.amount ?? amount, unit, alsoShown: [] }, unitsOf(workshop), null).amount

export async function weighedIn(trx: Trx, request: FastifyRequest, form: Form, load: Load) {
  const { substances } = await readCatalogue(trx)
  const read = load.lines.map(line => {
    const typed = form.value(weighedField(line.n)).trim()
    if (typed === amountAsWritten(line, request.workshop))
      return { n: line.n, answer: { ok: true, value: { amount: line.weighed?.amount ?? line.amount, typed } } as const }
    const known = substances.find(({ id }) => id === line.substanceId)
    const substance = known ?? { name: line.name, unit: line.unit, gramsPerTeaspoon: null }
    return { n: line.n, answer: readWeighed(typed, substance, unitsOf(request.workshop)) }
  })
  const unread = read.flatMap(({ n, answer }) =>
    answer.ok ? [] : [{ field: weighedField(n), sentence: answer.sentence }],
  )
  if (unread.length > 0) throw new Unfit(unread)
  return read.flatMap(({ n, answer }) =>
    answer.ok ? [{ n, amount: answer.value.amount, typed: answer.value.typed }] : [],
  )
}
