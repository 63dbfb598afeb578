import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Catalogue, DyeClass } from '../../src/domain/catalogue.js'
import { CONDITIONS } from '../../src/domain/catalogue.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import {
  DRY_BASES,
  MORDANT_TIMES,
  PURPOSES,
  type Recipe,
  type RecipeJob,
  ROUTES,
  type Route,
} from '../../src/domain/recipe.js'
import { reckon } from '../../src/domain/reckon.js'
import { readRecipeJob } from '../../src/domain/reckon-job.js'
import { Refusal } from '../../src/domain/refusal.js'

const RUNS = { numRuns: 200 }
const { fibres, substances } = firstCatalogue
const idsOf = (test: (one: (typeof substances)[number]) => boolean) => substances.filter(test).map(one => one.id)

const CLASSES: Record<Route, DyeClass[]> = {
  label: ['all-purpose'],
  powder: ['direct', 'acid', 'basic', 'fibre-reactive', 'union'],
  plant: ['plant', 'insect'],
  iron: ['iron'],
  indigo: ['indigo'],
}

const within = (least: number, most: number) => fc.double({ min: least, max: most, noNaN: true })
const orNull = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary, { nil: null })
const distinct = <T extends { substanceId: string }>(
  arbitrary: fc.Arbitrary<T>,
  minLength: number,
  maxLength: number,
) => fc.uniqueArray(arbitrary, { minLength, maxLength, selector: one => one.substanceId })

const dyesFor = (route: Route) =>
  distinct(
    fc.record({
      substanceId: fc.constantFrom(...idsOf(one => one.dyeClass !== null && CLASSES[route].includes(one.dyeClass))),
      share: within(0.001, 1000),
      owfPercent: orNull(within(0.001, 1000)),
    }),
    1,
    route === 'indigo' ? 1 : 3,
  )

const mordants = distinct(
  fc.record({
    substanceId: fc.constantFrom(...idsOf(one => one.mordantDose !== null)),
    when: fc.constantFrom(...MORDANT_TIMES),
    bath: fc.integer({ min: 1, max: 5 }),
    owfPercent: orNull(within(0.001, 1000)),
  }),
  0,
  3,
)
const anySubstance = fc.constantFrom(...substances.map(one => one.id))
const extras = distinct(
  fc.record({
    substanceId: anySubstance,
    basis: fc.constantFrom('% owf', 'per litre', 'per kg'),
    amount: within(0.001, 10_000),
  } as const),
  0,
  2,
)
const usedRates = distinct(fc.record({ substanceId: anySubstance, perKg: within(0, 20_000) }), 0, 2).map(rates =>
  rates.map(rate => {
    const unit = substances.find(one => one.id === rate.substanceId)?.unit ?? 'g'
    return { ...rate, unit, from: 'lot 12' }
  }),
)

const jobs: fc.Arbitrary<RecipeJob> = fc.constantFrom(...ROUTES).chain(route =>
  fc.record({
    fibreId: fc.constantFrom(...fibres.map(one => one.id)),
    dryWeightG: within(0.1, 50_000),
    dryBasis: fc.constantFrom(...DRY_BASES),
    route: fc.constant(route),
    dyes: dyesFor(route),
    mordants,
    extras,
    depth: within(0.05, 4),
    liquorRatioLPerKg: orNull(within(2, 200)),
    dips: orNull(fc.integer({ min: 1, max: 20 })),
    conditions: fc.subarray([...CONDITIONS]),
    tiesUndyed: fc.boolean(),
    purposes: fc.subarray([...PURPOSES]),
    usedRates,
    reasons: fc.constant([]),
  }),
)

/** The recipe, or null when the job is refused; anything else that is thrown is a fault. */
function recipeOf(job: RecipeJob, catalogue: Catalogue = firstCatalogue): Recipe | null {
  try {
    return reckon(job, catalogue)
  } catch (error) {
    if (error instanceof Refusal) return null
    throw error
  }
}

/** Holds for every accepted job; a run in which hardly any job is accepted proves nothing and fails. */
function everyRecipe(holds: (recipe: Recipe, job: RecipeJob) => void): void {
  let accepted = 0
  fc.assert(
    fc.property(jobs, job => {
      const recipe = recipeOf(job)
      if (recipe === null) return
      accepted += 1
      holds(recipe, job)
    }),
    RUNS,
  )
  expect(accepted).toBeGreaterThan(RUNS.numRuns / 10)
}

/** Equal but for a part of the wanted value, or for a billionth of a gram. */
function near(got: number, wanted: number, part: number): void {
  expect(Math.abs(got - wanted)).toBeLessThanOrEqual(Math.abs(wanted) * part + 1e-9)
}

/** Reads "5 g × 2 % owf ÷ 4 = 0.025 g" back and works it out again: [worked out, printed]. */
function workedOut(numbers: string): [number, number] {
  const [formula = '', printed = ''] = numbers.split(' = ')
  const factors = formula.split(/ (?=[×÷])/)
  const worked = factors.reduce((sum, factor) => {
    const [, number = ''] = /^[×÷]? ?(-?[\d.]+)/.exec(factor) ?? []
    const value = factor.includes('%') ? Number(number) / 100 : Number(number)
    return factor.startsWith('÷') ? sum / value : sum * value
  }, 1)
  return [worked, Number.parseFloat(printed)]
}

/** All numbers anywhere inside. */
function numbersIn(value: unknown): number[] {
  if (typeof value === 'number') return [value]
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(numbersIn) : []
}

