/** The morning goes otherwise: a pot leaks, a step takes longer, and the plan is made anew each time. */
import { addDays, dayOf, localToUtc, sayDay, sayLapse } from '../src/domain/day.js'
import { overrunMinutes } from '../src/domain/otherwise.js'
import { minuteAt } from '../src/domain/plan-input.js'
import { inOneStep } from '../src/store/db.js'
import { noteOverrun, restPot } from '../src/store/otherwise.js'
import { planAnew } from '../src/store/plan-moves.js'
import { workPlan } from '../src/store/work-plan.js'
import type { PotName } from './cast.js'
import { pots as cast } from './cast.js'
import { type Doing, iso } from './doing.js'

const MINUTE = 60_000
const STILL_MINUTES = 24 * 60

export async function tellOtherwise(doing: Doing, pots: Record<PotName, number>, now: number): Promise<void> {
  await inOneStep(doing.db, trx => planAnew(trx, doing.by(now - 25 * MINUTE), 'The plan is kept as it is now'))
  await inOneStep(doing.db, async trx => {
    const by = doing.by(now - 20 * MINUTE)
    const { facts } = await workPlan(trx, by.at)
    const { timeZone } = facts.workshop
    const backOn = addDays(dayOf(iso(now), timeZone), 3)
    const untilAt = localToUtc(backOn, '00:00', timeZone)
    await restPot(trx, by, { potId: pots.trough, untilAt, words: 'its tap drips' })
    await planAnew(trx, by, `${cast.trough.name} is out of use until ${sayDay(backOn)}`)
  })
  await inOneStep(doing.db, async trx => {
    const by = doing.by(now - 15 * MINUTE)
    const { facts, plan } = await workPlan(trx, by.at)
    const drying = plan.loads
      .flatMap(({ loadId, steps }) => steps.map(step => ({ ...step, words: facts.words.loads[loadId] })))
      .find(({ state, place, words }) => state === 'under way' && place === 'drying line' && words?.loadId !== null)
    if (!drying?.words?.loadId) throw new Error('nothing hangs on the line')
    const minutes = overrunMinutes(drying.endMin, minuteAt(by.at), STILL_MINUTES, 0)
    await noteOverrun(trx, by, { loadId: drying.words.loadId, stepN: drying.n, minutes })
    await planAnew(trx, by, `${drying.words.name}, “${drying.title}”, still takes ${sayLapse(STILL_MINUTES)}`)
  })
}
