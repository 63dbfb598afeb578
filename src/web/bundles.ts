import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { MISSING_WORDS, missingChecks } from '../domain/condition-checks.js'
import { INCIDENT_WORDS } from '../domain/incident.js'
import { type OpenPoint, pointsOfLot } from '../domain/open-point.js'
import { isHere } from '../domain/place.js'
import { readTagCode, sayTagCode } from '../domain/tag-code.js'
import { placeOfBundle, tagsOfBundle } from '../store/bundle-page.js'
import { looksOfLot } from '../store/condition-checks.js'
import { correctionsOfBundle } from '../store/corrections.js'
import type { Db } from '../store/db.js'
import { bundlesBack, movesOfLot } from '../store/lot-page.js'
import { findLot, withdrawnOfLot } from '../store/lots.js'
import { sharedNow } from '../store/lots-in-load.js'
import { openPoints } from '../store/open-points.js'
import { photographsOfLot } from '../store/photographs.js'
import { replaceTag } from '../store/replace-tag.js'
import { spotMovesOfBundle } from '../store/spots.js'
import { choice, optionalText, readBy } from './kit/fields.js'
import { check, Form } from './kit/form.js'
import { found, idIn, onPost } from './kit/post.js'

async function bundleOf(db: Db, id: number) {
  const at = found(await placeOfBundle(db, id), 'bundle')
  const lot = found(await findLot(db, at.lotId), 'bundle')
  const known = lot.bundles.find(({ n }) => n === at.n)
  const bundle =
    known ??
    found(
      (await withdrawnOfLot(db, lot.id)).find(({ n }) => n === at.n),
      'bundle',
    )
  return { lot, bundle }
}

async function showBundle(request: FastifyRequest, reply: FastifyReply, form: Form, status: number) {
  const { db } = request.server
  const { lot, bundle } = await bundleOf(db, idIn(request))
  const tags = (await tagsOfBundle(db, bundle.id)).map(tag => ({ ...tag, codeWords: sayTagCode(tag.code) }))
  const { bundles, ...ofLot } = lot
  const looked = (await looksOfLot(db, lot.id)).find(({ id }) => id === bundle.id)
  return reply.page('bundles/show', {
    title: `Bundle ${bundle.n} of lot ${lot.id}`,
    form,
    status,
    data: {
      bundle,
      shared: (await sharedNow(db, lot.id)).filter(({ loadId }) => loadId === bundle.loadId),
      lot: { ...ofLot, of: bundles.length },
      corrections: await correctionsOfBundle(db, bundle.id),
      looked: {
        checks: looked?.checks ?? [],
        missing: looked ? missingChecks(looked).map(({ after }) => MISSING_WORDS[after]) : [],
      },
      kindWords: INCIDENT_WORDS,
      points: isHere(bundle.place)
        ? ofBundle(pointsOfLot(await openPoints(db, lot.commissionId), lot.id), bundle.id)
        : [],
      tags,
      moves: (await movesOfLot(db, lot.id)).filter(({ n }) => n === bundle.n),
      photographs: (await photographsOfLot(db, lot.id)).filter(({ n }) => n === bundle.n),
      spotMoves: await spotMovesOfBundle(db, bundle.id),
      back: (await bundlesBack(db, lot.id)).find(({ n }) => n === bundle.n) ?? null,
    },
  })
}

/** What is said of this bundle, of its whole lot or of the whole commission. */
const ofBundle = (points: readonly OpenPoint[], id: number): OpenPoint[] =>
  points.filter(({ bundleIds }) => bundleIds.length === 0 || bundleIds.includes(id))

/** What became of a tag that has to be replaced. */
const LOST_TAGS = ['lost', 'torn', 'cannot be read'] as const

const lostTag = z.object({
  code: readBy(readTagCode),
  became: choice('What became of the old tag', LOST_TAGS),
  words: optionalText('In your words', 500),
})

export function bundles(app: FastifyInstance): void {
  app.get('/bundles/:id', (request, reply) => showBundle(request, reply, new Form(), 200))
  onPost(app, '/bundles/:id/tag', {
    show: showBundle,
    act: async (trx, request, form, by) => {
      const { code, became, words } = check(lostTag, form)
      const why = words === '' ? became : `${became}: ${words}`
      const next = sayTagCode(await replaceTag(trx, by, { bundleId: idIn(request), code, why }))
      return {
        to: `/bundles/${idIn(request)}`,
        said: `The bundle’s tag is ${next} from now on. Print it, or write it.`,
      }
    },
  })
}
