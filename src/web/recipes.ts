import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { Catalogue } from '../domain/catalogue.js'
import { unanswered } from '../domain/feasibility.js'
import { type Before, dryWeightOf, jobForLot } from '../domain/job-for-lot.js'
import { linesOf } from '../domain/learnt-words.js'
import { changedSince } from '../domain/load-share.js'
import { sayLots } from '../domain/lot.js'
import { careByStep } from '../domain/pot-sheet.js'
import type { Recipe, RecipeJob, UsedRate } from '../domain/recipe.js'
import { linesByBath } from '../domain/recipe-baths.js'
import { reckon } from '../domain/reckon.js'
import { Refusal } from '../domain/refusal.js'
import { readCatalogue } from '../store/catalogue.js'
import type { By, Db, Trx } from '../store/db.js'
import { reallyUsed } from '../store/loads.js'
import { findLot, type Lot } from '../store/lots.js'
import { lotsInLoads } from '../store/lots-in-load.js'
import { outcomesOfLot } from '../store/outcomes.js'
import { findRecipe, type KeptRecipe, keepRecipe, keptRecipe, loadOfRecipe, recipesOfLot } from '../store/recipes.js'
import { learntOfFibre } from './how-long.js'
import { Form, Unfit } from './kit/form.js'
import { type Done, found, idIn, onPost } from './kit/post.js'
import { checkReasons, closeUpRows, readAdjusted, reasonsIn, valuesOf } from './recipe-form.js'
import { asksWhy, choicesOf, digestOf, workOut } from './recipe-working.js'

const AS_USED = 'as used'

/** A lot on the work bench: what its recipe starts from. */
type Work = { lot: Lot; catalogue: Catalogue; kept: KeptRecipe | undefined; used: UsedRate[]; start: RecipeJob }

async function workOn(db: Db, lotId: number, dryBasis: RecipeJob['dryBasis']): Promise<Work> {
  const lot = found(await findLot(db, lotId), 'lot')
  const catalogue = await readCatalogue(db)
  const kept = await keptRecipe(db, lot.id)
  const repeated = lot.repeatsLotId === null ? null : await beforeOf(db, lot.repeatsLotId)
  const before = kept ? { job: kept.recipe.job, used: kept.recipe.job.usedRates } : repeated
  return { lot, catalogue, kept, used: repeated?.used ?? [], start: jobForLot(lot, dryBasis, catalogue, before) }
}

async function beforeOf(db: Db, lotId: number): Promise<Before | null> {
  const then = await keptRecipe(db, lotId)
  return then ? { job: then.recipe.job, used: await reallyUsed(db, lotId) } : null
}

const startValues = (start: RecipeJob): Form =>
  Form.of({ ...valuesOf(start), amounts: start.usedRates.length > 0 ? AS_USED : 'afresh' })

/** What the form asks for, on the weight and the fibre of the lot; the rates really used are the store's, not the form's. */
const jobFrom =
  ({ start, used }: Work) =>
  (form: Form): RecipeJob => ({
    ...start,
    ...readAdjusted(form),
    usedRates: form.value('amounts') === AS_USED ? used : [],
    reasons: reasonsIn(form),
  })

async function showOfLot(request: FastifyRequest, reply: FastifyReply) {
  const asked = closeUpRows(Form.read(request.query))
  return showWork(request, reply, asked, 200)
}

async function showWork(request: FastifyRequest, reply: FastifyReply, sent: Form, status: number) {
  const { db } = request.server
  const work = await workOn(db, idIn(request), request.workshop.dryBasis)
  const { lot, kept, start } = work
  const asked = sent.has('depth')
  const typed = asked ? closeUpRows(sent) : startValues(start).with(sent.errors, sent.doneAt)
  const isKept = kept !== undefined && !asked
  const worked = workOut(typed, work.catalogue, asked ? jobFrom(work) : () => start)
  const recipe = isKept ? kept.recipe : worked.recipe
  const form = isKept ? typed : worked.form
  const unfit = asked && status === 200 && form.errors.length > 0
  return reply.page('recipes/lot', {
    title: `Recipe for lot ${lot.id}`,
    form,
    status: unfit ? 422 : status,
    data: {
      lot,
      dryWeightG: dryWeightOf(lot.bundles),
      recipe,
      baths: recipe ? linesByBath(recipe) : [],
      care: careByStep(recipe?.steps ?? []),
      isKept,
      kept: kept ? lineOf(kept) : null,
      changed: isKept ? changedFrom(kept.recipe, work.catalogue) : [],
      recipes: (await recipesOfLot(db, lot.id)).map(lineOf),
      learnt: linesOf(await learntOfFibre(db, lot.fibreId), lot),
      used: work.used,
      /** What came out of the lot that this one repeats: now is when its dyer wants to know. */
      lastTime: lot.repeatsLotId === null ? null : ((await outcomesOfLot(db, lot.repeatsLotId))[0] ?? null),
      shown: recipe && !isKept ? digestOf(recipe) : '',
      asks: recipe && !isKept ? asksOf(recipe, form) : [],
      keeps: recipe && !isKept ? keepsOf(recipe) : {},
      choices: choicesOf(work.catalogue, lot.route),
    },
  })
}

