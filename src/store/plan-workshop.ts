/** The workshop as a plan needs it: hours, hands, places, and the pots that are in use. */
import { addDays } from '../domain/calendar.js'
import type { PlanPot, PlanWorkshop } from '../domain/plan-input.js'
import { potMetal } from '../domain/plan-traits.js'
import { dayOf } from '../domain/wall-clock.js'
import type { Db } from './db.js'
import type { OpenLoad } from './open-work.js'
import { listPots } from './pots.js'
import { daysAwayFrom, type KnownWorkingDays } from './working-days.js'

/** A pot that is out of use for good is left out, unless something lies in it. */
export async function planWorkshop(
  db: Db,
  at: string,
  timeZone: string,
  days: KnownWorkingDays,
  loads: readonly OpenLoad[],
): Promise<PlanWorkshop> {
  const pots = await listPots(db)
  const inUse = pots.filter(pot => !pot.outOfUse || loads.some(({ potId }) => potId === pot.id))
  const away = await daysAwayFrom(db, addDays(dayOf(at, timeZone), -1))
  return {
    timeZone,
    hours: days.hours,
    daysAway: away.map(({ from, to }) => ({ from, to })),
    hands: days.hands,
    pots: inUse.map(
      (pot): PlanPot => ({
        id: String(pot.id),
        name: pot.name,
        usableMl: pot.usableMl,
        metal: potMetal(pot.metal),
        noIron: pot.noIron,
        onlyBrights: pot.onlyBrights,
        noHeat: pot.noHeat,
        hotAfterMinutes: pot.hotAfterMinutes,
        outOfUse: [],
      }),
    ),
    soakTubs: days.soakTubs,
    sinks: days.sinks,
    lineRoom: days.lineRoom,
    scourMinutes: Math.ceil(days.scourMinutes),
  }
}
