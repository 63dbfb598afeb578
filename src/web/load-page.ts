/** What the page at the pot shows beside the load itself. */
import { ADDING_CARE, additionBounds } from '../domain/addition.js'
import type { Catalogue, Substance } from '../domain/catalogue.js'
import { dryWeightOf } from '../domain/job-for-lot.js'
import { asksWhy, dueAt, mayStandUntil, minutesLate, nextWords, takesOut } from '../domain/load.js'
import { begunWords } from '../domain/load-words.js'
import { isForWeight } from '../domain/put-right.js'
import type { Recipe, Step } from '../domain/recipe.js'
import { reckon } from '../domain/reckon.js'
import { Refusal } from '../domain/refusal.js'
import { isAsComputed, isWeighedOut } from '../domain/weighed.js'
import { readCatalogue } from '../store/catalogue.js'
import { lotsInBath } from '../store/counted-out.js'
import type { Db } from '../store/db.js'
import { addedAlready, goneBack, type Load, lastWater, linesThatCount, lineWords } from '../store/loads.js'
import { findRecipe } from '../store/recipes.js'
import type { Workshop } from '../store/workshop.js'
import { found } from './kit/post.js'
import { lotsOnCard } from './load-card.js'
import { amountAsWritten } from './weighed-form.js'

export async function atThePot(db: Db, load: Load, now: string, workshop: Workshop) {
  const { recipe } = found(await findRecipe(db, load.recipeId), 'recipe')
  const catalogue = await readCatalogue(db)
  const { substances } = catalogue
  return {
    load,
    ...lotsOnCard(load),
    hasGoneBack: goneBack(load) !== undefined,
    whereIs: whereIs(load),
    now: standsAt(load, recipe, now),
    /** Bundles to be counted with the next press, lot by lot; none for most loads. */
    toCount: countsNext(load) ? await lotsInBath(db, load) : [],
    plan: planOf(load, recipe),
    begun: begunWords(load.steps[0], load.laidFor),
    putRight: putRightSince(load, recipe, catalogue),
    isWeighedOut: isWeighedOut(load.lines),
    weighOut: load.lines.map(line => ({
      ...line,
      asComputed: line.weighed === null || isAsComputed(line.amount, line.weighed.amount),
      asWritten: amountAsWritten(line, workshop),
      alsoShown: recipe.lines.find(({ key }) => key === line.key)?.alsoShown ?? [],
      bathTitle: recipe.baths.find(({ key }) => key === line.bathKey)?.title ?? '',
    })),
    baths: recipe.baths.map(({ key, title, waterL }) => ({ key, title, waterL })),
    mayAdd: mayAdd(load, recipe),
    /** It was in the rinse, and is not done: how it ran can be written down, late as well. */
    mayRinse: load.doneAt === null && load.steps.some(({ n, place }) => place === 'rinse' && n <= load.stepN),
    addingCare: ADDING_CARE,
    substances: inRecipeFirst(load, substances),
    cautions: recipe.cautions,
    undo: undoOf(load),
  }
}

/** What its bundles were put right to since they were laid, and what the recipe would have been for that; null when nothing. */
function putRightSince({ bundles, dryWeightG: laidG }: Load, recipe: Recipe, catalogue: Catalogue) {
  const dryWeightG = dryWeightOf(bundles)
  if (isForWeight({ dryWeightG: laidG }, { bundles })) return null
  const { lines, waterL } = asReckoned({ ...recipe.job, dryWeightG }, catalogue) ?? { lines: [], waterL: null }
  return { dryWeightG, waterL, lines: lines.map(({ name, amount, unit }) => ({ name, amount, unit, alsoShown: [] })) }
}

/** Undefined when the catalogue was changed so that it cannot be reckoned any more. */
function asReckoned(job: Recipe['job'], catalogue: Catalogue): Recipe | undefined {
  try {
    return reckon(job, catalogue)
  } catch (fault) {
    if (fault instanceof Refusal) return undefined
    throw fault
  }
}

/** Whether the next press takes several lots out, so that their bundles are counted with it. */
export const countsNext = (load: Load): boolean =>
  load.lots.length > 1 && load.doneAt === null && takesOut(load.steps, load.stepN + 1)

/** Where its bundles are, as a heading says it: in the pot, or where they went from there. */
function whereIs(load: Load): string {
  const place = load.steps[load.stepN - 1]?.place
  if (goneBack(load)) return 'Handed back'
  if (load.takenOutAt !== null) return load.potName
  if (load.doneAt !== null) return `Done in ${load.potName}`
  if (place === 'soak tub') return `Soak tub, for ${load.potName}`
  if (place === 'rinse') return 'In the rinse'
  return place === 'drying line' ? 'On the drying line' : load.potName
}

/** The step that runs, when it is due out, and what the next press does; null when the load has left the work. */
function standsAt(load: Load, recipe: Recipe, now: string) {
  const [step, next] = [load.steps[load.stepN - 1], load.steps[load.stepN]]
  if (load.doneAt !== null || step === undefined) return null
  const water = lastWater(load)
  const { words, cautions, atLeastMinutes }: Partial<Step> = recipe.steps[load.stepN - 1] ?? {}
  return {
    ...step,
    words: words ?? '',
    cautions: cautions ?? [],
    atLeastMinutes: atLeastMinutes == null ? null : atLeastMinutes + step.warmUpMinutes,
    steps: load.steps.length,
    dueAt: dueAt(step, load.stepSince),
    mayStandUntil: mayStandUntil(step, load.stepSince),
    minutesLate: minutesLate(step, load.stepSince, now),
    lastWater: water,
    asksWhy: asksWhy(step, next, water),
    /** Ties that go onto the tie board with the next press. */
    tiesToComeOff: step.tiesComeOff ? load.bundles.reduce((sum, { tiesOn }) => sum + tiesOn, 0) : 0,
    next: next ?? null,
    nextWords: nextWords(step, next, load.potName),
  }
}

/** Every step with when it really began; null for what is still to come. */
function planOf(load: Load, recipe: Recipe) {
  const begun = linesThatCount(load).filter(({ kind }) => kind === 'step')
  return load.steps.map(step => ({
    ...step,
    words: recipe.steps[step.n - 1]?.words ?? '',
    begunAt: begun.find(({ stepN }) => stepN === step.n)?.at ?? null,
  }))
}

/** For what is in the recipe: how much more of it may go in, reckoned with what was added already. */
const mayAdd = (load: Load, recipe: Recipe) =>
  [...new Set(recipe.lines.map(({ substanceId }) => substanceId))].map(id =>
    additionBounds(recipe, id, addedAlready(load, id)),
  )

function inRecipeFirst(load: Load, substances: readonly Substance[]) {
  const inRecipe = new Set(load.lines.map(({ substanceId }) => substanceId))
  const named = (list: readonly Substance[]) => list.map(({ id, name, unit }) => ({ id, name, unit }))
  return {
    inRecipe: named(substances.filter(({ id }) => inRecipe.has(id))),
    others: named(substances.filter(({ id }) => !inRecipe.has(id))),
  }
}

/** What the undo button would undo; null when nothing is left. */
function undoOf(load: Load) {
  const isOpen = load.takenOutAt === null && !goneBack(load)
  const last = isOpen ? linesThatCount(load).at(-1) : undefined
  return last ? { words: lineWords(last, load.steps, load.laidFor), at: last.at, who: last.who } : null
}
