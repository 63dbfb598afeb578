import { describe, expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import type { Recipe, RecipeJob } from '../../src/domain/recipe.js'
import { reckon } from '../../src/domain/reckon.js'
import { aJob, dyed, lineOf, mordanted, POUND_G } from './recipe-kit.js'

/** Facts of the trade: common practice, no source. */
const worked = (given: Partial<RecipeJob>): Recipe =>
  reckon(aJob({ fibreId: 'red-cedar-inner-bark', dryWeightG: POUND_G, ...given }), firstCatalogue)

const stepKeys = (recipe: Recipe) => recipe.steps.map(step => step.key)
const findingIds = (recipe: Recipe) => recipe.findings.map(finding => finding.ruleId)

describe('facts of the trade (common practice, no source)', () => {
  const bottle = () => worked({ route: 'label', dyes: [dyed('all-purpose-bottled')] })

  test('a pound of dry red cedar bark takes one whole bottle, the double of ordinary fibre', () => {
    const bottled = bottle()
    const bark = lineOf(bottled, 'dye:all-purpose-bottled')
    expect(bark.amount).toBeCloseTo(236.6, 9)
    expect(bark.unit).toBe('mL')
    expect(bark.alsoShown).toEqual(['1 bottle'])
    const flax = worked({ fibreId: 'flax', route: 'label', dyes: [dyed('all-purpose-bottled')] })
    expect(lineOf(flax, 'dye:all-purpose-bottled').alsoShown).toEqual(['0.5 bottles'])
  })

  test('with that pound go a teaspoon of dish soap and a cup of salt', () => {
    const bottled = bottle()
    expect(lineOf(bottled, 'dye:dish-soap').amount).toBeCloseTo(4.92892159375, 9)
    expect(lineOf(bottled, 'dye:dish-soap').alsoShown).toEqual(['1 US teaspoon'])
    expect(lineOf(bottled, 'dye:common-salt').amount).toBeCloseTo(292, 9)
    expect(lineOf(bottled, 'dye:common-salt').alsoShown).toEqual(['1 US cup'])
  })

  test('soak an hour and take the ties off, dye by the label, leave bark overnight, rinse until clear, dry', () => {
    const bottled = bottle()
    expect(stepKeys(bottled)).toEqual(['soak', 'dye', 'stand', 'rinse', 'dry'])
    const [soak, dye, stand, rinse] = bottled.steps
    expect(soak).toMatchObject({ minutes: 60, atLeastMinutes: 60, tiesComeOff: true, place: 'soak tub' })
    expect(dye).toMatchObject({ minutes: 60, heat: true, place: 'pot' })
    expect(stand).toMatchObject({ minutes: 720, atLeastMinutes: 660, mayStandOvernight: true, heat: false })
    expect(rinse).toMatchObject({ minutes: null, hands: true, place: 'rinse' })
  })

  test('ordinary fibre has no night in the bath', () => {
    expect(stepKeys(worked({ fibreId: 'flax', route: 'label', dyes: [dyed('all-purpose-bottled')] }))).not.toContain(
      'stand',
    )
  })

  test('iron after a little logwood: saddened after the dye', () => {
    const iron = { substanceId: 'ferrous-sulfate', when: 'after dye', bath: 1, owfPercent: null } as const
    const black = worked({ dyes: [dyed('logwood-chips')], mordants: [mordanted('potassium-alum'), iron] })
    expect(stepKeys(black)).toEqual(['soak', 'mordant', 'dye', 'iron', 'rinse', 'dry'])
    expect(black.dyeWords).toBe('logwood, chips on potassium alum then ferrous sulfate')
  })

  test('cochineal on bark goes brown with cream of tartar, ticked or added; alum alone is well', () => {
    const job = { dyes: [dyed('cochineal')], mordants: [mordanted('potassium-alum')] }
    expect(findingIds(worked(job))).not.toContain('bark-cochineal-tartar')
    expect(findingIds(worked({ ...job, conditions: ['cream of tartar added'] }))).toContain('bark-cochineal-tartar')
    const tartar = { substanceId: 'cream-of-tartar', basis: '% owf', amount: 6 } as const
    expect(findingIds(worked({ ...job, extras: [tartar] }))).toContain('bark-cochineal-tartar')
  })

  test('indigo on yellow cedar goes twenty minutes in and twenty out; red cedar hardly takes it', () => {
    const vat = { route: 'indigo', dyes: [dyed('indigo-fructose-vat')], dips: 3 } as const
    const yellow = worked({ ...vat, dyes: [dyed('indigo-fructose-vat')], fibreId: 'yellow-cedar-inner-bark' })
    expect(stepKeys(yellow)).toEqual(['soak', 'vat', 'dip', 'air', 'dip', 'air', 'dip', 'air', 'rinse', 'dry'])
    expect(yellow.steps.filter(step => step.key === 'dip' || step.key === 'air').map(step => step.minutes)).toEqual([
      20, 20, 20, 20, 20, 20,
    ])
    expect(findingIds(yellow)).not.toContain('red-cedar-indigo')
    expect(findingIds(worked({ ...vat, dyes: [dyed('indigo-fructose-vat')] }))).toContain('red-cedar-indigo')
  })

  test('one part indigo, two of lime, three of fructose', () => {
    const vat = worked({ route: 'indigo', dyes: [dyed('indigo-fructose-vat', 5)], dryWeightG: 1000 })
    expect(lineOf(vat, 'stock:indigo-fructose-vat').amount).toBeCloseTo(50, 9)
    expect(lineOf(vat, 'stock:hydrated-lime').amount).toBeCloseTo(100, 9)
    expect(lineOf(vat, 'stock:fructose').amount).toBeCloseTo(150, 9)
  })

  test('split after dyeing shows an undyed face', () => {
    const late = worked({ route: 'label', dyes: [dyed('all-purpose-bottled')], conditions: ['split after dyeing'] })
    expect(late.findings.find(finding => finding.ruleId === 'split-after')?.severity).toBe('leaves an undyed face')
  })
})
