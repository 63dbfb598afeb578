import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import type { Catalogue } from '../domain/catalogue.js'
import { findSubstance } from '../domain/catalogue-look-up.js'
import { JOB_BOUNDS } from '../domain/check-job.js'
import { ROUTE_OF_CLASS, usualMordants } from '../domain/job-for-lot.js'
import { careByStep } from '../domain/pot-sheet.js'
import { readWeight } from '../domain/quantity.js'
import { PURPOSES, type RecipeJob, type Route } from '../domain/recipe.js'
import { linesByBath } from '../domain/recipe-baths.js'
import { JOB_DEFAULTS } from '../domain/reckon-job.js'
import { readCatalogue } from '../store/catalogue.js'
import type { Workshop } from '../store/workshop.js'
import { readBy, tick, tickName } from './kit/fields.js'
import { check, Form, Unfit } from './kit/form.js'
import { closeUpRows, readAdjusted, TOLD, valuesOf } from './recipe-form.js'
import { choicesOf, workOut } from './recipe-working.js'

/** The field that tells the whole form, with its mordants, from the short one that is asked first. */
const WHOLE = 'whole'

const headOf = ({ weightUnit, volumeUnit }: Workshop) =>
  z.object({
    fibreId: readBy(value =>
      value === '' ? { ok: false, sentence: 'Choose a fibre.' } : { ok: true, value: value.slice(0, 80) },
    ),
    weight: readBy(typed =>
      readWeight(
        typed,
        { weight: weightUnit, volume: volumeUnit },
        {
          label: 'dry weight',
          min: JOB_BOUNDS.dryWeightG.least,
          max: JOB_BOUNDS.dryWeightG.most,
        },
      ),
    ),
    tiesUndyed: tick,
  })

const jobIn =
  (catalogue: Catalogue, workshop: Workshop) =>
  (form: Form): RecipeJob => {
    const { weight, ...head } = checkBoth(form, workshop)
    const adjusted = readAdjusted(form)
    const route = routeOf(adjusted.dyes[0]?.substanceId, catalogue)
    const mordants = form.has(WHOLE) ? adjusted.mordants : usualMordants(route, catalogue)
    return {
      ...JOB_DEFAULTS,
      ...adjusted,
      ...head,
      dryWeightG: weight.grams,
      dryBasis: workshop.dryBasis,
      route,
      mordants,
    }
  }

/** Says at once what is wrong with the weight and what is wrong with the rest. */
function checkBoth(form: Form, workshop: Workshop) {
  const errors = [() => check(headOf(workshop), form), () => readAdjusted(form)].flatMap(reading => {
    try {
      reading()
      return []
    } catch (fault) {
      if (fault instanceof Unfit) return [...fault.errors]
      throw fault
    }
  })
  if (!form.value('dyes.0.substanceId')) errors.push({ field: 'dyes.0.substanceId', sentence: 'Choose a dye.' })
  if (errors.length > 0) throw new Unfit(errors)
  return check(headOf(workshop), form)
}

function routeOf(dyeId: string | undefined, catalogue: Catalogue): Route {
  const { name, dyeClass } = findSubstance(catalogue, dyeId ?? '', 'dyes.0.substanceId')
  if (dyeClass !== null) return ROUTE_OF_CLASS[dyeClass]
  throw new Unfit([{ field: 'dyes.0.substanceId', sentence: `${name} is not a dye: choose one that is.` }])
}

const ROWS: Record<string, string[]> = {
  dyes: ['substanceId', 'share', 'owfPercent'],
  mordants: ['substanceId', 'when', 'bath', 'owfPercent'],
  extras: ['substanceId', 'basis', 'amount'],
  reasons: ['ruleId', 'words'],
}
const TICKS = [...TOLD.map(one => `conditions.${tickName(one)}`), ...PURPOSES.map(one => `purposes.${tickName(one)}`)]
const ALONE = ['fibreId', 'weight', 'tiesUndyed', 'depth', 'depthFactor', 'liquorRatioLPerKg', 'dips', WHOLE, ...TICKS]

const isKnown = (name: string): boolean => {
  const [, list = '', field = ''] = /^([a-z]+)\.\d{1,3}\.([A-Za-z]+)$/.exec(name) ?? []
  return ALONE.includes(name) || (ROWS[list]?.includes(field) ?? false)
}

/** A name that a script misspelt must not be answered as if it had not been asked; null when all are known. */
function unknownIn(query: unknown): string | null {
  const unknown = Object.keys(query ?? {}).filter(name => !isKnown(name))
  if (unknown.length === 0) return null
  const rows = Object.entries(ROWS).map(([list, fields]) => `${list}.0.(${fields.join(', ')})`)
  const named = unknown.slice(0, 5).map(name => `“${name.slice(0, 40)}”`)
  return `Nothing here is called ${named.join(', ')}. What can be asked: ${[...ALONE, ...rows].join(', ')}.`
}

async function showReckon(request: FastifyRequest, reply: FastifyReply) {
  const catalogue = await readCatalogue(request.server.db)
  const typed = closeUpRows(Form.read(request.query))
  const asked = typed.typed.size > 0
  const unknown = unknownIn(request.query)
  const { recipe, form } = unknown
    ? { recipe: null, form: typed.with([{ field: '', sentence: unknown }]) }
    : asked
      ? workOut(typed, catalogue, jobIn(catalogue, request.workshop))
      : { recipe: null, form: typed }
  return reply.page('reckon/show', {
    title: recipe ? `What ${recipe.fibreName} needs` : 'Reckon a recipe',
    form: recipe ? wholeForm(form, recipe.job) : widened(form, catalogue),
    status: form.errors.length > 0 ? 422 : 200,
    data: {
      recipe,
      care: careByStep(recipe?.steps ?? []),
      baths: recipe ? linesByBath(recipe) : [],
      choices: choicesOf(catalogue, null),
    },
  })
}

/** What was typed, with what was taken for granted filled in. */
const wholeForm = (form: Form, job: RecipeJob): Form =>
  Form.of({
    ...valuesOf(job),
    [WHOLE]: 'yes',
    fibreId: job.fibreId,
    weight: form.value('weight'),
    tiesUndyed: job.tiesUndyed ? 'yes' : '',
  })

const ASKED_FIRST = ['', 'fibreId', 'weight', 'dyes.0.substanceId', 'depth']

/** The whole form, where the short one has no field for what is asked back. */
function widened(form: Form, catalogue: Catalogue): Form {
  if (form.has(WHOLE) || form.errors.every(({ field }) => ASKED_FIRST.includes(field))) return form
  const dye = catalogue.substances.find(({ id }) => id === form.value('dyes.0.substanceId'))
  const mordants = dye?.dyeClass ? usualMordants(ROUTE_OF_CLASS[dye.dyeClass], catalogue) : []
  const rows = mordants.map(({ substanceId }, n) => [`mordants.${n}.substanceId`, substanceId])
  return Form.of({ ...Object.fromEntries(form.typed), [WHOLE]: 'yes', ...Object.fromEntries(rows) }).with(form.errors)
}

/** A recipe without a commission: reckoned on the same page, and nothing is stored. */
export function reckonPage(app: FastifyInstance): void {
  app.get('/reckon', showReckon)
}
