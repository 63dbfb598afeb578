import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays, type Day, dayOf } from '../domain/day.js'
import { type CommissionLine, commissionsInHand } from '../store/commissions.js'
import { loadsAtWork } from '../store/loads.js'
import { listPots } from '../store/pots.js'
import { dueToStart } from '../store/today.js'
import { byOf } from './kit/post.js'
import { cardOf, type LoadCard } from './load-card.js'

/** What is needed within these days is shown as coming. */
const COMING_DAYS = 14

async function showToday(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const now = byOf(request).at
  const today = dayOf(now, request.workshop.timeZone)
  const loads = (await loadsAtWork(db)).map(load => cardOf(load, now))
  const pots = await listPots(db)
  const commissions = await commissionsInHand(db)
  return reply.page('today/show', {
    title: 'Today',
    data: {
      today,
      late: { loads: latestFirst(loads), commissions: commissions.filter(({ neededBy }) => neededBy < today) },
      pots: pots
        .filter(pot => !pot.outOfUse || pot.loadId !== null)
        .map(pot => ({ ...pot, load: loads.find(({ id }) => id === pot.loadId) ?? null })),
      /** Loads that have left their pot: in the rinse or on the drying line. */
      outOfPot: loads.filter(({ potFreeAt }) => potFreeAt !== null),
      toStart: await dueToStart(db),
      ready: commissions.filter(({ ready }) => ready > 0),
      coming: comingOf(commissions, today),
    },
  })
}

const latestFirst = (loads: LoadCard[]): LoadCard[] =>
  loads.filter(({ minutesLate }) => minutesLate > 0).sort((one, other) => other.minutesLate - one.minutesLate)

/** Needed soon, and not all of it ready yet; what is late already stands on top. */
function comingOf(commissions: CommissionLine[], today: Day): CommissionLine[] {
  const last = addDays(today, COMING_DAYS)
  return commissions.filter(({ neededBy, ready, here }) => neededBy >= today && neededBy <= last && ready < here)
}

export function today(app: FastifyInstance): void {
  app.get('/', showToday)
}
