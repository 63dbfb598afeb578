import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addDays, type Day, dayOf } from '../domain/day.js'
import { INCIDENT_WORDS } from '../domain/incident.js'
import { sayLots } from '../domain/lot.js'
import { lotsReadyToFetch } from '../store/client-told.js'
import { openQuestions } from '../store/count-questions.js'
import { openIncidents } from '../store/incidents.js'
import { loadsAtWork } from '../store/loads.js'
import { bathsToShare } from '../store/one-bath.js'
import { potsNow } from '../store/pots.js'
import { type LotInHand, lotsInHand } from '../store/today.js'
import { tellingOf } from './client-told.js'
import { byOf } from './kit/post.js'
import { cardOf, type LoadCard } from './load-card.js'

/** What is needed within these days is shown as coming. */
const COMING_DAYS = 14

async function showToday(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const now = byOf(request).at
  const today = dayOf(now, request.workshop.timeZone)
  const loads = (await loadsAtWork(db)).map(load => cardOf(load, now))
  const pots = await potsNow(db, now)
  const lots = await lotsInHand(db)
  const commissions = commissionsOf(lots)
  const toStart = lots.filter(({ waiting }) => waiting > 0).sort(byDay)
  const readyLots = await lotsReadyToFetch(db)
  return reply.page('today/show', {
    title: 'Today',
    live: true,
    data: {
      today,
      late: { loads: latestFirst(loads), commissions: commissions.filter(({ countedOn }) => countedOn < today) },
      /** What went wrong, and what a shelf count asks: open until somebody answers it. */
      open: { incidents: await openIncidents(db), questions: await openQuestions(db), kindWords: INCIDENT_WORDS },
      pots: pots
        .filter(pot => !pot.outOfUse || pot.loadId !== null)
        .map(pot => ({ ...pot, load: loads.find(({ id }) => id === pot.loadId) ?? null })),
      /** Loads that have left their pot: in the rinse or on the drying line. */
      outOfPot: loads.filter(({ potFreeAt }) => potFreeAt !== null),
      toStart,
      oneBath: (await bathsToShare(db, toStart)).map(({ lotId, others }) => ({
        lotId,
        words: sayLots([lotId, ...others]),
      })),
      ready: commissions
        .filter(({ ready }) => ready > 0)
        .map(one => ({ ...one, telling: tellingOf(readyLots, one.id) })),
      coming: comingOf(commissions, today),
    },
  })
}

const latestFirst = (loads: LoadCard[]): LoadCard[] =>
  loads.filter(({ minutesLate }) => minutesLate > 0).sort((one, other) => other.minutesLate - one.minutesLate)

type HasDay = { countedOn: string }
const byDay = (one: HasDay, other: HasDay): number =>
  one.countedOn < other.countedOn ? -1 : one.countedOn > other.countedOn ? 1 : 0

type Commission = Pick<
  LotInHand,
  'clientId' | 'clientName' | 'clientContact' | 'purpose' | 'neededBy' | 'countedOn' | 'here' | 'ready'
> & {
  id: number
}

/** What the lots in hand add up to, commission by commission; those of one stand together. */
function commissionsOf(lots: readonly LotInHand[]): Commission[] {
  const commissions: Commission[] = []
  for (const lot of lots) {
    const last = commissions.at(-1)
    if (last?.id === lot.commissionId) {
      last.here += lot.here
      last.ready += lot.ready
      if (lot.countedOn < last.countedOn) last.countedOn = lot.countedOn
    } else {
      const { commissionId: id, clientId, clientName, clientContact, purpose, neededBy, countedOn, here, ready } = lot
      commissions.push({ id, clientId, clientName, clientContact, purpose, neededBy, countedOn, here, ready })
    }
  }
  return commissions
}

/** Needed soon, and not all of it ready yet; what is late already stands on top. */
function comingOf(commissions: Commission[], today: Day): Commission[] {
  const last = addDays(today, COMING_DAYS)
  return commissions
    .filter(({ countedOn, ready, here }) => countedOn >= today && countedOn <= last && ready < here)
    .sort(byDay)
}

export function today(app: FastifyInstance): void {
  app.get('/', showToday)
}
