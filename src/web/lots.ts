import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { INCIDENT_WORDS } from '../domain/incident.js'
import { isForDyeAsked } from '../domain/job-for-lot.js'
import { comesNext } from '../domain/lot.js'
import { pointsOfLot } from '../domain/open-point.js'
import { isForWeight } from '../domain/put-right.js'
import { ROUTE_WORDS } from '../domain/recipe.js'
import { findClient } from '../store/clients.js'
import { historyOfLot } from '../store/history.js'
import { incidentsOfLot } from '../store/incidents.js'
import { loadsOfLot } from '../store/loads-of-lot.js'
import { bundlesBack, type Computed, computedForLot, movesOfLot, usedOnLot } from '../store/lot-page.js'
import { findLot, type Lot, withdrawnOfLot } from '../store/lots.js'
import { openPoints } from '../store/open-points.js'
import { outcomesOfLot } from '../store/outcomes.js'
import { photographsOfLot } from '../store/photographs.js'
import { mayGoUndyed } from '../store/undyed.js'
import { wetClothsOfLot } from '../store/wet-cloths.js'
import { howLotCame } from './arrivals.js'
import { found, idIn } from './kit/post.js'
import { codesOfLot } from './tags.js'

/** The main figures of the recipe in force. `suits` is false when something else is asked of the lot by now. */
function computedOf({ recipeId, madeAt, who, job, lines, dyeWords, depthWords, waterL }: Computed, lot: Lot) {
  return {
    recipeId,
    madeAt,
    who,
    dyeWords,
    depthWords,
    dryWeightG: job.dryWeightG,
    waterL,
    lines: lines.map(({ name, role, amount, unit, alsoShown }) => ({ name, role, amount, unit, alsoShown })),
    suits: job.fibreId === lot.fibreId && job.tiesUndyed === lot.tiesUndyed && isForDyeAsked(job, lot),
    suitsWeight: isForWeight(job, lot),
  }
}

/** The four records of a lot side by side, each as it was written down, and all that ever happened to it. */
async function showLot(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const lot = found(await findLot(db, idIn(request)), 'lot')
  const kept = await computedForLot(db, lot.id)
  const loads = await loadsOfLot(db, lot.id)
  const cameOut = await outcomesOfLot(db, lot.id)
  const wasLaid = loads.some(load => load.takenOutAt === null)
  return reply.page('lots/show', {
    title: `Lot ${lot.id}: ${lot.colour}`,
    data: {
      lot,
      /** On paper, this is enough to hand the lot back with the computer off. */
      contact: lot.closedAt === null ? ((await findClient(db, lot.clientId))?.contact ?? '') : '',
      routeWords: ROUTE_WORDS[lot.route],
      computed: kept ? computedOf(kept, lot) : null,
      loads,
      used: await usedOnLot(db, lot.id, loads),
      outcomes: cameOut,
      next: comesNext({
        places: lot.bundles.map(({ place }) => place),
        hasRecipe: kept !== undefined && isForWeight(kept.job, lot),
        wasLaid,
        hasOutcome: cameOut.length > 0,
      }),
      cloths: await wetClothsOfLot(db, lot.id),
      incidents: await incidentsOfLot(db, lot.id),
      kindWords: INCIDENT_WORDS,
      points: lot.closedAt === null ? pointsOfLot(await openPoints(db, lot.commissionId), lot.id) : [],
      mayGoUndyed: mayGoUndyed(lot).length > 0,
      mayChangeAsk: !wasLaid && lot.closedAt === null,
      withdrawn: await withdrawnOfLot(db, lot.id),
      back: await bundlesBack(db, lot.id),
      came: await howLotCame(db, lot),
      photographs: await photographsOfLot(db, lot.id),
      history: await historyOfLot(db, lot.id),
      moves: await movesOfLot(db, lot.id),
      codes: await codesOfLot(db, lot.id),
    },
  })
}

export function lots(app: FastifyInstance): void {
  app.get('/lots/:id', showLot)
}
