/** The plan: what the dyer does when, and what is settled of it. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { SAYS_SOMETHING } from '../domain/hand-back.js'
import { instantAt, minuteAt, type PlanLoad, type PlanStep } from '../domain/plan-input.js'
import { wishesAgainst } from '../domain/plan-wish.js'
import { readClock } from '../domain/read-clock.js'
import { readDay } from '../domain/read-day.js'
import { Refusal } from '../domain/refusal.js'
import { clockOf, dayOf, localToUtc, sayTime } from '../domain/wall-clock.js'
import type { Trx } from '../store/db.js'
import { type LoadWords, planIdOfLoad, planIdOfLot } from '../store/plan-facts.js'
import { clientsToTell } from '../store/plan-moves.js'
import { type PinPlace, pinStep, unpinStep } from '../store/plan-pins.js'
import { type WorkPlan, workPlan } from '../store/work-plan.js'
import { choice, optionalText, readIfTyped } from './kit/fields.js'
import { check, type Form, Unfit } from './kit/form.js'
import { byOf, formPage, found, idIn, onPost } from './kit/post.js'
import { sayLeftAlone } from './next-step.js'
import { planView, reasonWords, sayHands, sayProblem, sayWhy, stepHref } from './plan-view.js'

async function showPlan(request: FastifyRequest, reply: FastifyReply) {
  const { at } = byOf(request)
  const work = await workPlan(request.server.db, at)
  const toTell = (await clientsToTell(request.server.db, work, request.workshop.name)).length
  return reply.page('plan/show', { title: 'The plan', data: { ...planView(work, at), toTell } })
}

const planIdIn = (request: FastifyRequest): string =>
  request.url.startsWith('/plan/loads/')
    ? planIdOfLoad(idIn(request))
    : planIdOfLot(idIn(request), idIn(request, 'part'))

type StepAsked = { load: PlanLoad; step: PlanStep; words: LoadWords; place: PinPlace }

/** The step that an address names, while it is still to come. */
function stepIn(request: FastifyRequest, { facts }: WorkPlan): StepAsked {
  const load = found(
    facts.loads.find(({ id }) => id === planIdIn(request)),
    'load in the plan',
  )
  const n = idIn(request, 'n')
  const step = found(
    load.steps.find(one => one.n === n),
    'step',
  )
  const words = found(facts.words.loads[load.id], 'load in the plan')
  const place = { lotId: words.lotId, loadId: words.loadId, part: words.loadId === null ? words.part : null, stepN: n }
  return { load, step, words, place }
}

async function showStep(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { at } = byOf(request)
  const work = await workPlan(request.server.db, at)
  const { load, step, words, place } = stepIn(request, work)
  const { timeZone } = work.facts.workshop
  const planned = work.plan.loads.find(({ loadId }) => loadId === load.id)?.steps.find(({ n }) => n === step.n)
  const problem = work.plan.problems.find(({ loadId }) => loadId === load.id)
  const pin = work.facts.pins.find(one => one.planLoadId === load.id && one.stepN === step.n)
  const startsAt = pin?.startsAt ?? (planned === undefined ? null : instantAt(planned.startMin))
  return reply.page('plan/step', {
    title: `${words.name}: ${step.title}`,
    form,
    status,
    data: {
      load: words,
      step: {
        n: step.n,
        title: step.title,
        minutes: step.minutes,
        warmUpMinutes: step.warmUpMinutes,
        standAtMostMinutes: step.standAtMostMinutes,
      },
      hands: sayHands(step),
      begun: step.n <= load.begunMin.length,
      startsAt,
      day: startsAt === null ? '' : dayOf(startsAt, timeZone),
      clock: pin?.startsAt ? clockOf(pin.startsAt, timeZone) : '',
      why: planned === undefined ? '' : sayWhy(planned.why, load.id, reasonWords(work, at)),
      problem: problem === undefined ? '' : sayProblem(problem, reasonWords(work, at)),
      pinned: pin === undefined ? null : { startsAt: pin.startsAt, potId: pin.potId, agreed: pin.agreed },
      potName: planned?.potId ? (work.facts.words.pots[planned.potId] ?? '') : '',
      pots: place.loadId === null && goesIntoPot(step, work) ? potChoices(work) : [],
      href: stepHref(words, step.n),
    },
  })
}

const goesIntoPot = ({ place }: PlanStep, { facts }: WorkPlan): boolean =>
  place === 'pot' || (place === 'soak tub' && facts.workshop.soakTubs === 0)

const NO_POT = ''
const potChoices = ({ facts }: WorkPlan): [string, string][] => [
  [NO_POT, 'whichever the plan chooses'],
  ...facts.workshop.pots.map(({ id, name }): [string, string] => [id, name]),
]

