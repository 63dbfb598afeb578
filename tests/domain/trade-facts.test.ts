/** Facts of the trade, one test for each: common practice, no source. They hold the first catalogue and the recipe to them. */
import { describe, expect, test } from 'vitest'
import type { Figure, Rule, Severity } from '../../src/domain/catalogue.js'
import { feasibility } from '../../src/domain/feasibility.js'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { readWeight } from '../../src/domain/quantity.js'
import type { Recipe, RecipeJob } from '../../src/domain/recipe.js'
import { reckon } from '../../src/domain/reckon.js'
import { aJob, dyed, lineOf, mordanted, POUND_G } from './recipe-kit.js'

const COMMON = { kind: 'common practice', source: 'common practice, no source' }
const UNITS = { weight: 'pounds', volume: 'us' } as const
const BARKS = ['red-cedar', 'yellow-cedar', 'lime', 'willow', 'elm'].map(tree => `${tree}-inner-bark`)
const bottledDye = { route: 'label', dyes: [dyed('all-purpose-bottled')] } satisfies Partial<RecipeJob>

const worked = (given: Partial<RecipeJob>): Recipe =>
  reckon(aJob({ fibreId: 'red-cedar-inner-bark', dryWeightG: POUND_G, ...given }), firstCatalogue)
const bottled = worked(bottledDye)

const fibre = (id: string) => of(firstCatalogue.fibres, id)
const substance = (id: string) => of(firstCatalogue.substances, id)
function of<T extends { id: string }>(entries: T[], id: string): T {
  const found = entries.find(one => one.id === id)
  if (found === undefined) throw new Error(`no ${id}`)
  return found
}

const stepKeys = (recipe: Recipe) => recipe.steps.map(step => step.key)
const wordsOf = (recipe: Recipe, key: string) => recipe.steps.find(step => step.key === key)?.words ?? ''
const findingIds = (recipe: Recipe) => recipe.findings.map(finding => finding.ruleId)
const saidOf = (fibreId: string, dyeId: string, mordantIds: string[] | null = null) =>
  feasibility({ fibreId, dyeIds: [dyeId], mordantIds, conditions: [] }, firstCatalogue).map(one => one.ruleId)

/** The figure is this one, and says that it is common practice. */
const isPractised = (figure: Figure | null | undefined, value: number) =>
  expect(figure).toEqual({ value: expect.closeTo(value, 9), provenance: COMMON })

/** The rule says this, as common practice. */
function isRule(id: string, severity: Severity, words: RegExp): Rule {
  const rule = of(firstCatalogue.rules, id)
  expect(rule.provenance).toEqual(COMMON)
  expect(rule.severity).toBe(severity)
  expect(rule.words).toMatch(words)
  return rule
}

describe('how much', () => {
  test('dye is reckoned on dry weight, never on volume', () => {
    expect(worked({ ...bottledDye, dryWeightG: 2 * POUND_G }).lines.map(line => line.amount)).toEqual(
      bottled.lines.map(line => expect.closeTo(2 * line.amount, 6)),
    )
    const amount = lineOf(bottled, 'dye:all-purpose-bottled').amount
    for (const liquorRatioLPerKg of [10, 60])
      expect(lineOf(worked({ ...bottledDye, liquorRatioLPerKg }), 'dye:all-purpose-bottled').amount).toBe(amount)
    for (const typed of ['2 gallons', '3 L', '1 cup'])
      expect(readWeight(typed, UNITS, { label: 'dry weight' }).ok, typed).toBe(false)
    expect(readWeight('2 lb', UNITS, { label: 'dry weight' }).ok).toBe(true)
  })

  test('a bottled dye’s label asks half a bottle to the pound of ordinary fibre', () => {
    isPractised(substance('all-purpose-bottled').label?.containersPerKg, 0.5 / 0.45359237)
    isPractised(fibre('flax').takeUp['all-purpose'], 1)
    const flax = worked({ ...bottledDye, fibreId: 'flax' })
    expect(lineOf(flax, 'dye:all-purpose-bottled').alsoShown).toEqual(['0.5 bottles'])
  })

  test('red cedar resists and takes the double: one whole bottle to the pound of dry bark', () => {
    isPractised(fibre('red-cedar-inner-bark').takeUp['all-purpose'], 2)
    expect(lineOf(bottled, 'dye:all-purpose-bottled').alsoShown).toEqual(['1 bottle'])
  })

  test('with that pound go a teaspoon of dish soap and a cup of salt', () => {
    const [soap, salt] = substance('all-purpose-bottled').assistants
    isPractised(soap?.amount, 4.92892159375 / 0.45359237)
    isPractised(salt?.amount, 292 / 0.45359237)
    expect(lineOf(bottled, 'dye:dish-soap').amount).toBeCloseTo(4.92892159375, 9)
    expect(lineOf(bottled, 'dye:dish-soap').alsoShown).toEqual(['1 US teaspoon'])
    expect(lineOf(bottled, 'dye:common-salt').amount).toBeCloseTo(292, 9)
    expect(lineOf(bottled, 'dye:common-salt').alsoShown).toEqual(['1 US cup'])
  })
})

