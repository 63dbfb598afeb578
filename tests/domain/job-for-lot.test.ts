import { describe, expect, test } from 'vitest'
import type { Catalogue } from '../../src/domain/catalogue.js'
import { DYE_CLASSES } from '../../src/domain/catalogue.js'
import { checkJob } from '../../src/domain/check-job.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { dryWeightOf, jobForLot, type LotToDye, ROUTE_OF_CLASS, usualMordants } from '../../src/domain/job-for-lot.js'
import type { RecipeJob } from '../../src/domain/recipe.js'
import { reckon } from '../../src/domain/reckon.js'

const lot: LotToDye = {
  fibreId: 'flax',
  route: 'plant',
  dyeId: 'weld',
  tiesUndyed: true,
  against: '',
  conditions: [],
  purposes: [],
  bundles: [{ dryWeightG: 150 }, { dryWeightG: 250.5 }],
}
const jobOf = (
  more: Partial<LotToDye> = {},
  before: Parameters<typeof jobForLot>[3] = null,
  catalogue = firstCatalogue,
) => jobForLot({ ...lot, ...more }, 'conditioned', catalogue, before)

describe('the job of a lot', () => {
  test('is its summed weight, its fibre and its dye, and guesses no purpose', () => {
    expect(jobOf()).toEqual({
      fibreId: 'flax',
      dryWeightG: 400.5,
      dryWeightFrom: 'weighed at drop-off, 2 bundles',
      dryBasis: 'conditioned',
      route: 'plant',
      dyes: [{ substanceId: 'weld', share: 1, owfPercent: null }],
      mordants: [{ substanceId: 'potassium-alum', when: 'before dye', bath: 1, owfPercent: null }],
      extras: [],
      depth: 1,
      liquorRatioLPerKg: null,
      dips: null,
      conditions: [],
      tiesUndyed: true,
      purposes: [],
      usedRates: [],
      reasons: [],
    })
  })

  test('says what was said at drop-off, so that its findings are those of then', () => {
    const job = jobOf({ conditions: ['split after dyeing'], purposes: ['wet use', 'class use'] })
    expect(job).toMatchObject({ conditions: ['split after dyeing'], purposes: ['wet use', 'class use'] })
    expect(reckon(job, firstCatalogue).findings.map(({ ruleId }) => ruleId)).toEqual(
      expect.arrayContaining(['split-after', 'class-use']),
    )
  })

  test('puts a mordant under plant and insect dyes only', () => {
    expect(jobOf({ route: 'label', dyeId: 'all-purpose-bottled' }).mordants).toEqual([])
    expect(jobOf({ route: 'indigo', dyeId: 'indigo-fructose-vat' }).mordants).toEqual([])
    expect(jobOf({ dyeId: 'cochineal' }).mordants).toHaveLength(1)
  })

  test('takes another alum whose dose is known when the usual one is not there', () => {
    const without = (id: string): Catalogue => ({
      ...firstCatalogue,
      substances: firstCatalogue.substances.filter(one => one.id !== id),
    })
    const [use] = usualMordants('plant', without('potassium-alum'))
    const other = firstCatalogue.substances.find(({ id }) => id === use?.substanceId)
    expect(other?.metal).toBe('aluminium')
    expect(other?.mordantDose?.amount).not.toBeNull()
    const open = firstCatalogue.substances.map(one => ({
      ...one,
      mordantDose: one.mordantDose && { ...one.mordantDose, amount: null },
    }))
    expect(usualMordants('plant', { ...firstCatalogue, substances: open })).toEqual([])
    const none = firstCatalogue.substances.map(one => ({ ...one, mordantDose: null }))
    expect(usualMordants('plant', { ...firstCatalogue, substances: none })).toEqual([])
  })

  test('answers every finding that asks why with what was said at drop-off', () => {
    const asked = { fibreId: 'red-cedar-inner-bark', route: 'indigo', dyeId: 'indigo-fructose-vat' } as const
    expect(jobOf(asked).reasons).toEqual([])
    expect(jobOf({ ...asked, against: ' she wants to see it ' }).reasons).toEqual([
      { ruleId: 'red-cedar-indigo', words: 'she wants to see it' },
    ])
    expect(jobOf({ against: 'nothing speaks against it' }).reasons).toEqual([])
  })

  test('is given even when the fibre or the dye is no longer in the catalogue', () => {
    expect(jobOf({ fibreId: 'gone', against: 'x' }).reasons).toEqual([])
    expect(jobOf({ dyeId: 'gone', against: 'x' }).reasons).toEqual([])
  })
})

describe('a repeat', () => {
  const then: RecipeJob = {
    ...jobOf(),
    dryWeightG: 1000,
    dryBasis: 'oven-dry',
    tiesUndyed: false,
    depth: 2,
    dyes: [
      { substanceId: 'madder-root', share: 1, owfPercent: null },
      { substanceId: 'weld', share: 3, owfPercent: null },
    ],
    liquorRatioLPerKg: 25,
  }
  const used = [{ substanceId: 'weld', perKg: 2200, unit: 'g' as const, from: 'really used for lot 1' }]

  test('starts from the way of working of then and the rates really used, on the weight of now', () => {
    const job = jobOf({}, { job: then, used })
    expect(job).toMatchObject({ depth: 2, dyes: then.dyes, liquorRatioLPerKg: 25, usedRates: used })
    expect(job).toMatchObject({ dryWeightG: 400.5, dryBasis: 'conditioned', tiesUndyed: true })
    const weld = reckon(job, firstCatalogue).lines.find(({ substanceId }) => substanceId === 'weld')
    expect(weld?.amount).toBeCloseTo(2200 * 0.4005, 9)
  })

  test('warns of what was said then and of what is said now', () => {
    const before = { ...then, conditions: ['hard water' as const], purposes: ['wet use' as const] }
    const job = jobOf({ conditions: ['dirty or waxy'], purposes: ['wet use', 'class use'] }, { job: before, used })
    expect(job.conditions).toEqual(['hard water', 'dirty or waxy'])
    expect(job.purposes).toEqual(['wet use', 'class use'])
  })

  test.each([
    ['another fibre', { fibreId: 'hemp' }],
    ['another dye', { dyeId: 'cochineal' }],
    ['another route', { route: 'iron', dyeId: 'ferrous-sulfate' }],
  ] as const)('of %s starts afresh', (_, more) => {
    expect(jobOf(more, { job: then, used })).toEqual(jobOf(more))
  })

  test('keeps the reasons given then, and answers what is still open with those of now', () => {
    const cedar = { fibreId: 'red-cedar-inner-bark', route: 'indigo', dyeId: 'indigo-fructose-vat' } as const
    const before = { job: { ...jobOf(cedar), reasons: [{ ruleId: 'red-cedar-indigo', words: 'then' }] }, used: [] }
    expect(jobOf({ ...cedar, against: 'now' }, before).reasons).toEqual([{ ruleId: 'red-cedar-indigo', words: 'then' }])
  })
})

test('each class of dye has the route that takes it', () => {
  for (const dye of firstCatalogue.substances.filter(one => one.dyeClass !== null)) {
    if (dye.dyeClass === null) continue
    const job = jobOf({ route: ROUTE_OF_CLASS[dye.dyeClass], dyeId: dye.id })
    expect(() => checkJob(job, firstCatalogue), dye.id).not.toThrow()
  }
  expect(Object.keys(ROUTE_OF_CLASS).sort()).toEqual([...DYE_CLASSES].sort())
})

test('no bundles weigh nothing', () => {
  expect(dryWeightOf([])).toBe(0)
})
