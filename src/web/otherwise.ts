/** When the day goes otherwise: one press writes it down, plans anew from the plan so far, and says who must be told. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { TOLD, type Told } from '../domain/client-told.js'
import { addDays, type Day, dayOf, localToUtc, readDay, sayDay, sayLapse } from '../domain/day.js'
import { overrunMinutes } from '../domain/otherwise.js'
import { instantAt, minuteAt, type PlanLoad } from '../domain/plan-input.js'
import { changedBy, keptFrom } from '../domain/plan-traits.js'
import { Refusal } from '../domain/refusal.js'
import { liftOver } from '../store/lift-over.js'
import { endPotRest, noteOverrun, openOverruns, potRests, restPot, type StepOverrun } from '../store/otherwise.js'
import { planIdOfLoad } from '../store/plan-facts.js'
import { clientsInTime, clientsToTell, howItGoes, keepWhatCame, planAnew } from '../store/plan-moves.js'
import { listPots, type PotNow, potsNow } from '../store/pots.js'
import { notePromise } from '../store/promises.js'
import { type WorkPlan, workPlan } from '../store/work-plan.js'
import { addDaysAway, daysAwayFrom, undoDaysAway } from '../store/working-days.js'
import { choice, id, optionalText, readBy, readIfTyped } from './kit/fields.js'
import { check, Form } from './kit/form.js'
import { byOf, type Done, found, idIn, onPost, type Post } from './kit/post.js'

const HERE = '/plan/otherwise'
const STILL_MINUTES = [30, 60, 120, 180, 240, 480, 1440] as const
const NO_LONGER = 'no longer'
const LONGEST_AHEAD_DAYS = 366

const dayNow = (request: FastifyRequest): Day => dayOf(byOf(request).at, request.workshop.timeZone)

/** The steps that are under way, with the load's name, and by how much each runs over. */
const underWay = ({ facts, plan }: WorkPlan, overruns: readonly StepOverrun[]) =>
  plan.loads.flatMap(({ loadId, steps }) => {
    const words = facts.words.loads[loadId]
    const step = steps.find(({ state }) => state === 'under way')
    if (!step || !words || words.loadId === null) return []
    const own = overruns.filter(over => over.loadId === words.loadId && over.stepN === step.n)
    const overMinutes = own.reduce((sum, { minutes }) => sum + minutes, 0)
    const { name, colour } = words
    return [{ loadId: words.loadId, stepN: step.n, title: step.title, name, colour, overMinutes, endMin: step.endMin }]
  })

/**
 * What lies in pots that are out of use, and the free pots into which it could be lifted over. The plan moves no fibre by
 * itself: until when it leaves it there, if it can tell.
 */
function leftInPots({ facts, plan }: WorkPlan, pots: readonly PotNow[]) {
  return pots.flatMap(({ id, name: potName, rest, loadId }) => {
    const planId = loadId === null || rest === null ? '' : planIdOfLoad(loadId)
    const words = facts.words.loads[planId]
    if (words === undefined) return []
    const steps = plan.loads.find(load => load.loadId === planId)?.steps ?? []
    const now = steps.find(({ state }) => state === 'under way')
    if (now !== undefined && now.potId !== String(id)) return []
    const next = steps.find(({ state, potId }) => state === 'planned' && potId !== String(id))
    const { name, colour, lots } = words
    const whose = lots.map(({ lotId, clientName }) => ({ lotId, clientName }))
    const load = facts.loads.find(one => one.id === planId)
    const into =
      load === undefined
        ? []
        : pots
            .filter(pot => takes(pot, load))
            .map(pot => ({ id: pot.id, name: pot.name, changes: changedBy(load, pot.metal) }))
    const untilAt = next ? instantAt(next.startMin) : null
    return [{ potId: id, potName, loadId, name, colour, whose, untilAt, into }]
  })
}

const takes = (pot: PotNow, load: PlanLoad): boolean =>
  !pot.outOfUse &&
  pot.rest === null &&
  pot.loadId === null &&
  pot.usableMl >= load.bathMl &&
  keptFrom(load, pot) === null