describe('the steps', () => {
  test('soak at least one hour in warm water first', () => {
    for (const { soakMinutes } of firstCatalogue.fibres) isPractised(soakMinutes, 60)
    expect(bottled.steps[0]).toMatchObject({ key: 'soak', minutes: 60, atLeastMinutes: 60, place: 'soak tub' })
    expect(wordsOf(bottled, 'soak')).toContain('Soak in warm water')
  })

  test('take the ties off as they soften, so that dye reaches everything', () => {
    expect(bottled.steps.filter(step => step.tiesComeOff).map(step => step.key)).toEqual(['soak'])
    expect(wordsOf(bottled, 'soak')).toContain('Take the ties off as they soften, so that dye reaches everything')
  })

  test('keep the material under with a weight, which takes colour too', () => {
    expect(wordsOf(bottled, 'soak')).toContain('held under with a weight (which takes colour too)')
    expect(wordsOf(bottled, 'dye')).toContain('hold it under with a weight')
  })

  test('the label’s 30 to 60 minutes are not enough for bark: leave it overnight', () => {
    isPractised(substance('all-purpose-bottled').bath.minutes, 60)
    for (const bark of BARKS) {
      isPractised(fibre(bark).dyeMinutes, 720)
      const recipe = worked({ ...bottledDye, fibreId: bark })
      expect(stepKeys(recipe), bark).toEqual(['soak', 'dye', 'stand', 'rinse', 'dry'])
      const stand = { minutes: 720, atLeastMinutes: 660, mayStandOvernight: true, heat: false }
      expect(recipe.steps[2]).toMatchObject(stand)
      expect(wordsOf(recipe, 'stand')).toContain('not enough for bark')
    }
    expect(stepKeys(worked({ ...bottledDye, fibreId: 'flax' }))).not.toContain('stand')
  })

  test('fibre that is split after dyeing shows an undyed face, wanted only for two-coloured twisted work', () => {
    isRule('split-after', 'leaves an undyed face', /undyed face, wanted only for two-coloured twisted work/)
    expect(findingIds(worked({ ...bottledDye, conditions: ['split after dyeing'] }))).toContain('split-after')
    expect(findingIds(bottled)).not.toContain('split-after')
  })

  test('rinse again and again until the water runs clear, or next to it', () => {
    const rinse = bottled.steps.find(step => step.key === 'rinse')
    expect(rinse).toMatchObject({ minutes: null, hands: true, place: 'rinse' })
    expect(rinse?.words).toContain('again and again in fresh water, until it runs clear or next to it')
  })

  test('what does not rinse out stains the hands of a class', () => {
    isRule('class-use', 'try a strip first', /stains the hands of the class/)
    const recipe = worked({ ...bottledDye, purposes: ['class use'] })
    expect(findingIds(recipe)).toContain('class-use')
    expect(wordsOf(recipe, 'rinse')).toContain('stains the hands of the class')
  })

  test('what does not rinse out bleeds into a pattern when a finished basket gets wet, whatever the dye', () => {
    isRule('wet-use', 'try a strip first', /bleeds into the pattern when the basket gets wet/)
    const plant = { dyes: [dyed('weld')], mordants: [mordanted('potassium-alum')] }
    for (const job of [bottledDye, plant]) {
      const recipe = worked({ ...job, purposes: ['wet use'] })
      expect(findingIds(recipe)).toContain('wet-use')
      expect(wordsOf(recipe, 'rinse')).toContain('bleeds into the pattern')
    }
  })

  test('dry in the bundle’s shape; it goes stiff, and is soaked again before use', () => {
    expect(bottled.steps.at(-1)).toMatchObject({ key: 'dry', title: "Dry in the bundle's shape", place: 'drying line' })
    expect(wordsOf(bottled, 'dry')).toContain('It goes stiff, and is soaked again before use')
  })

  test('ties kept undyed show what the fibre looked like', () => {
    expect(wordsOf(worked({ ...bottledDye, tiesUndyed: true }), 'soak')).toContain(
      'They stay undyed, to show what the fibre looked like',
    )
    expect(wordsOf(bottled, 'soak')).not.toContain('undyed')
  })

  test('tie up from the thick end; the fine end of the strip can serve when a tie has gone missing', () => {
    expect(wordsOf(bottled, 'dry')).toContain(
      'Tie up from the thick end. If a tie has gone missing, the fine end of the strip itself can serve as one.',
    )
  })
})

