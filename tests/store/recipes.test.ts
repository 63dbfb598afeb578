import { beforeEach, describe, expect, test } from 'vitest'
import { jobForLot } from '../../src/domain/job-for-lot.js'
import type { Recipe } from '../../src/domain/recipe.js'
import { reckon } from '../../src/domain/reckon.js'
import { readCatalogue } from '../../src/store/catalogue.js'
import { inOneStep } from '../../src/store/db.js'
import { findLot } from '../../src/store/lots.js'
import { findRecipe, keepRecipe, keptRecipe, loadOfRecipe, recipesOfLot } from '../../src/store/recipes.js'
import { takeInLot } from '../a-lot.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
let lotId: number
let recipe: Recipe
beforeEach(async () => {
  site = await testApp()
  lotId = await takeInLot(site)
  const lot = await findLot(site.db, lotId)
  if (!lot) throw new Error('no lot was taken in')
  const catalogue = await readCatalogue(site.db)
  recipe = reckon(jobForLot(lot, 'conditioned', catalogue, null), catalogue)
})

const keep = (kept: Recipe, partOf: number | null = null) =>
  inOneStep(site.db, trx => keepRecipe(trx, site.by, lotId, kept, partOf))

describe('a recipe that was kept', () => {
  test('is read back as it was, with who and when', async () => {
    const id = await keep(recipe)
    expect(await findRecipe(site.db, id)).toEqual({ id, lotId, partOf: null, madeAt: site.by.at, who: 'Wren', recipe })
    expect(await loadOfRecipe(site.db, id)).toBeUndefined()
  })

  test('is followed by another, and the newest counts', async () => {
    const first = await keep(recipe)
    const second = await keep({ ...recipe, depthWords: 'deeper' })
    expect((await keptRecipe(site.db, lotId))?.id).toBe(second)
    expect((await recipesOfLot(site.db, lotId)).map(({ id }) => id)).toEqual([first, second])
  })

  test('stays the one that counts when a load takes its share', async () => {
    const whole = await keep(recipe)
    const share = await keep({ ...recipe, job: { ...recipe.job, dryWeightG: 500 } }, whole)
    expect((await keptRecipe(site.db, lotId))?.id).toBe(whole)
    expect(await findRecipe(site.db, share)).toMatchObject({ partOf: whole, recipe: { job: { dryWeightG: 500 } } })
  })

  test('is one line of the history, and a share of it is none', async () => {
    const whole = await keep(recipe)
    await keep(recipe, whole)
    const told = await site.db.selectFrom('history').selectAll().where('lot_id', '=', lotId).orderBy('id').execute()
    expect(told.map(({ what }) => what).filter(what => what.includes('recipe'))).toEqual(['recipe kept'])
    expect(told.at(-1)).toMatchObject({ worker_id: site.workerId, at: site.by.at })
  })

  test('belongs to a lot that is there', async () => {
    await expect(inOneStep(site.db, trx => keepRecipe(trx, site.by, 99, recipe))).rejects.toThrow(
      'There is no such lot.',
    )
    expect(await keptRecipe(site.db, 99)).toBeUndefined()
    expect(await findRecipe(site.db, 99)).toBeUndefined()
  })
})
