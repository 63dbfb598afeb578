import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { sayLots } from '../domain/lot.js'
import { careOf, sheetLines, sheetSteps } from '../domain/pot-sheet.js'
import { linesByBath } from '../domain/recipe-baths.js'
import { findLoad, type Load } from '../store/loads.js'
import { findLot, type Lot } from '../store/lots.js'
import { findRecipe, loadOfRecipe } from '../store/recipes.js'
import { found, idIn } from './kit/post.js'

/** The paper that hangs beside the pot: for one load when the recipe is its share, else for the whole lot. */
async function showPotSheet(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const kept = found(await findRecipe(db, idIn(request)), 'recipe')
  const lot = found(await findLot(db, kept.lotId), 'lot')
  const loadId = await loadOfRecipe(db, kept.id)
  const load = loadId === undefined ? undefined : await findLoad(db, loadId)
  const { recipe } = kept
  const lots = load ? load.lots.map(one => ({ ...one, bundles: bundlesOf(load, one.lotId) })) : [whole(lot)]
  const lotWords = sayLots(lots.map(({ lotId }) => lotId))
  return reply.page('pot-sheet/show', {
    title: `Pot sheet for ${lotWords}${load ? `, ${load.potName}` : ''}`,
    data: {
      lots,
      lotWords,
      kept: { id: kept.id, madeAt: kept.madeAt, who: kept.who },
      load: load ? { id: load.id, potName: load.potName, laidAt: load.laidAt, toldApart: load.toldApart } : null,
      recipe,
      baths: linesByBath({ ...recipe, lines: sheetLines(recipe.lines, load?.lines ?? []) }),
      steps: sheetSteps(recipe.steps),
      care: careOf(recipe),
    },
  })
}

const bundlesOf = ({ bundles }: Load, lotId: number) => bundles.filter(bundle => bundle.lotId === lotId)
const whole = ({ id, ...lot }: Lot) => ({ ...lot, lotId: id })

export function potSheet(app: FastifyInstance): void {
  app.get('/recipes/:id/pot-sheet', showPotSheet)
}