describe('what gives which colour', () => {
  test('ferrous sulfate, powder or from rusty iron, gives silver to dark grey, darker with heat', () => {
    isRule('iron-grey', 'changes colour', /silver to dark grey, darker with heat/)
    for (const iron of ['ferrous-sulfate', 'rusty-iron-liquor'])
      expect(saidOf('red-cedar-inner-bark', iron), iron).toContain('iron-grey')
    expect(substance('ferrous-sulfate').words).toContain('silver to dark grey by itself, darker with heat')
    const grey = worked({ route: 'iron', dyes: [dyed('ferrous-sulfate')] })
    expect(stepKeys(grey)).toContain('iron')
  })

  test('iron with a little logwood gives a true black', () => {
    isRule('iron-grey', 'changes colour', /with a little logwood a true black/)
    const iron = { substanceId: 'ferrous-sulfate', when: 'after dye', bath: 1, owfPercent: null } as const
    const black = worked({ dyes: [dyed('logwood-chips')], mordants: [mordanted('potassium-alum'), iron] })
    expect(stepKeys(black)).toEqual(['soak', 'mordant', 'dye', 'iron', 'rinse', 'dry'])
    expect(black.dyeWords).toBe('logwood, chips on potassium alum then ferrous sulfate')
  })

  test('cochineal gives red and needs a high percentage', () => {
    isRule('cochineal-much', 'try a strip first', /red.*high percentage/)
    expect(saidOf('flax', 'cochineal')).toContain('cochineal-much')
    // Higher than any synthetic powder at the same depth.
    const medium = substance('cochineal').owfPercent.medium?.value ?? 0
    for (const { dyeClass, owfPercent } of firstCatalogue.substances)
      if (dyeClass === 'direct' || dyeClass === 'acid' || dyeClass === 'union')
        expect(medium).toBeGreaterThan(5 * (owfPercent.medium?.value ?? Number.NaN))
  })

  test('cochineal on bark goes brown with cream of tartar: alum and cochineal alone', () => {
    isRule('bark-cochineal-tartar', 'changes colour', /brown with cream of tartar: use alum and cochineal alone/)
    const job = { dyes: [dyed('cochineal')], mordants: [mordanted('potassium-alum')] }
    expect(findingIds(worked(job))).not.toContain('bark-cochineal-tartar')
    expect(findingIds(worked({ ...job, conditions: ['cream of tartar added'] }))).toContain('bark-cochineal-tartar')
    const tartar = { substanceId: 'cream-of-tartar', basis: '% owf', amount: 6 } as const
    expect(findingIds(worked({ ...job, extras: [tartar] }))).toContain('bark-cochineal-tartar')
  })

  test('Osage orange and weld give good yellows, onion skin hardly any', () => {
    isRule('bark-onion-skin', 'does not take', /hardly any colour on bark\. Weld and Osage orange give good yellows/)
    for (const bark of BARKS) {
      expect(saidOf(bark, 'onion-skin')).toContain('bark-onion-skin')
      for (const dye of ['weld', 'osage-orange-chips']) expect(saidOf(bark, dye)).not.toContain('bark-onion-skin')
    }
    expect(substance('weld').words).toContain('yellow')
    expect(substance('osage-orange-chips').words).toContain('yellow')
  })

  test('Oregon grape root gives a dull yellow', () => {
    isRule('bark-oregon-grape', 'changes colour', /dull yellow/)
    for (const bark of BARKS) expect(saidOf(bark, 'oregon-grape-root')).toContain('bark-oregon-grape')
  })

  test('logwood on alum gives purple', () => {
    isRule('logwood-alum', 'changes colour', /purple/)
    expect(saidOf('flax', 'logwood-extract', ['ammonium-alum'])).toContain('logwood-alum')
    expect(saidOf('flax', 'logwood-extract', ['ferrous-sulfate'])).not.toContain('logwood-alum')
  })

  test('indigo gives blue on yellow cedar’s inner bark, 20 minutes in and 20 out, in dips', () => {
    const recipe = worked({
      fibreId: 'yellow-cedar-inner-bark',
      route: 'indigo',
      dyes: [dyed('indigo-fructose-vat')],
      dips: 3,
    })
    expect(stepKeys(recipe)).toEqual(['soak', 'vat', 'dip', 'air', 'dip', 'air', 'dip', 'air', 'rinse', 'dry'])
    const dipsAndAirings = recipe.steps.filter(step => step.key === 'dip' || step.key === 'air')
    expect(dipsAndAirings.map(step => step.minutes)).toEqual([20, 20, 20, 20, 20, 20])
    for (const { vat } of firstCatalogue.substances.filter(one => one.dyeClass === 'indigo')) {
      isPractised(vat?.dipMinutes, 20)
      isPractised(vat?.airingMinutes, 20)
    }
    expect(findingIds(recipe)).not.toContain('red-cedar-indigo')
  })

  test('red cedar hardly takes indigo', () => {
    isRule('red-cedar-indigo', 'does not take', /Red cedar hardly takes indigo; .*yellow cedar it gives blue/)
    expect(saidOf('red-cedar-inner-bark', 'indigo-fructose-vat')).toContain('red-cedar-indigo')
  })
})

test('a lime and fructose vat: one part indigo, two of lime, three of fructose', () => {
  const vat = worked({ route: 'indigo', dyes: [dyed('indigo-fructose-vat', 5)], dryWeightG: 1000 })
  expect(lineOf(vat, 'stock:indigo-fructose-vat').amount).toBeCloseTo(50, 9)
  expect(lineOf(vat, 'stock:hydrated-lime').amount).toBeCloseTo(100, 9)
  expect(lineOf(vat, 'stock:fructose').amount).toBeCloseTo(150, 9)
})