function settledIn(request: FastifyRequest, form: Form, work: WorkPlan, asked: StepAsked) {
  const { timeZone } = request.workshop
  const { at } = byOf(request)
  const today = dayOf(at, timeZone)
  const pots =
    asked.place.loadId === null && goesIntoPot(asked.step, work) ? potChoices(work).map(([id]) => id) : [NO_POT]
  const fields = z.object({
    day: readIfTyped(typed => readDay(typed, today, { label: 'day', earliest: today })),
    clock: readIfTyped(typed => readClock(typed)),
    potId: choice('Pot', pots),
    agreed: optionalText('What the client said', 500),
  })
  const { day, clock, potId, agreed } = check(fields, form)
  if (clock === null && potId === NO_POT)
    throw new Unfit([{ field: 'clock', sentence: 'Write the time at which it begins, or choose a pot.' }])
  if (clock === '24:00') throw new Unfit([{ field: 'clock', sentence: 'Write midnight as 0:00 of the day after.' }])
  const startsAt = clock === null ? null : localToUtc(day ?? today, clock, timeZone)
  if (startsAt !== null && minuteAt(startsAt) < minuteAt(at))
    throw new Unfit([{ field: 'clock', sentence: `${clock} is past already. Write a time that is still to come.` }])
  return {
    startsAt,
    potId: potId === NO_POT ? null : Number(potId),
    agreed: agreedTo(request, asked, startsAt, agreed),
  }
}

/** Against a client's wish a step is settled only with what they said of it; where no wish is against it, nothing is kept. */
function agreedTo(request: FastifyRequest, { load, step, words }: StepAsked, startsAt: string | null, typed: string) {
  const wishes = startsAt === null ? [] : wishesAgainst(load, step.n, minuteAt(startsAt))
  if (wishes.length === 0) return ''
  if (SAYS_SOMETHING.test(typed)) return typed
  const clock = { at: byOf(request).at, timeZone: request.workshop.timeZone }
  const against = wishes.map(wish => sayLeftAlone(words.name, wish.words, instantAt(wish.toMin), clock))
  const sentence = `${against.join(' ')} Choose another time; or ask the client and, once they agree, write down who said what, when and how.`
  throw new Unfit([{ field: 'agreed', sentence }])
}

/** What was settled must still leave the load a plan; what was wrong with it before is not the fault of this. */
async function refuseImpossible(trx: Trx, at: string, before: WorkPlan, { load, step }: StepAsked): Promise<void> {
  const after = await workPlan(trx, at)
  const isIn = ({ plan }: WorkPlan): boolean => plan.loads.some(({ loadId }) => loadId === load.id)
  const problem = after.plan.problems.find(one => one.loadId === load.id)
  const isOfThis = problem?.kind === 'pin' && problem.stepN === step.n
  if (problem === undefined || isIn(after) || !(isOfThis || isIn(before))) return
  throw new Refusal('wrong', `It cannot be done so. ${sayProblem(problem, reasonWords(after, at))}`, 'clock')
}

const sentenceOf = (
  { words, step }: StepAsked,
  startsAt: string | null,
  potName: string,
  timeZone: string,
  at: string,
) => {
  const when = startsAt === null ? '' : ` ${sayTime(startsAt, timeZone, dayOf(at, timeZone))}`
  return `${words.name}, “${step.title}”:${when}${potName === '' ? '' : ` in ${potName}`}`
}

export function plan(app: FastifyInstance): void {
  app.get('/plan', showPlan)
  for (const url of ['/plan/lots/:id/:part/steps/:n', '/plan/loads/:id/steps/:n']) {
    formPage(app, url, {
      show: showStep,
      act: async (trx, request, form, by) => {
        const before = await workPlan(trx, by.at)
        const asked = stepIn(request, before)
        if (asked.step.n <= asked.load.begunMin.length)
          throw new Refusal('conflict', `“${asked.step.title}” has begun already: there is nothing to settle.`)
        const settled = settledIn(request, form, before, asked)
        const potName = settled.potId === null ? '' : (before.facts.words.pots[String(settled.potId)] ?? '')
        const said = sentenceOf(asked, settled.startsAt, potName, request.workshop.timeZone, by.at)
        const agreed = settled.agreed === '' ? '' : ', as the client agreed against a wish of theirs'
        await pinStep(trx, by, asked.place, settled, `${said}${agreed}`)
        await refuseImpossible(trx, by.at, before, asked)
        return { to: '/plan', said: `Settled. ${said}${agreed}.` }
      },
    })
    onPost(app, `${url}/undo`, {
      show: showStep,
      act: async (trx, request, _form, by) => {
        const asked = stepIn(request, await workPlan(trx, by.at))
        await unpinStep(
          trx,
          by,
          asked.place,
          sentenceOf(asked, null, '', request.workshop.timeZone, by.at).slice(0, -1),
        )
        return { to: '/plan', said: `${asked.words.name}, “${asked.step.title}”: left to the plan again.` }
      },
    })
  }
}
