/** What moved in the plan, and who must be told of it. */
import type { Day } from '../domain/day.js'
import {
  type CountedOn,
  type InTime,
  laterInTime,
  movedDayMessage,
  type Telling,
  tellingsOf,
} from '../domain/otherwise.js'
import type { PlanSoFar } from '../domain/plan.js'
import { planChanges } from '../domain/plan-change.js'
import { instantAt } from '../domain/plan-input.js'
import type { By, Db, Trx } from './db.js'
import { type KeptPlan, keepPlan, keptPlans } from './kept-plans.js'
import type { OpenLot } from './lots-in-load.js'
import type { PlanFacts } from './plan-facts.js'
import { lastPromises } from './promises.js'
import { type WorkPlan, workPlan } from './work-plan.js'

/** A load whose times or pot are other ones now; times in ISO 8601 UTC. */
export type LoadMove = {
  name: string
  href: string
  colour: string
  clientName: string
  kind: 'moved' | 'new' | 'dropped'
  doneDayWas: Day | null
  doneDay: Day | null
  steps: { title: string; fromAt: string; toAt: string; fromPot: string; toPot: string }[]
}

/** `before` and `after` may be of another day: what is in neither any more has its number for a name. */
export function movesBetween(before: PlanSoFar, after: PlanSoFar, { words, workshop }: PlanFacts): LoadMove[] {
  const pot = (id: string | null): string => (id === null ? '' : (words.pots[id] ?? ''))
  return planChanges(before, after, workshop.timeZone).map(change => {
    const load = words.loads[change.loadId]
    return {
      name: load?.name ?? nameOfGone(change.loadId),
      href: load?.href ?? hrefOfGone(change.loadId),
      colour: load?.colour ?? '',
      clientName: load?.clientName ?? '',
      kind: change.kind,
      doneDayWas: change.doneDayWas,
      doneDay: change.doneDay,
      steps: change.steps.map(step => ({
        title: step.title,
        fromAt: instantAt(step.fromMin),
        toAt: instantAt(step.toMin),
        fromPot: pot(step.fromPotId),
        toPot: pot(step.toPotId),
      })),
    }
  })
}

const numberIn = (loadId: string): string => loadId.split(':')[1] ?? ''
const nameOfGone = (loadId: string): string => `${loadId.startsWith('load') ? 'Load' : 'Lot'} ${numberIn(loadId)}`
const hrefOfGone = (loadId: string): string => `/${loadId.startsWith('load') ? 'loads' : 'lots'}/${numberIn(loadId)}`

export type ClientToTell = Telling & {
  clientId: number
  clientName: string
  contact: string
  commissionId: number
  fibreName: string
  colour: string
  message: string
}

/** The lots in the plan, each with the day that its client counts on: that of the last promise, or the needed-by day. */
async function lotsCountedOn(db: Db, { words }: PlanFacts): Promise<(CountedOn & { words: OpenLot })[]> {
  const loads = Object.entries(words.loads)
  const lotIds = [...new Set(loads.flatMap(([, { lots }]) => lots.map(({ lotId }) => lotId)))]
  const promised = await lastPromises(db, lotIds)
  return lotIds.flatMap(lotId => {
    const own = loads.filter(([, load]) => load.lots.some(lot => lot.lotId === lotId))
    const words = own[0]?.[1].lots.find(lot => lot.lotId === lotId)
    const promise = promised.get(lotId)
    const day = promise === undefined ? (words?.neededBy ?? null) : promise.day
    const earliest = promise?.earliest ?? null
    return words === undefined ? [] : [{ lotId, loadIds: own.map(([id]) => id), day, earliest, words }]
  })
}

/** Who will be later than the plan had it when their day was said, and still in time for it. */
export async function clientsInTime(
  db: Db,
  { facts, plan }: WorkPlan,
): Promise<(InTime & Pick<OpenLot, 'clientName' | 'colour'>)[]> {
  const lots = await lotsCountedOn(db, facts)
  return laterInTime(plan, lots, facts.workshop.timeZone).flatMap(one => {
    const lot = lots.find(({ lotId }) => lotId === one.lotId)?.words
    return lot === undefined ? [] : [{ ...one, clientName: lot.clientName, colour: lot.colour }]
  })
}

/** Whose lots will not be done on the day that they count on. */
export async function clientsToTell(db: Db, { facts, plan }: WorkPlan, workshopName: string): Promise<ClientToTell[]> {
  const lots = await lotsCountedOn(db, facts)
  const tellings = tellingsOf(plan, lots, facts.workshop.timeZone)
  const clientIds = lots.map(lot => lot.words.clientId)
  const rows = await db
    .selectFrom('client')
    .select(['id', 'contact'])
    .where('id', 'in', clientIds.length === 0 ? [0] : clientIds)
    .execute()
  return tellings.flatMap(telling => {
    const lot = lots.find(({ lotId }) => lotId === telling.lotId)?.words
    if (lot === undefined) return []
    const { clientId, clientName, commissionId, fibreName, colour, purpose } = lot
    const contact = rows.find(({ id }) => id === clientId)?.contact ?? ''
    const message = movedDayMessage({ workshopName, clientName, fibreName, colour, purpose, ...telling })
    return { ...telling, clientId, clientName, contact, commissionId, fibreName, colour, message }
  })
}

export type Otherwise = {
  work: WorkPlan
  last: KeptPlan | undefined
  /** What the last press moved; empty when no plan was kept before. */
  lastMoves: LoadMove[]
  /** What is otherwise now than in the last plan that was kept. */
  since: LoadMove[]
}

export async function howItGoes(db: Db, at: string): Promise<Otherwise> {
  const work = await workPlan(db, at)
  const { last, before } = await keptPlans(db)
  return {
    work,
    last,
    lastMoves: last && before ? movesBetween(before.plan, last.plan, work.facts) : [],
    since: last ? movesBetween(last.plan, work.plan, work.facts) : [],
  }
}

/**
 * What came since a plan was kept last is kept by itself before something else happens, so that what moves with that is
 * told apart from it.
 */
export async function keepWhatCame(trx: Trx, by: By): Promise<void> {
  const { last } = await keptPlans(trx)
  const { facts, plan } = await workPlan(trx, by.at)
  if (last === undefined || movesBetween(last.plan, plan, facts).length > 0)
    await keepPlan(trx, by, plan, 'The plan as it had come to be')
}

/** Plans anew from the plan so far, and keeps it; what has been said of the workshop by now counts. */
export async function planAnew(trx: Trx, by: By, why: string): Promise<WorkPlan> {
  const work = await workPlan(trx, by.at)
  await keepPlan(trx, by, work.plan, why)
  return work
}
