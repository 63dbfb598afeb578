/** The day that is asked for at drop-off: said before it is accepted, and kept as it was answered. */
import type { FastifyRequest } from 'fastify'
import { sayAskedDay } from '../domain/asked-day.js'
import { dayOf, sayDay } from '../domain/day.js'
import { Refusal } from '../domain/refusal.js'
import { askedDayIf, askedDayOf, type DayAskedFor } from '../store/asked-day.js'
import type { By, Db, Trx } from '../store/db.js'
import type { DropOff } from '../store/drop-off.js'
import { AT_DROP_OFF, notePromise } from '../store/promises.js'
import { type Form, Unfit } from './kit/form.js'
import { byOf } from './kit/post.js'

/** The name of the answer on the read-back: "earliest", "moving" or "none". */
export const PROMISE = 'promise'

/** An answer is wanted only where the day cannot be kept and the hours are the dyer's own. */
const asksAnswer = ({ answer, hoursAreGuessed }: DayAskedFor): boolean => answer === 'not kept' && !hoursAreGuessed

export type AskedDayShown = DayAskedFor & { said: string; asksAnswer: boolean }

const shown = (asked: DayAskedFor): AskedDayShown => ({
  ...asked,
  said: sayAskedDay(asked),
  asksAnswer: asksAnswer(asked),
})

/** What the read-back says of the day; null when it cannot be asked now, which the press will explain. */
export async function askedDayFor(request: FastifyRequest, db: Db, dropOff: DropOff): Promise<AskedDayShown | null> {
  try {
    return shown(await askedDayIf(db, byOf(request), dropOff))
  } catch (fault) {
    if (fault instanceof Refusal) return null
    throw fault
  }
}

/** Keeps what was answered; refuses to take in without a word where the day cannot be kept. */
export async function promiseDay(
  trx: Trx,
  by: By,
  { commissionId, form, timeZone }: { commissionId: number; form: Form; timeZone: string },
): Promise<void> {
  const asked = await askedDayOf(trx, by.at, commissionId)
  const { earliest, byMoving, neededBy } = asked
  const answer = form.value(PROMISE)
  const late = `needed by ${sayDay(neededBy)}, which the plan could not keep`
  const toldOn = dayOf(by.at, timeZone)
  const keep = async (day: string | null, words: string): Promise<void> => {
    for (const lotId of asked.lotIds)
      await notePromise(trx, by, { lotId, day, earliest, how: AT_DROP_OFF, toldOn, words })
  }
  if (earliest === null) return
  if (!asked.dayAsked) return keep([neededBy, earliest].sort().at(-1) ?? neededBy, 'no day was asked for')
  if (asked.answer === 'kept' || asked.answer === 'by moving') return keep(neededBy, '')
  if (answer === 'earliest') return keep(earliest, late)
  if (answer === 'moving' && byMoving !== null) return keep(byMoving.day, late)
  if (answer === 'none') return keep(null, late)
  if (asksAnswer(asked))
    throw new Unfit([{ field: PROMISE, sentence: `${sayAskedDay(asked)} Say what was agreed, or change the day.` }])
}
