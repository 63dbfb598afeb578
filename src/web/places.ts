import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { addsUp, heldByPlace } from '../domain/places.js'
import { sayTagCode } from '../domain/tag-code.js'
import { openQuestions } from '../store/count-questions.js'
import { bundlesByPlace, sumOfBundles } from '../store/places.js'
import { listSpots } from '../store/spots.js'

/** Where everything is now: all that is in care, by its place, and the figures that it has to add up to. */
async function showPlaces(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const bundles = (await bundlesByPlace(db)).map(bundle => ({
    ...bundle,
    codeWords: bundle.code === null ? '' : sayTagCode(bundle.code),
    since: bundle.spotSince ?? bundle.placeSince,
  }))
  const spots = (await listSpots(db)).filter(({ withdrawnAt }) => withdrawnAt === null)
  const sum = await sumOfBundles(db)
  return reply.page('places/list', {
    title: 'Where everything is',
    data: {
      sum: { ...sum, addsUp: addsUp(sum) && sum.here === bundles.length },
      places: heldByPlace(bundles, spots),
      spots,
      questions: await openQuestions(db),
    },
  })
}

export function places(app: FastifyInstance): void {
  app.get('/places', showPlaces)
}
