import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { type Place, SPOT_PLACES } from '../domain/place.js'
import { sayTagCode } from '../domain/tag-code.js'
import { bundlesByPlace } from '../store/places.js'
import { addSpot, findSpot, listSpots, putAtSpot, type Spot, useSpot, whyNotAt } from '../store/spots.js'
import { choice, optionalText, text } from './kit/fields.js'
import { check, type Form } from './kit/form.js'
import { formPage, found, idIn, onPost } from './kit/post.js'
import { whenPressed } from './pressed.js'
import { scannedTags } from './scanned-tags.js'

async function showSpots(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const spots = await listSpots(request.server.db)
  return reply.page('places/spots', { title: 'Spots', form, status, data: { spots, places: SPOT_PLACES } })
}

const newSpot = z.object({ name: text('Name of the spot', 60), place: choice('Where the spot is', SPOT_PLACES) })

async function showSpot(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const spot = found(await findSpot(db, idIn(request)), 'spot')
  const bundles = (await bundlesByPlace(db))
    .filter(({ spotId }) => spotId === spot.id)
    .map(bundle => ({ ...bundle, codeWords: bundle.code === null ? '' : sayTagCode(bundle.code) }))
  return reply.page('places/spot', { title: spot.name, form, status, data: { spot, bundles } })
}

const putting = z.object({
  codes: text('The codes of the tags', 4000),
  do: choice('Put here or take away', ['put', 'take away']),
  why: optionalText('Why', 200),
})

type Scanned = { bundleId: number; place: Place }

/** What a code of a bundle is refused for at this spot. A press that had to wait on a phone undoes no later move. */
const misplaced =
  (spot: Spot, doing: 'put' | 'take away', lying: ReadonlySet<number>, moved: ReadonlySet<number>) =>
  ({ bundleId, place }: Scanned): string | null => {
    if (moved.has(bundleId)) return 'was moved since this was pressed: look where it lies now'
    if (doing === 'take away') return lying.has(bundleId) ? null : `does not lie at “${spot.name}”`
    return whyNotAt(spot, place)
  }

const idsOf = (bundles: readonly { bundleId: number }[]) => new Set(bundles.map(({ bundleId }) => bundleId))

export function spots(app: FastifyInstance): void {
  formPage(app, '/places/spots', {
    show: showSpots,
    act: async (trx, _request, form, by) => {
      const spot = check(newSpot, form)
      await addSpot(trx, by, spot)
      return { to: '/places/spots', said: `“${spot.name}” is written down (${spot.place}).` }
    },
  })
  app.get('/places/spots/:id/use', (_request, reply) => reply.redirect('/places/spots', 303))
  onPost(app, '/places/spots/:id/use', {
    show: showSpots,
    act: async (trx, request, form, by) => {
      const inUse = check(z.object({ use: choice('In use or not', ['yes', 'no']) }), form).use === 'yes'
      const { name } = await useSpot(trx, by, idIn(request), inUse)
      return { to: '/places/spots', said: inUse ? `“${name}” is in use again.` : `“${name}” is out of use.` }
    },
  })
  formPage(app, '/places/spots/:id', {
    show: showSpot,
    act: async (trx, request, form, by) => {
      const spot = found(await findSpot(trx, idIn(request)), 'spot')
      const { codes, do: doing, why } = check(putting, form)
      const pressed = whenPressed(request, form, spot.madeAt, 'this spot was named') ?? by.at
      const all = await bundlesByPlace(trx)
      const lying = idsOf(all.filter(({ spotId }) => spotId === spot.id))
      const moved = idsOf(
        all.filter(({ spotSince, placeSince }) => [spotSince ?? '', placeSince].some(at => at > pressed)),
      )
      const tagged = await scannedTags(trx, codes, { field: 'codes', whyNot: misplaced(spot, doing, lying, moved) })
      const ids = [...tagged.keys()]
      const changed = await putAtSpot(trx, by, doing === 'put' ? spot : null, ids, { why, at: pressed })
      return { to: `/places/spots/${spot.id}`, said: saidOf(spot, doing, changed, ids.length) }
    },
  })
}

function saidOf({ name }: Spot, doing: 'put' | 'take away', changed: number, all: number): string {
  const bundles = (n: number) => `${n} ${n === 1 ? 'bundle' : 'bundles'}`
  if (doing === 'take away') return `${bundles(changed)} no longer at “${name}”.`
  const there = all - changed
  return `${bundles(changed)} put at “${name}”${there > 0 ? `; ${bundles(there)} lay there already` : ''}.`
}