async function showOtherwise(request: FastifyRequest, reply: FastifyReply, form = new Form(), status = 200) {
  const { db } = request.server
  const { at } = byOf(request)
  const { work, last, lastMoves, since } = await howItGoes(db, at)
  const pots = await potsNow(db, at)
  return reply.page('plan-otherwise/show', {
    title: 'When the day goes otherwise',
    form,
    status,
    data: {
      kept: last ? { at: last.at, who: last.who, why: last.why } : null,
      lastMoves,
      since,
      toTell: await clientsToTell(db, work, request.workshop.name),
      inTime: await clientsInTime(db, work),
      /** Nothing can be said of the day of these. */
      notPlanned: work.facts.notPlanned.map(({ lotId, clientName }) => ({ lotId, clientName })),
      ways: TOLD,
      underWay: underWay(work, await openOverruns(db)).map(({ endMin, ...one }) => ({
        ...one,
        endsAt: instantAt(endMin),
      })),
      still: STILL_MINUTES.map(minutes => ({ minutes, words: sayLapse(minutes) })),
      pots: pots.filter(({ outOfUse }) => !outOfUse).map(({ id, name }) => ({ id, name })),
      rests: await potRests(db, at),
      leftInPots: leftInPots(work, pots),
      away: await daysAwayFrom(db, dayNow(request)),
      today: dayNow(request),
      hoursAreGuessed: work.facts.hoursAreGuessed,
    },
  })
}

/**
 * A press on this page: what it writes down, and its words, under which the new plan is kept; apart from what had moved
 * before, unless that is what is kept.
 */
const press = (act: (...given: Parameters<Post['act']>) => Promise<string>, isApart = true): Post => ({
  show: showOtherwise,
  act: async (trx, request, form, by): Promise<Done> => {
    if (isApart) await keepWhatCame(trx, by)
    const why = await act(trx, request, form, by)
    const toTell = await clientsToTell(trx, await planAnew(trx, by, why), request.workshop.name)
    const told = toTell.length === 0 ? 'nobody has to be told' : 'look at who must be told'
    return { to: HERE, said: `${why}. The plan is made anew: ${told}.` }
  },
})

const stillForm = z.object({ still: choice('How long it still takes', [...STILL_MINUTES.map(String), NO_LONGER]) })

const stepRunsOver = press(async (trx, request, form, by) => {
  const loadId = idIn(request)
  const { still } = check(stillForm, form)
  const slow = found(
    underWay(await workPlan(trx, by.at), await openOverruns(trx)).find(one => one.loadId === loadId),
    'load under way',
  )
  const { stepN, overMinutes, endMin } = slow
  const minutes =
    still === NO_LONGER ? -overMinutes : overrunMinutes(endMin, minuteAt(by.at), Number(still), overMinutes)
  if (minutes === 0) throw new Refusal('conflict', `“${slow.title}” takes no less than that as it is.`)
  await noteOverrun(trx, by, { loadId, stepN, minutes })
  return `${slow.name}, “${slow.title}”, ${still === NO_LONGER ? 'takes no longer after all' : `still takes ${sayLapse(Number(still))}`}`
})

const comingDay = (today: Day, label: string, earliest: Day) => (typed: string) =>
  readDay(typed, today, { label, earliest, latest: addDays(today, LONGEST_AHEAD_DAYS) })

const potForm = (today: Day) =>
  z.object({
    potId: id('Pot'),
    backOn: readBy(comingDay(today, 'day on which it is back in use', addDays(today, 1))),
    words: optionalText('What is the matter', 300),
  })

const potOutOfUse = press(async (trx, request, form, by) => {
  const { potId, backOn, words } = check(potForm(dayNow(request)), form)
  const pot = (await listPots(trx)).find(one => one.id === potId)
  if (!pot) throw new Refusal('wrong', 'There is no such pot here. Choose one that is.', 'potId')
  await restPot(trx, by, { potId, untilAt: localToUtc(backOn, '00:00', request.workshop.timeZone), words })
  return `${pot.name} is out of use until ${sayDay(backOn)}`
})