/** What the kept recipe would say otherwise today, after the catalogue was corrected; it stands all the same. */
function changedFrom(kept: Recipe, catalogue: Catalogue): string[] {
  try {
    return changedSince(kept, reckon(kept.job, catalogue))
  } catch (fault) {
    if (fault instanceof Refusal) return [fault.message]
    throw fault
  }
}

/** One line for a recipe that was kept, without the whole of it. */
const lineOf = ({ id, partOf, madeAt, who, recipe }: KeptRecipe) => ({
  id,
  partOf,
  madeAt,
  who,
  dyeWords: recipe.dyeWords,
  depthWords: recipe.depthWords,
  dryWeightG: recipe.job.dryWeightG,
})

/** The findings that ask why, with the words typed for each, fit or not. */
const asksOf = ({ findings }: Recipe, form: Form) =>
  asksWhy(findings).map(({ ruleId, name, severity, reason }, n) => ({
    ruleId,
    name,
    severity,
    words: form.value(`reasons.${n}.ruleId`) === ruleId ? form.value(`reasons.${n}.words`) : (reason ?? ''),
  }))

/** The fields that the shown recipe came from, so that keeping it keeps what was shown. */
const keepsOf = ({ job }: Recipe) => ({
  ...valuesOf(job),
  amounts: job.usedRates.length > 0 ? AS_USED : 'afresh',
})

function refuseUnanswered(recipe: Recipe): void {
  const asked = asksWhy(recipe.findings)
  const open = unanswered(recipe.findings)
  if (open.length === 0) return
  throw new Unfit(
    open.map(({ ruleId, name, severity }) => ({
      field: `reasons.${asked.findIndex(one => one.ruleId === ruleId)}.words`,
      sentence: `${name}: ${severity}. Say why you go on all the same, or choose another way.`,
    })),
  )
}

async function keep(trx: Trx, request: FastifyRequest, sent: Form, by: By): Promise<Done> {
  const form = closeUpRows(sent)
  const work = await workOn(trx, idIn(request), request.workshop.dryBasis)
  const { recipe, form: checked } = workOut(form, work.catalogue, jobFrom(work))
  if (!recipe) throw new Unfit(checked.errors)
  checkReasons(form)
  refuseUnanswered(recipe)
  if (form.value('shown') !== digestOf(recipe)) {
    throw new Refusal(
      'conflict',
      'A bundle or a figure of the catalogue was changed since this page was shown. Look at the new amounts, then keep them.',
    )
  }
  await keepRecipe(trx, by, work.lot.id, recipe)
  return { to: `/lots/${work.lot.id}/recipe`, said: 'The recipe is kept.' }
}

async function showKept(request: FastifyRequest, reply: FastifyReply) {
  const { db } = request.server
  const kept = found(await findRecipe(db, idIn(request)), 'recipe')
  const lot = found(await findLot(db, kept.lotId), 'lot')
  const loadId = await loadOfRecipe(db, kept.id)
  const shared = loadId === undefined ? [] : ((await lotsInLoads(db, [loadId])).get(loadId) ?? [])
  const lots = shared.length > 0 ? shared : [{ ...lot, lotId: lot.id }]
  return reply.page('recipes/show', {
    title: `Recipe ${kept.id} for ${sayLots(lots.map(({ lotId }) => lotId))}`,
    data: { lot, lots, ...kept, baths: linesByBath(kept.recipe), care: careByStep(kept.recipe.steps) },
  })
}

export function recipes(app: FastifyInstance): void {
  app.get('/lots/:id/recipe', showOfLot)
  onPost(app, '/lots/:id/recipe', { show: showWork, act: keep })
  app.get('/recipes/:id', showKept)
}
