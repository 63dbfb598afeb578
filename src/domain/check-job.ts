/** Is this job fit to be reckoned? Refuses with the field and what to do; says nothing when all is well. */
import type { Catalogue, DyeClass, Substance } from './catalogue.js'
import { findFibre, findSubstance } from './catalogue-look-up.js'
import { DEPTHS, type RecipeJob, ROUTE_WORDS, type Route } from './recipe.js'
import { Refusal } from './refusal.js'

/** Bounds of what a job may say: beyond them it is a slip of the pen, and gets a question instead of a recipe. */
export const JOB_BOUNDS = {
  dryWeightG: { least: 0.1, most: 100_000 },
  depth: { least: 0.05, most: 4 },
  share: { least: 0.001, most: 1000 },
  owfPercent: { least: 0.001, most: 1000 },
  liquorRatioLPerKg: { least: 2, most: 200 },
  bath: { least: 1, most: 5 },
  dips: { least: 1, most: 20 },
  extra: { least: 0.001, most: 10_000 },
  perKg: { least: 0, most: 20_000 },
} as const

/** Classes of dye that each route takes. */
const TAKES: Record<Route, DyeClass[]> = {
  label: ['all-purpose'],
  powder: ['direct', 'acid', 'basic', 'fibre-reactive', 'union'],
  plant: ['plant', 'insect'],
  iron: ['iron'],
  indigo: ['indigo'],
}

export function checkJob(job: RecipeJob, catalogue: Catalogue): void {
  findFibre(catalogue, job.fibreId, 'fibreId')
  within('The dry weight in grams', job.dryWeightG, JOB_BOUNDS.dryWeightG, 'dryWeightG')
  within(`The depth of shade (${depthNames()})`, job.depth, JOB_BOUNDS.depth, 'depth')
  if (job.liquorRatioLPerKg !== null)
    within(
      'The liquor ratio in litres per kilogram',
      job.liquorRatioLPerKg,
      JOB_BOUNDS.liquorRatioLPerKg,
      'liquorRatioLPerKg',
    )
  if (job.dips !== null) wholeWithin('The number of dips', job.dips, JOB_BOUNDS.dips, 'dips')
  checkDyes(job, catalogue)
  checkMordants(job, catalogue)
  checkExtras(job, catalogue)
  checkUsedRates(job, catalogue)
  checkReasons(job)
}

function checkDyes(job: RecipeJob, catalogue: Catalogue): void {
  if (job.dyes.length === 0) refuse('Choose at least one dye.', 'dyes')
  if (job.route === 'indigo' && job.dyes.length > 1)
    refuse('A vat is made from one indigo: choose one.', 'dyes.1.substanceId')
  job.dyes.forEach((asked, at) => {
    const field = `dyes.${at}`
    const dye = findSubstance(catalogue, asked.substanceId, `${field}.substanceId`)
    checkClass(job.route, dye, `${field}.substanceId`)
    within(`The share of ${dye.name}`, asked.share, JOB_BOUNDS.share, `${field}.share`)
    checkOwf(dye, asked.owfPercent, `${field}.owfPercent`)
    if (job.dyes.findIndex(one => one.substanceId === asked.substanceId) < at)
      refuse(`${dye.name} is named twice: give it one line with its whole share.`, `${field}.substanceId`)
  })
}

function checkClass(route: Route, dye: Substance, field: string): void {
  if (dye.dyeClass !== null && TAKES[route].includes(dye.dyeClass)) return
  refuse(
    `${dye.name} does not belong to the route "${ROUTE_WORDS[route]}": choose another dye or another route.`,
    field,
  )
}

function checkMordants(job: RecipeJob, catalogue: Catalogue): void {
  job.mordants.forEach((use, at) => {
    const field = `mordants.${at}`
    const mordant = findSubstance(catalogue, use.substanceId, `${field}.substanceId`)
    if (mordant.mordantDose === null)
      refuse(`${mordant.name} is not a mordant in this catalogue: choose one that is.`, `${field}.substanceId`)
    wholeWithin('The number of the bath', use.bath, JOB_BOUNDS.bath, `${field}.bath`)
    checkOwf(mordant, use.owfPercent, `${field}.owfPercent`)
    const inDyeBath = use.when === 'in the dye bath'
    const isDye = inDyeBath && job.dyes.some(dye => dye.substanceId === use.substanceId)
    const twin = job.mordants.findIndex(
      one => one.substanceId === use.substanceId && one.when === use.when && (inDyeBath || one.bath === use.bath),
    )
    if (isDye || twin < at) refuse(`${mordant.name} is in that bath already: give it one line.`, `${field}.substanceId`)
  })
}

function checkExtras(job: RecipeJob, catalogue: Catalogue): void {
  job.extras.forEach((extra, at) => {
    const field = `extras.${at}`
    const substance = findSubstance(catalogue, extra.substanceId, `${field}.substanceId`)
    within(`The amount of ${substance.name}`, extra.amount, JOB_BOUNDS.extra, `${field}.amount`)
    if (extra.basis === 'per gram')
      refuse(`Say how much ${substance.name} by the fibre's weight, per litre or per bath.`, `${field}.basis`)
    const inMain = [...job.dyes, ...job.mordants.filter(use => use.when === 'in the dye bath')]
    const twin = job.extras.findIndex(one => one.substanceId === extra.substanceId)
    if (twin < at || inMain.some(one => one.substanceId === extra.substanceId))
      refuse(`${substance.name} is in the bath already: give it one line.`, `${field}.substanceId`)
  })
}

function checkUsedRates(job: RecipeJob, catalogue: Catalogue): void {
  job.usedRates.forEach((used, at) => {
    const field = `usedRates.${at}`
    const substance = findSubstance(catalogue, used.substanceId, `${field}.substanceId`)
    within(`The used rate of ${substance.name} per kilogram`, used.perKg, JOB_BOUNDS.perKg, `${field}.perKg`)
    if (used.unit !== substance.unit)
      refuse(
        `${substance.name} is measured in ${substance.unit}: give its used rate in ${substance.unit} per kilogram.`,
        `${field}.unit`,
      )
    if (used.from.trim() === '') refuse(`Say where the used rate of ${substance.name} comes from.`, `${field}.from`)
    if (job.usedRates.findIndex(one => one.substanceId === used.substanceId) < at)
      refuse(`${substance.name} has two used rates: give their sum once.`, `${field}.substanceId`)
  })
}

function checkReasons(job: RecipeJob): void {
  job.reasons.forEach((reason, at) => {
    if (reason.words.trim() === '') refuse('Say why in a few words, or leave the reason out.', `reasons.${at}.words`)
  })
}

function checkOwf(substance: Substance, owfPercent: number | null, field: string): void {
  if (owfPercent !== null)
    within(`The per cent of fibre weight for ${substance.name}`, owfPercent, JOB_BOUNDS.owfPercent, field)
}

type Bounds = { least: number; most: number }

function within(what: string, value: number, { least, most }: Bounds, field: string): void {
  if (value >= least && value <= most) return
  refuse(`${what} must be a number from ${least} to ${most}. Check it and type it again.`, field)
}

function wholeWithin(what: string, value: number, bounds: Bounds, field: string): void {
  within(what, value, bounds, field)
  if (!Number.isInteger(value)) refuse(`${what} must be a whole number.`, field)
}

function refuse(sentence: string, field: string): never {
  throw new Refusal('wrong', sentence, field)
}

const depthNames = (): string => DEPTHS.map(({ name, factor }) => `${factor} ${name}`).join(', ')