const liftForm = z.object({ from: id('Pot'), potId: id('Pot'), why: optionalText('Why', 300) })

const liftedOver = press(async (trx, request, form, by) => {
  const { from, potId, why } = check(liftForm, form)
  const said = why === '' ? 'its pot is out of use' : why
  return liftOver(trx, by, { loadId: idIn(request), fromPotId: from, potId, why: said })
})

const potIsBack = press(async (trx, request, form, by) => {
  check(z.object({ do: choice('That it is back in use', ['back']) }), form)
  return `${(await endPotRest(trx, by, idIn(request))).potName} is back in use`
})

const awayForm = (today: Day) =>
  z.object({
    away: choice('That nobody is there', ['today', 'until']),
    since: readIfTyped(comingDay(today, 'first day away', today)),
    until: readIfTyped(comingDay(today, 'last day away', today)),
    awayWords: optionalText('Why', 300),
  })

const awayToday = press(async (trx, request, form, by) => {
  const today = dayNow(request)
  const { away, since, until, awayWords } = check(awayForm(today), form)
  if (away === 'until' && until === null && since === null)
    throw new Refusal('wrong', 'Say the days away, or press “Away today”.', 'since')
  const from = away === 'today' ? today : (since ?? today)
  const to = away === 'today' ? today : (until ?? from)
  if (to < from) throw new Refusal('wrong', `The last day away is before the first, ${sayDay(from)}.`, 'until')
  await addDaysAway(trx, by, { from, to, words: awayWords })
  if (from > today)
    return `Nobody is there ${from === to ? `on ${sayDay(to)}` : `from ${sayDay(from)} to ${sayDay(to)}`}`
  return to === today ? 'Nobody is there today' : `Nobody is there until ${sayDay(to)}`
})

const notAwayAfterAll = press(async (trx, request, form, by) => {
  check(z.object({ do: choice('That somebody is there after all', ['undo']) }), form)
  await undoDaysAway(trx, by, idIn(request))
  return 'Somebody is there after all'
})

const keepAsItIs = press(async (_trx, _request, form) => {
  check(z.object({ do: choice('That the plan is kept', ['keep']) }), form)
  return 'The plan is kept as it is now'
}, false)

const toldForm = z.object({ how: choice('How they were told', TOLD), words: optionalText('Words', 500) })

/** They count on the new day from now on; where none could be given, on none. */
const told: Post = {
  show: showOtherwise,
  act: async (trx, request, form, by) => {
    const { how, words } = check(toldForm, form)
    const work = await workPlan(trx, by.at)
    const one = (await clientsToTell(trx, work, request.workshop.name)).find(({ lotId }) => lotId === idIn(request))
    if (!one) throw new Refusal('conflict', 'There is nothing to tell about this lot any more; look at the plan again.')
    if (form.value('to') !== (one.to ?? ''))
      throw new Refusal('conflict', 'The plan has moved meanwhile, and the day with it. Look at what stands here now.')
    const said = [words, toldWords(how, one.to)].filter(Boolean).join('; ')
    const promise = { lotId: one.lotId, day: one.to, earliest: one.to, how, toldOn: dayNow(request), words: said }
    await notePromise(trx, by, promise)
    return { to: HERE, said: `${one.clientName} and lot ${one.lotId}: written down.` }
  },
}

const toldWords = (how: Told, to: Day | null): string =>
  how === 'cannot be told' ? 'cannot be told' : to === null ? 'told that no day can be given yet' : ''

export function otherwise(app: FastifyInstance): void {
  app.get(HERE, (request, reply) => showOtherwise(request, reply))
  onPost(app, `${HERE}/loads/:id`, stepRunsOver)
  onPost(app, `${HERE}/pots`, potOutOfUse)
  onPost(app, `${HERE}/pots/:id`, potIsBack)
  onPost(app, `${HERE}/lifted/:id`, liftedOver)
  onPost(app, `${HERE}/away`, awayToday)
  onPost(app, `${HERE}/away/:id`, notAwayAfterAll)
  onPost(app, `${HERE}/keep`, keepAsItIs)
  onPost(app, `${HERE}/told/:id`, told)
}
