/** "What day could you promise?", asked on the telephone: answered from today's plan, with nothing written down. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { sayAskedDay, sayEarliest } from '../domain/asked-day.js'
import { BUNDLE_LIMITS } from '../domain/bundles-line.js'
import { addDays, dayOf, localToUtc, readDay } from '../domain/day.js'
import { LONGEST_AHEAD_DAYS } from '../domain/drop-off.js'
import { readCount, readWeight } from '../domain/quantity.js'
import { askedDayIf } from '../store/asked-day.js'
import { readCatalogue } from '../store/catalogue.js'
import { type Client, findClient, type KnownClient } from '../store/clients.js'
import type { DropOff } from '../store/drop-off.js'
import { dyesByRoute } from './drop-off.js'
import { dyeIn, findingsFor } from './drop-off-fields.js'
import { choice, readBy, readIfTyped } from './kit/fields.js'
import { check, errorsIn, Form, Unfit } from './kit/form.js'
import { byOf, found } from './kit/post.js'
import { unitsOf } from './pots.js'
import { fibresByName } from './recipe-working.js'

/** Whoever asks and is not written down here; the question is undone as a whole. */
const SOMEBODY: Client = {
  ...{ name: 'somebody', mark: '', contact: '', wishes: '', note: '' },
  settles: 'paid',
  photographs: 'no',
}

/** Fibre that comes on a day is there by then: common practice, no source. */
const COMES_CLOCK = '10:00'

const asking = (request: FastifyRequest, catalogue: Awaited<ReturnType<typeof readCatalogue>>) => {
  const today = dayOf(byOf(request).at, request.workshop.timeZone)
  const { bundles } = BUNDLE_LIMITS
  return z.object({
    fibreId: choice(
      'Fibre',
      catalogue.fibres.map(({ id }) => id),
    ),
    dyeId: dyeIn(catalogue),
    weight: readBy(typed =>
      readWeight(aboutSoMuch(typed), unitsOf(request.workshop), { label: 'dry weight', min: 1, max: 1e6 }),
    ),
    bundles: readBy(typed => readCount(typed, { label: 'number of bundles', noun: 'bundle', ...bundles })),
    comesOn: readIfTyped(typed =>
      readDay(typed, today, {
        label: 'day on which it comes',
        earliest: today,
        latest: addDays(today, LONGEST_AHEAD_DAYS),
      }),
    ),
    wantedBy: readIfTyped(typed =>
      readDay(typed, today, { label: 'wanted day', earliest: today, latest: addDays(today, LONGEST_AHEAD_DAYS) }),
    ),
  })
}

/** As it is said on the telephone: "about a kilo", "half a pound", "roughly 600 g". */
const aboutSoMuch = (typed: string): string =>
  typed
    .trim()
    .replace(/^(about|around|roughly|approximately|circa|ca\.?|~)\s*/i, '')
    .replace(/^half an?\s+(?=\p{L})/iu, '½ ')
    .replace(/^an?\s+(?=\p{L})/iu, '1 ')

type Asked = z.output<ReturnType<typeof asking>>

/** The same fibre in alike bundles, as it would be taken in. */
function dropOffOf({ fibreId, dyeId, weight, bundles }: Asked, neededBy: string, client: KnownClient | null): DropOff {
  const { dryWeightG: limits } = BUNDLE_LIMITS
  const dryWeightG = weight.grams / bundles.count
  if (dryWeightG < limits.min || dryWeightG > limits.max)
    throw new Unfit([{ field: 'bundles', sentence: 'So many bundles of this weight cannot be. Check both.' }])
  const words = { weightTyped: weight.typed, thicknessMm: null, thicknessTyped: '', condition: '', howTied: '' }
  return {
    client: client === null ? SOMEBODY : { id: client.id },
    purpose: 'asked about',
    neededBy,
    arrangement: 'paid',
    note: '',
    lots: [
      {
        ...{ fibreId, colour: 'asked about', swatch: null, tiesUndyed: false, against: '', repeatsLotId: null },
        ...{ route: dyeId.route, dyeId: dyeId.id },
        bundles: Array.from({ length: bundles.count }, () => ({ tiesIn: 0, dryWeightG, ...words })),
      },
    ],
  }
}

async function answerTo(request: FastifyRequest, form: Form, client: KnownClient | null) {
  const { db } = request.server
  const by = byOf(request)
  const catalogue = await readCatalogue(db)
  const asked = check(asking(request, catalogue), form)
  const soonest = dayOf(by.at, request.workshop.timeZone)
  const comes = asked.comesOn === null ? by.at : localToUtc(asked.comesOn, COMES_CLOCK, request.workshop.timeZone)
  const comesAt = [comes, by.at].toSorted().at(-1) ?? by.at
  const day = await askedDayIf(db, by, dropOffOf(asked, asked.wantedBy ?? soonest, client), comesAt)
  return {
    ...day,
    question: {
      fibreName: catalogue.fibres.find(({ id }) => id === asked.fibreId)?.name ?? '',
      dyeName: catalogue.substances.find(({ id }) => id === asked.dyeId.id)?.name ?? '',
      dryWeightG: asked.weight.grams,
      bundles: asked.bundles.count,
    },
    wantedBy: asked.wantedBy,
    comesOn: asked.comesOn,
    said: asked.wantedBy === null ? sayEarliest(day) : sayAskedDay(day),
    answer: asked.wantedBy === null && day.answer === 'not kept' ? ('kept' as const) : day.answer,
    findings: findingsFor(catalogue, asked.fibreId, asked.dyeId.id, {
      conditions: [],
      purposes: [],
      tiesUndyed: false,
    }),
  }
}

async function showDay(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const sent = Form.read(request.query)
  const clientId = sent.value('client')
  const client = /^\d{1,15}$/.test(clientId) ? found(await findClient(db, Number(clientId)), 'client') : null
  const catalogue = await readCatalogue(db)
  const choices = { fibres: fibresByName(catalogue), dyes: dyesByRoute(catalogue) }
  const isAsked = [...sent.typed.keys()].some(name => name !== 'client')
  let form = sent
  let answer: Awaited<ReturnType<typeof answerTo>> | null = null
  try {
    if (isAsked) answer = await answerTo(request, sent, client)
  } catch (fault) {
    form = sent.with(errorsIn(fault))
  }
  return reply.page('plan/day', {
    title: 'What day could be promised?',
    form,
    status: form.errors.length > 0 ? 422 : 200,
    data: { answer, choices, client: client && { id: client.id, name: client.name } },
  })
}

export function dayToPromise(app: FastifyInstance): void {
  app.get('/plan/day', showDay)
}
