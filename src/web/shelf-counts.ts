import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { isSpotPlace, SPOT_PLACES } from '../domain/place.js'
import { Refusal } from '../domain/refusal.js'
import { ANSWERS, ANSWERS_TO } from '../domain/shelf-count.js'
import { sayTagCode } from '../domain/tag-code.js'
import { answerQuestion, questionsOfCount } from '../store/count-questions.js'
import type { Trx } from '../store/db.js'
import {
  beginShelfCount,
  bundlesInCount,
  endShelfCount,
  findShelfCount,
  latestShelfCounts,
  noteSeen,
} from '../store/shelf-counts.js'
import { findSpot, listSpots } from '../store/spots.js'
import { choice, group, id, optionalText } from './kit/fields.js'
import { check, Form } from './kit/form.js'
import { found, idIn, onPost } from './kit/post.js'
import { scannedTags } from './scanned-tags.js'

async function showCounts(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const spots = (await listSpots(db)).filter(({ withdrawnAt }) => withdrawnAt === null)
  const counts = await latestShelfCounts(db)
  const wheres = SPOT_PLACES.flatMap(place => [
    [place, spots.some(spot => spot.place === place) ? `${place}, all of it` : place],
    ...spots.filter(spot => spot.place === place).map(spot => [`spot ${spot.id}`, `${place}: ${spot.name}`]),
  ])
  return reply.page('shelf-counts/list', { title: 'Shelf counts', form, status, data: { counts, wheres } })
}

/** "ready shelf", or "spot 3". */
async function readWhere(trx: Trx, where: string) {
  if (isSpotPlace(where)) return { place: where, spotId: null }
  const spotId = Number(/^spot (\d{1,9})$/.exec(where)?.[1] ?? -1)
  const spot = await findSpot(trx, spotId)
  if (!spot) throw new Refusal('wrong', 'Choose one: what is counted.', 'where')
  return { place: spot.place, spotId }
}

async function showCount(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const count = found(await findShelfCount(db, idIn(request)), 'shelf count')
  const bundles = (await bundlesInCount(db, count.id)).map(bundle => ({
    ...bundle,
    codeWords: bundle.code === null ? '' : sayTagCode(bundle.code),
  }))
  return reply.page('shelf-counts/show', {
    title: `Shelf count ${count.id}: ${count.spotName ?? count.place}`,
    form,
    status,
    data: { count, bundles, questions: await questionsOfCount(db, count.id), answers: ANSWERS_TO },
  })
}

/** Bundles by the boxes of one kind: "seen.b12", "shown.b12". */
const boxes = (form: Form, kind: 'seen' | 'shown'): number[] =>
  [...form.typed.keys()].flatMap(name => {
    const [, found] = /^(?:seen|shown)\.b(\d{1,9})$/.exec(name) ?? []
    return found !== undefined && name.startsWith(kind) && form.has(name) ? [Number(found)] : []
  })

const counting = z.object({
  do: choice('Keep so far, or done', ['keep', 'end']),
  codes: optionalText('The codes of the tags', 4000),
})

/** What is ticked and scanned. A box that another phone ticked meanwhile was not shown here as ticked: it stays. */
async function noteForm(trx: Trx, countId: number, form: Form, codes: string) {
  const known = new Set((await bundlesInCount(trx, countId)).map(({ bundleId }) => bundleId))
  const ticked = boxes(form, 'seen').filter(bundleId => known.has(bundleId))
  const scanned = await scannedTags(trx, codes, { field: 'codes' })
  const seen = [...ticked, ...scanned.keys()]
  return { seen, unseen: boxes(form, 'shown').filter(bundleId => !seen.includes(bundleId)) }
}

const fieldOf = (findingId: number): string => `f${findingId}`

const answering = (findingId: number) =>
  z.object({
    answer: group({ [fieldOf(findingId)]: choice('What you found', ANSWERS) }),
    words: group({ [fieldOf(findingId)]: optionalText('In your words', 500) }),
  })

export function shelfCounts(app: FastifyInstance): void {
  app.get('/places/counts', (request, reply) => showCounts(request, reply, Form.read(request.query), 200))
  onPost(app, '/places/counts', {
    show: showCounts,
    act: async (trx, _request, form, by) => {
      const { place, spotId } = await readWhere(trx, form.value('where'))
      const countId = await beginShelfCount(trx, by, place, spotId)
      return { to: `/places/counts/${countId}`, said: 'The list is made. Tick or scan what you see.' }
    },
  })
  app.get('/places/counts/:id', (request, reply) => showCount(request, reply, new Form(), 200))
  onPost(app, '/places/counts/:id', {
    show: showCount,
    act: async (trx, request, form, by) => {
      const to = `/places/counts/${idIn(request)}`
      const { do: doing, codes } = check(counting, form)
      const seen = await noteSeen(trx, by, idIn(request), await noteForm(trx, idIn(request), form, codes))
      if (doing === 'keep') return { to, said: `Kept: ${seen} seen so far.` }
      const open = await endShelfCount(trx, by, idIn(request))
      return { to, said: open === 0 ? 'Everything is where the records say.' : `Done. To be answered: ${open}.` }
    },
  })
  app.get('/places/counts/:id/answers', (request, reply) => reply.redirect(`/places/counts/${idIn(request)}`, 303))
  onPost(app, '/places/counts/:id/answers', {
    show: showCount,
    act: async (trx, request, form, by) => {
      const { findingId } = check(z.object({ findingId: id('Which bundle') }), form)
      const given = check(answering(findingId), form)
      const [answer, words] = [given.answer[fieldOf(findingId)], given.words[fieldOf(findingId)]]
      if (answer === undefined) throw new Refusal('wrong', 'Choose one of the answers.', `answer.${fieldOf(findingId)}`)
      await answerQuestion(trx, by, idIn(request), { findingId, answer, words: words ?? '' })
      return { to: `/places/counts/${idIn(request)}`, said: 'Answered.' }
    },
  })
}
