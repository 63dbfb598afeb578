import { describe, expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { jobForLot } from '../../src/domain/job-for-lot.js'
import { careByStep, careOf, sheetLines, sheetSteps } from '../../src/domain/pot-sheet.js'
import type { Recipe, Route } from '../../src/domain/recipe.js'
import { linesByBath } from '../../src/domain/recipe-baths.js'
import { reckon } from '../../src/domain/reckon.js'

const recipeOf = (route: Route, dyeId: string): Recipe => {
  const lot = {
    fibreId: 'yellow-cedar-inner-bark',
    route,
    dyeId,
    tiesUndyed: false,
    against: '',
    conditions: [],
    purposes: [],
    bundles: [{ dryWeightG: 1000 }],
  }
  return reckon(jobForLot(lot, 'conditioned', firstCatalogue, null), firstCatalogue)
}
const weld = recipeOf('plant', 'weld')
const vat = recipeOf('indigo', 'indigo-fructose-vat')

test('what several steps ask alike is said once, and nothing is lost', () => {
  const [a, b, c] = ['Wear gloves.', 'Wear a mask.', 'Mind the lid.']
  const steps = [{ cautions: [] }, { cautions: [a, b] }, { cautions: [a, c] }]
  expect(careByStep(steps)).toEqual({ shared: [a], own: [[], [b], [c]] })
  const { shared, own } = careByStep(weld.steps)
  expect([...shared, ...own.flat()].sort()).toEqual([...careOf(weld)].sort())
})

describe('the steps on a pot sheet', () => {
  test('are the steps of the recipe, each a row of its own', () => {
    expect(sheetSteps(weld.steps)).toEqual(weld.steps.map(step => ({ kind: 'step', step })))
  })

  test('of a vat have one row for all its dips and airings, in their place', () => {
    const rows = sheetSteps(vat.steps)
    expect(rows.map(row => (row.kind === 'step' ? row.step.key : 'dips'))).toEqual([
      'soak',
      'vat',
      'dips',
      'rinse',
      'dry',
    ])
    const dips = rows.find(row => row.kind === 'dips')
    expect(dips?.kind === 'dips' && dips.dips).toEqual(vat.steps.filter(({ key }) => key === 'dip'))
    expect(dips?.kind === 'dips' && dips.airings).toEqual(vat.steps.filter(({ key }) => key === 'air'))
  })

  test('begin a new row of dips after another step', () => {
    const [dip, air, rinse] = ['dip', 'air', 'rinse'].map(key => vat.steps.find(step => step.key === key))
    if (!dip || !air || !rinse) throw new Error('the vat has no such steps')
    expect(sheetSteps([air, rinse, dip])).toEqual([
      { kind: 'dips', dips: [], airings: [air] },
      { kind: 'step', step: rinse },
      { kind: 'dips', dips: [dip], airings: [] },
    ])
  })
})

test('what was settled for the load stands in place of what was reckoned', () => {
  const [first, ...rest] = weld.lines
  if (!first) throw new Error('no lines')
  const lines = sheetLines(weld.lines, [{ key: first.key, amount: 123 }])
  expect(lines).toEqual([{ ...first, amount: 123 }, ...rest])
})

test('each care is said once, in the order of the steps', () => {
  const care = careOf(weld)
  expect(new Set(care).size).toBe(care.length)
  expect(care).toEqual(expect.arrayContaining(weld.steps.flatMap(({ cautions }) => cautions)))
  expect(care[0]).toBe(weld.steps.flatMap(({ cautions }) => cautions)[0])
})

describe('lines by bath', () => {
  test('are in the order of the baths, with the water of each', () => {
    const groups = linesByBath(weld)
    expect(groups.map(({ key, title }) => `${key}: ${title}`)).toEqual(['mordant-1: Mordant bath', 'dye: Dye bath'])
    expect(groups.map(({ bath }) => bath)).toEqual(weld.baths)
    expect(groups.flatMap(({ lines }) => lines)).toEqual(weld.lines)
  })

  test('leave no line out where nobody knows the water of its bath, and keep the stock before the vat', () => {
    expect(vat.baths.map(({ key }) => key)).toEqual(['vat'])
    const groups = linesByBath(vat)
    expect(groups.map(({ key, title, bath }) => [key, title, bath === null])).toEqual([
      ['stock', 'Stock for the vat', true],
      ['vat', 'Vat', false],
    ])
    expect(groups.flatMap(({ lines }) => lines)).toHaveLength(vat.lines.length)
  })

  test('keep every line of every first dye', () => {
    for (const { id, dyeClass } of firstCatalogue.substances) {
      if (dyeClass !== 'plant' && dyeClass !== 'indigo') continue
      const recipe = (() => {
        try {
          return recipeOf(dyeClass, id)
        } catch {
          return null
        }
      })()
      if (recipe)
        expect(
          linesByBath(recipe).flatMap(({ lines }) => lines),
          id,
        ).toHaveLength(recipe.lines.length)
    }
  })

  test('put a bath that is not known by name first when there is no vat', () => {
    const stray = { ...weld, lines: weld.lines.map(line => ({ ...line, bathKey: 'elsewhere' })) }
    expect(linesByBath(stray).map(({ key, title }) => `${key}: ${title}`)[0]).toBe('elsewhere: elsewhere')
  })
})
