import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { BUNDLE_LIMITS } from '../domain/bundles-line.js'
import { type Day, dayOf, readDay } from '../domain/day.js'
import { FACTS_NEEDED, type Fact, type Facts, factsMatching, factsTold, knownAgain } from '../domain/known-again.js'
import { HERE_PLACES } from '../domain/place.js'
import { readCount, readWeight } from '../domain/quantity.js'
import { Refusal } from '../domain/refusal.js'
import { readTagCode, sayTagCode } from '../domain/tag-code.js'
import { type BundleHere, bundlesHere } from '../store/bundle-page.js'
import { listEntries } from '../store/catalogue.js'
import { replaceTag } from '../store/replace-tag.js'
import { choice, id, readBy, readIfTyped } from './kit/fields.js'
import { check, errorsIn, Form } from './kit/form.js'
import { found, onPost } from './kit/post.js'
import { sayFor } from './kit/say.js'
import { unitsOf } from './pots.js'

const dayNow = (request: FastifyRequest): Day => dayOf(request.server.now().toISOString(), request.workshop.timeZone)

const factFields = (request: FastifyRequest) => {
  const units = unitsOf(request.workshop)
  const defaultUnit = units.weight === 'metric' ? ('g' as const) : undefined
  return {
    weight: readIfTyped(typed =>
      readWeight(typed, units, { label: 'weight', ...BUNDLE_LIMITS.dryWeightG, defaultUnit }),
    ),
    ties: readIfTyped(typed => readCount(typed, { label: 'number of ties', noun: 'tie', ...BUNDLE_LIMITS.ties })),
    day: readIfTyped(typed => readDay(typed, dayNow(request), { label: 'day', lean: 'back', latest: dayNow(request) })),
    fibreId: readBy(typed => ({ ok: true, value: typed })),
    place: choice('Where it was found', ['', ...HERE_PLACES]).catch(''),
  }
}

type Typed = z.output<z.ZodObject<ReturnType<typeof factFields>>>
const factsOf = ({ weight, ties, day, fibreId, place }: Typed): Facts => ({
  weightG: weight?.grams ?? null,
  tiesIn: ties?.count ?? null,
  day,
  fibreId,
  place,
})

const candidates = async (request: FastifyRequest, db = request.server.db) =>
  (await bundlesHere(db)).map(bundle => ({ ...bundle, day: dayOf(bundle.takenInAt, request.workshop.timeZone) }))

type Candidate = BundleHere & { day: Day }

/** The facts that agree, as they go into the history. */
function inWords(request: FastifyRequest, matching: readonly Fact[], bundle: Candidate): string[] {
  const say = sayFor(request.workshop, request.server.now().toISOString())
  const words: Record<Fact, string> = {
    weight: `weight about ${say.weight(bundle.dryWeightG)}`,
    ties: say.count(bundle.tiesIn, 'tie'),
    fibre: bundle.fibreName,
    day: `came in on ${say.day(bundle.day)}`,
    place: `on record at: ${bundle.place}`,
  }
  return matching.map(fact => words[fact])
}

const MOST_SHOWN = 12

async function suggestions(request: FastifyRequest, form: Form) {
  const facts = factsOf(check(z.object(factFields(request)), form))
  const told = factsTold(facts).length
  if (told < FACTS_NEEDED) return { told, bundles: [] }
  const alike = knownAgain(facts, await candidates(request))
  return {
    told,
    bundles: alike.slice(0, MOST_SHOWN).map(({ bundle, matching }) => ({
      ...bundle,
      codeWords: sayTagCode(bundle.code),
      matching: inWords(request, matching, bundle),
    })),
  }
}

async function showUntagged(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  let [found, shown] = [{ told: 0, bundles: [] } as Awaited<ReturnType<typeof suggestions>>, form]
  try {
    found = await suggestions(request, form)
  } catch (fault) {
    if (form.errors.length === 0) shown = form.with(errorsIn(fault))
  }
  const fibres = (await listEntries(request.server.db)).filter(({ kind }) => kind === 'fibre')
  return reply.page('untagged/show', {
    title: 'A bundle without a tag',
    form: shown,
    status: shown.errors.length > 0 && status === 200 ? 422 : status,
    data: {
      asked: form.typed.size > 0,
      ...found,
      needed: FACTS_NEEDED,
      places: HERE_PLACES,
      fibres: fibres.map(({ id, name }) => ({ id, name })),
    },
  })
}

/** An untagged bundle is known again by two facts at least; a person decides, and both stand in the history. */
export function untagged(app: FastifyInstance): void {
  app.get('/untagged', (request, reply) => showUntagged(request, reply, Form.read(request.query), 200))
  onPost(app, '/untagged', {
    show: showUntagged,
    act: async (trx, request, form, by) => {
      const { bundleId, code, ...typed } = check(
        z.object({ ...factFields(request), bundleId: id('Which bundle it is'), code: readBy(readTagCode) }),
        form,
      )
      const all = await candidates(request, trx)
      const bundle = found(
        all.find(one => one.bundleId === bundleId),
        'bundle here',
      )
      const matching = factsMatching(factsOf(typed), bundle)
      if (matching.length < FACTS_NEEDED)
        throw new Refusal(
          'wrong',
          `${FACTS_NEEDED} facts have to agree before this is taken for bundle ${bundle.n} of lot ${bundle.lotId}.`,
        )
      const why = `no tag on it; known again by: ${inWords(request, matching, bundle).join(', ')}`
      const next = sayTagCode(await replaceTag(trx, by, { bundleId, code, why }))
      return {
        to: `/bundles/${bundleId}`,
        said: `This is bundle ${bundle.n} of lot ${bundle.lotId}. Its tag is ${next} from now on. Print it, or write it.`,
      }
    },
  })
}