describe('for every job that is accepted', () => {
  test('no figure is negative or not finite, and the recipe is plain JSON', () => {
    everyRecipe(recipe => {
      for (const number of numbersIn(recipe)) {
        expect(Number.isFinite(number)).toBe(true)
        expect(number).toBeGreaterThanOrEqual(0)
      }
      expect(JSON.parse(JSON.stringify(recipe))).toEqual(recipe)
      expect(JSON.stringify(recipe)).not.toMatch(/NaN|undefined|Infinity/)
    })
  })

  test('every line and bath shows a formula whose numbers give its amount', () => {
    everyRecipe(recipe => {
      const shown = [
        ...recipe.lines.map(line => [line.how, line.amount] as const),
        ...recipe.baths.map(bath => [bath.how, bath.waterL] as const),
        [recipe.waterHow, recipe.waterL] as const,
      ]
      for (const [how, amount] of shown) {
        const [worked, printed] = workedOut(how.numbers)
        near(worked, amount, 1e-4)
        near(printed, amount, 1e-5)
        expect(how.words.split(/ [×÷] /)).toHaveLength(how.inputs.length)
        for (const input of how.inputs) expect(input.provenance.source).not.toBe('')
      }
    })
  })

  test('twice the fibre takes twice of everything, at the same rates', () => {
    everyRecipe((recipe, job) => {
      const twice = reckon({ ...job, dryWeightG: job.dryWeightG * 2 }, firstCatalogue)
      near(twice.waterL, recipe.waterL * 2, 1e-12)
      expect(twice.lines.map(line => line.key)).toEqual(recipe.lines.map(line => line.key))
      twice.lines.forEach((line, at) => {
        near(line.amount, (recipe.lines[at]?.amount ?? Number.NaN) * 2, 1e-12)
        near(line.ratePerKg, recipe.lines[at]?.ratePerKg ?? Number.NaN, 1e-12)
        near(line.ratePerKg * (twice.job.dryWeightG / 1000), line.amount, 1e-12)
      })
      twice.spentBath.metals.forEach((metal, at) => {
        near(metal.grams, (recipe.spentBath.metals[at]?.grams ?? Number.NaN) * 2, 1e-12)
      })
      expect(twice.steps).toEqual(recipe.steps)
    })
  })

  test('line keys are unique, and each line and step belongs to a bath of the recipe or, without known stock, to the vat', () => {
    everyRecipe(recipe => {
      const keys = recipe.lines.map(line => line.key)
      expect(new Set(keys).size).toBe(keys.length)
      const baths = [...recipe.baths.map(bath => bath.key), 'stock']
      for (const line of recipe.lines) expect(baths).toContain(line.bathKey)
      for (const step of recipe.steps) if (step.bathKey !== null) expect(baths).toContain(step.bathKey)
    })
  })

  test('steps begin with the soak and end with rinse and dry; lengths and hands agree', () => {
    everyRecipe(recipe => {
      const keys = recipe.steps.map(step => step.key)
      expect(keys[0]).toBe('soak')
      expect(keys.slice(-2)).toEqual(['rinse', 'dry'])
      recipe.steps.forEach((step, at) => {
        expect(step.index).toBe(at)
        const minutes = step.minutes ?? Number.POSITIVE_INFINITY
        expect(step.atLeastMinutes ?? 0).toBeLessThanOrEqual(minutes)
        expect(step.atMostMinutes ?? Number.POSITIVE_INFINITY).toBeGreaterThanOrEqual(step.minutes ?? 0)
        expect(step.handsMinutes).toBeLessThanOrEqual(minutes)
      })
    })
  })

  test('deeper is never less dye', () => {
    fc.assert(
      fc.property(jobs, within(0.05, 4), (job, other) => {
        const untyped = { ...job, usedRates: [], dyes: job.dyes.map(dye => ({ ...dye, owfPercent: null })) }
        const [paler, deeper] = job.depth < other ? [job.depth, other] : [other, job.depth]
        const less = recipeOf({ ...untyped, depth: paler })
        const more = recipeOf({ ...untyped, depth: deeper })
        const dyeIn = (recipe: Recipe | null) =>
          (recipe?.lines ?? []).filter(line =>
            job.dyes.some(dye => dye.substanceId === line.substanceId && line.bathKey !== 'after-1'),
          )
        const after = dyeIn(more)
        dyeIn(less).forEach((line, at) => {
          expect(after[at]?.amount ?? 0).toBeGreaterThanOrEqual(line.amount * (1 - 1e-12))
        })
      }),
      RUNS,
    )
  })

  test('what was really used comes back whole, over however many baths', () => {
    everyRecipe((recipe, job) => {
      for (const used of job.usedRates) {
        const lines = recipe.lines.filter(line => line.substanceId === used.substanceId)
        const sum = lines.reduce((total, line) => total + line.ratePerKg, 0)
        near(sum, used.perKg, 1e-9)
      }
    })
  })

  test('a job that is read from its own JSON is the same job', () => {
    fc.assert(
      fc.property(jobs, job => {
        expect(readRecipeJob(JSON.parse(JSON.stringify(job)))).toEqual(JSON.parse(JSON.stringify(job)))
      }),
      RUNS,
    )
  })
})

test('any JSON at all is read or refused, never anything else', () => {
  fc.assert(
    fc.property(fc.jsonValue(), json => {
      try {
        expect(readRecipeJob(json)).toHaveProperty('fibreId')
      } catch (error) {
        expect(error).toBeInstanceOf(Refusal)
      }
    }),
    RUNS,
  )
})
