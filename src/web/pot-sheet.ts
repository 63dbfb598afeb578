import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { careOf, sheetLines, sheetSteps } from '../domain/pot-sheet.js'
import { linesByBath } from '../domain/recipe-baths.js'
import { findLoad } from '../store/loads.js'
import { findLot } from '../store/lots.js'
import { findRecipe, loadOfRecipe } from '../store/recipes.js'
import { found, idIn } from './kit/post.js'

/** The paper that hangs beside the pot: for one load when the recipe is its share, else for the whole lot. */
async function showPotSheet(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const kept = found(await findRecipe(db, idIn(request)), 'recipe')
  const lot = found(await findLot(db, kept.lotId), 'lot')
  const loadId = await loadOfRecipe(db, kept.id)
  const load = loadId === undefined ? undefined : await findLoad(db, loadId)
  const inLoad = new Set(load?.bundles.map(({ id }) => id))
  const { recipe } = kept
  return reply.page('pot-sheet/show', {
    title: load ? `Pot sheet for lot ${lot.id}, ${load.potName}` : `Pot sheet for lot ${lot.id}`,
    data: {
      lot,
      kept: { id: kept.id, madeAt: kept.madeAt, who: kept.who },
      load: load ? { id: load.id, potName: load.potName, laidAt: load.laidAt } : null,
      bundles: load ? lot.bundles.filter(({ id }) => inLoad.has(id)) : lot.bundles,
      recipe,
      baths: linesByBath({ ...recipe, lines: sheetLines(recipe.lines, load?.lines ?? []) }),
      steps: sheetSteps(recipe.steps),
      care: careOf(recipe),
    },
  })
}

export function potSheet(app: FastifyInstance): void {
  app.get('/recipes/:id/pot-sheet', showPotSheet)
}
