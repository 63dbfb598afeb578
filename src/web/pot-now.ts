/** One pot, or one load that has left its pot, for wet gloves: the step, its time, the next press, and what to mind. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { quickNotes } from '../domain/load-words.js'
import { instantAt } from '../domain/plan-input.js'
import type { Recipe } from '../domain/recipe.js'
import { clocksChangeWords, stepTime } from '../domain/step-time.js'
import type { Db } from '../store/db.js'
import { keptApart } from '../store/keep-apart.js'
import { findLoad, type Load, loadsAtWork, lotIdsOf } from '../store/loads.js'
import { potRests } from '../store/otherwise.js'
import { wishesNow } from '../store/plan-wishes.js'
import { findPot, type KnownPot } from '../store/pots.js'
import { type WorkPlan, workPlan } from '../store/work-plan.js'
import type { Workshop } from '../store/workshop.js'
import type { Form } from './kit/form.js'
import { byOf, found, idIn } from './kit/post.js'
import { lotsOnCard } from './load-card.js'
import { atThePot } from './load-page.js'
import { sayWishNow } from './next-step.js'

/** What the page of a load has, what it leaves out, and what is seen here at a glance. */
async function atAGlance(db: Db, load: Load, now: string, workshop: Workshop) {
  const { now: step, plan, ...page } = await atThePot(db, load, now, workshop)
  const { lots, lotWords, whose, hasGoneBack, toCount, whereIs, isWeighedOut, undo, cautions } = page
  return {
    load,
    lots,
    lotWords,
    whose,
    hasGoneBack,
    toCount,
    whereIs,
    isWeighedOut,
    undo,
    step: step && { ...step, time: stepTime(step, load.stepSince, now) },
    clocksChange: step?.dueAt ? clocksChangeWords(load.stepSince, step.dueAt, workshop.timeZone) : '',
    /** After the one that comes next. */
    later: step ? plan.slice(step.n + 1) : [],
    rest: load.potFreeAt === null ? await restOf(db, load.potId, now) : null,
    leaveAlone: await leaveAlone(db, load, { at: now, timeZone: workshop.timeZone }),
    apart: (await keptApart(db, lotIdsOf(load))).map(({ lotId, why }) => ({ lotId, why })),
    warnings: warningsOf(cautions),
    quickNotes: step ? quickNotes(step.place) : [],
  }
}

const restOf = async (db: Db, potId: number, now: string) =>
  (await potRests(db, now)).find(rest => rest.potId === potId) ?? null

/** Whose wish about days holds at this moment, in sentences. */
async function leaveAlone(db: Db, load: Load, clock: { at: string; timeZone: string }): Promise<string[]> {
  if (load.doneAt !== null) return []
  return (await wishesNow(db, lotIdsOf(load), clock)).map(wish => sayWishNow(wish, clock))
}

/** The recipe's warnings: by name and signal word on top of the page, and each in full below. */
const warningsOf = (cautions: Recipe['cautions']) =>
  cautions
    .filter(({ signalWord, statements, words }) => signalWord !== null || statements.length + words.length > 0)
    .map(({ name, signalWord, statements, words }) => ({
      name,
      signalWord,
      sentences: [...statements.map(statement => `${statement.words}.`), ...words],
    }))

async function showLoadNow(request: FastifyRequest, reply: FastifyReply, load: Load, form?: Form, status = 200) {
  const data = await atAGlance(request.server.db, load, byOf(request).at, request.workshop)
  const title = `${data.whereIs}: ${data.lotWords}, now`
  return reply.page('at-pot/load', { title, live: true, data, ...(form && { form, status }) })
}

/** The page of a load at work; it is shown again with what was typed when a press there is refused. */
export async function showAtPot(request: FastifyRequest, reply: FastifyReply, form?: Form, status?: number) {
  const load = found(await findLoad(request.server.db, idIn(request)), 'load')
  return showLoadNow(request, reply, load, form, status)
}

async function showPotNow(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const pot = found(await findPot(db, idIn(request)), 'pot')
  const load = pot.loadId === null ? undefined : await findLoad(db, pot.loadId)
  return load ? showLoadNow(request, reply, load) : showEmpty(request, reply, pot)
}

/** Nothing is in it: what the plan puts in next, and what came out of it and is still at work. */
async function showEmpty(request: FastifyRequest, reply: FastifyReply, pot: KnownPot) {
  const { db } = request.server
  const { at } = byOf(request)
  const atWork = (await loadsAtWork(db)).filter(({ potId }) => potId === pot.id)
  const outOfIt = atWork.map(load => ({ ...load, ...lotsOnCard(load) }))
  const rest = await restOf(db, pot.id, at)
  const planned = pot.outOfUse ? null : nextInto(await workPlan(db, at), pot.id)
  return reply.page('at-pot/empty', { title: `${pot.name}, now`, live: true, data: { pot, outOfIt, planned, rest } })
}

/** What the plan lifts into this pot next, and when; null when nothing. */
function nextInto({ plan, facts }: WorkPlan, potId: number) {
  const lifts = plan.loads.flatMap(({ loadId, steps }) => {
    const first = steps.find(step => step.potId === String(potId) && step.state === 'planned')
    const load = facts.words.loads[loadId]
    return first === undefined || load === undefined ? [] : [{ startMin: first.startMin, load }]
  })
  const [next] = lifts.sort((one, other) => one.startMin - other.startMin)
  return next === undefined ? null : { at: instantAt(next.startMin), load: next.load }
}

export function potNow(app: FastifyInstance): void {
  app.get('/pots/:id/now', showPotNow)
  app.get('/loads/:id/now', (request, reply) => showAtPot(request, reply))
}
