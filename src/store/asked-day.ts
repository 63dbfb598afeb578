/** Whether the day can be kept that a commission asks for: worked out from the records as they would be with it. */
import { type AskedDay, askedDay } from '../domain/asked-day.js'
import type { Day } from '../domain/day.js'
import { planChanges } from '../domain/plan-change.js'
import { minuteAt } from '../domain/plan-input.js'
import { type By, type Db, inOneStep, type Trx } from './db.js'
import { type DropOff, takeIn } from './drop-off.js'
import { keptPlans } from './kept-plans.js'
import { planFacts } from './plan-facts.js'
import { planNow } from './work-plan.js'

/** A load whose day would move with it. */
export type WouldMove = {
  name: string
  clientName: string
  colour: string
  href: string
  from: Day | null
  to: Day | null
  /** Done by the day that its client counts on. */
  inTime: boolean
}

export type DayAskedFor = AskedDay & {
  /** Whose loads would move for an earlier day, or are done on another day once the plan is made with this in it. */
  moving: WouldMove[]
  /** Why some of it cannot be planned. */
  sentences: string[]
  /** Nobody has said yet when they work: the plan is made from our guess. */
  hoursAreGuessed: boolean
  lotIds: number[]
  /** False: no day was asked for, so that any day is kept. */
  dayAsked: boolean
}

const ANY_DAY = '9999-12-31'

/** For a commission that is written down. */
export async function askedDayOf(db: Db, at: string, commissionId: number): Promise<DayAskedFor> {
  const { facts, last } = { facts: await planFacts(db, at), last: (await keptPlans(db)).last }
  const { workshop, words } = facts
  const ownLots = (id: string) => words.loads[id]?.lots.filter(lot => lot.commissionId === commissionId) ?? []
  const isOwn = (id: string): boolean => ownLots(id).length > 0
  const [others, own] = [facts.loads.filter(({ id }) => !isOwn(id)), facts.loads.filter(({ id }) => isOwn(id))]
  const now = minuteAt(at)
  const soFar = last === undefined ? {} : { from: last.plan }
  const plan = planNow({ workshop, loads: others }, now, soFar)
  const { neededBy, dayAsked } = await db
    .selectFrom('commission')
    .select(['needed_by as neededBy', 'day_asked as dayAsked'])
    .where('id', '=', commissionId)
    .executeTakeFirstOrThrow()
  const asked = askedDay(workshop, others, now, plan, own, dayAsked === 1 ? neededBy : ANY_DAY)
  const left = facts.notPlanned.filter(one => one.commissionId === commissionId).map(({ sentence }) => sentence)
  const changes = asked.answer === 'kept' ? planChanges(plan, planNow(facts, now, soFar), workshop.timeZone) : []
  const otherDays = changes.filter(({ loadId, doneDay, doneDayWas }) => !isOwn(loadId) && doneDay !== doneDayWas)
  const moving = (asked.byMoving?.changes ?? otherDays).flatMap(change => {
    const load = words.loads[change.loadId]
    if (load === undefined) return []
    const { name, clientName, colour, href } = load
    return [{ name, clientName, colour, href, from: change.doneDayWas, to: change.doneDay, inTime: !change.tell }]
  })
  const lotIds = [...new Set(own.flatMap(({ id }) => ownLots(id).map(({ lotId }) => lotId)))]
  const whole = left.length === 0 ? asked : { ...asked, earliest: null, byMoving: null, answer: 'not planned' as const }
  const told = { sentences: left, hoursAreGuessed: facts.hoursAreGuessed, dayAsked: dayAsked === 1 }
  return { ...whole, neededBy, moving, lotIds, ...told }
}

/** Carries an answer out of a transaction that is undone. */
class OnlyAsked extends Error {
  readonly answer: DayAskedFor
  constructor(answer: DayAskedFor) {
    super('only asked')
    this.answer = answer
  }
}

/** The same for a drop-off that is only being talked about: it is taken in, looked at, and undone as a whole. */
export async function askedDayIf(db: Db, by: By, dropOff: DropOff): Promise<DayAskedFor> {
  try {
    return await inOneStep(db, async (trx: Trx) => {
      throw new OnlyAsked(await askedDayOf(trx, by.at, await takeIn(trx, by, dropOff)))
    })
  } catch (fault) {
    if (fault instanceof OnlyAsked) return fault.answer
    throw fault
  }
}
