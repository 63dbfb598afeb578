/** Whether the day can be kept that a commission asks for: worked out from the records as they would be with it. */
import { type AskedDay, askedDay } from '../domain/asked-day.js'
import type { Day } from '../domain/day.js'
import { sayLotsFirst } from '../domain/lot.js'
import type { LoadChange } from '../domain/plan-change.js'
import { loadsOf, planCuts } from '../domain/plan-cuts.js'
import { instantAt, type Minute, minuteAt, type PlanLoad } from '../domain/plan-input.js'
import { endOfDay } from '../domain/plan-promise.js'
import { type By, type Db, inOneStep, type Trx } from './db.js'
import { type DropOff, takeIn } from './drop-off.js'
import { keepPlan } from './kept-plans.js'
import { type Item, type OpenFacts, openFacts, type PlanFacts } from './plan-facts.js'
import { loadsIn, planOf, planSoFar, type WorkPlan, waysIn } from './work-plan.js'

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

export type DayAskedFor = Omit<AskedDay, 'last'> & {
  /** How its day comes about: the steps of what is done last of it, and when that is done. */
  steps: { title: string; startsAt: string }[]
  doneAt: string | null

  /** Whose loads would move for an earlier day; for a day that is kept nobody is done later. */
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
  const [facts, soFar, now] = [await openFacts(db, at), await planSoFar(db), minuteAt(at)]
  const { timeZone } = facts.workshop
  const isOfIt = (lot: { commissionId: number }): boolean => lot.commissionId === commissionId
  const isOwn = ({ words }: Item): boolean => words.lots.some(isOfIt)
  const own = only(facts, isOwn)
  const others = planOf(
    only(facts, item => !isOwn(item)),
    now,
    soFar,
  )
  const { neededBy, dayAsked } = await db
    .selectFrom('commission')
    .select(['needed_by as neededBy', 'day_asked as dayAsked'])
    .where('id', '=', commissionId)
    .executeTakeFirstOrThrow()
  const isAsked = dayAsked === 1
  const newcomers = cutFor(own, others, now, isAsked ? endOfDay(neededBy, timeZone) : now)
  const asked = askedDay(facts.workshop, others.facts.loads, now, others.plan, newcomers, isAsked ? neededBy : ANY_DAY)
  const left = facts.notPlanned.filter(isOfIt).map(({ sentence }) => sentence)
  const { last, ...answer } = asked
  const whole =
    left.length === 0 ? answer : { ...answer, earliest: null, byMoving: null, answer: 'not planned' as const }
  const ownItems = itemsIn(own)
  return {
    ...whole,
    neededBy,
    moving: asked.byMoving?.changes.flatMap(change => wouldMove(change, others.facts)) ?? [],
    lotIds: [...new Set(ownItems.flatMap(({ words }) => words.lots.filter(isOfIt).map(({ lotId }) => lotId)))],
    sentences: left,
    steps: last?.steps.map(({ title, startMin }) => ({ title, startsAt: instantAt(startMin) })) ?? [],
    doneAt: last === null ? null : instantAt(last.doneMin),
    hoursAreGuessed: facts.hoursAreGuessed,
    dayAsked: isAsked,
  }
}

/** Keeps the plan with what has just been taken in, so that all of it stays as it was said where it can. */
export async function keepPlanWith(trx: Trx, by: By, commissionId: number): Promise<void> {
  const [facts, soFar, now] = [await openFacts(trx, by.at), await planSoFar(trx), minuteAt(by.at)]
  const isOwn = ({ words }: Item): boolean => words.lots.some(lot => lot.commissionId === commissionId)
  const lotIds = [...new Set(itemsIn(only(facts, isOwn)).map(({ words }) => words.lotId))]
  if (lotIds.length === 0) return
  const kept =
    soFar.from ??
    planOf(
      only(facts, item => !isOwn(item)),
      now,
      {},
    ).plan
  const { plan } = planOf(facts, now, { from: kept, keepTo: kept })
  await keepPlan(trx, by, plan, `${sayLotsFirst(lotIds)} came in`)
}

const itemsIn = ({ laid, waiting }: OpenFacts): Item[] => [...laid, ...waiting.flat(2)]

const only = (facts: OpenFacts, isWanted: (item: Item) => boolean): OpenFacts => ({
  ...facts,
  laid: facts.laid.filter(isWanted),
  waiting: facts.waiting.filter(ways => ways.flat().some(isWanted)),
})

/** The loads of what has just come: in as few as can be where that is in time for `wantedMin`, else as it is done first. */
function cutFor(own: OpenFacts, { facts, plan }: WorkPlan, now: Minute, wantedMin: Minute): PlanLoad[] {
  const [laid, ways] = [loadsIn(own.laid), waysIn(own.waiting)]
  if (ways.every(({ length }) => length === 1)) return [...laid, ...loadsOf(ways, [])]
  const wanted = ways.map(one => one.map(loads => loads.map(load => ({ ...load, neededByMin: wantedMin }))))
  const { chosen } = planCuts(own.workshop, [...facts.loads, ...laid], wanted, now, { effort: 0, from: plan })
  return [...laid, ...loadsOf(ways, chosen)]
}

function wouldMove(change: LoadChange, { words }: PlanFacts): WouldMove[] {
  const load = words.loads[change.loadId]
  if (load === undefined) return []
  const { name, clientName, colour, href } = load
  return [{ name, clientName, colour, href, from: change.doneDayWas, to: change.doneDay, inTime: !change.tell }]
}

/** Carries an answer out of a transaction that is undone. */
class OnlyAsked extends Error {
  readonly answer: DayAskedFor
  constructor(answer: DayAskedFor) {
    super('only asked')
    this.answer = answer
  }
}

/**
 * The same for a drop-off that is only being talked about: it is taken in, looked at, and undone as a whole. `comesAt`:
 * when it is to be brought; left out, it is here.
 */
export async function askedDayIf(db: Db, by: By, dropOff: DropOff, comesAt = by.at): Promise<DayAskedFor> {
  try {
    return await inOneStep(db, async (trx: Trx) => {
      throw new OnlyAsked(await askedDayOf(trx, by.at, await takeIn(trx, { ...by, at: comesAt }, dropOff)))
    })
  } catch (fault) {
    if (fault instanceof OnlyAsked) return fault.answer
    throw fault
  }
}
