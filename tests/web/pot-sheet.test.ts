import { beforeEach, describe, expect, test } from 'vitest'
import { inOneStep } from '../../src/store/db.js'
import { layLoad } from '../../src/store/loads.js'
import { findLot } from '../../src/store/lots.js'
import { addPot } from '../../src/store/pots.js'
import { keptRecipe, recipesOfLot } from '../../src/store/recipes.js'
import { bundle, takeInLot } from '../a-lot.js'
import { testApp } from '../helper.js'

/** Figures and their units hold together on paper; here any gap will do. */
const withPlainGaps = (text: string): string => text.replaceAll('\u00a0', ' ')

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

async function keepRecipeOf(lot: number): Promise<number> {
  const { body } = await site.browser.json(`/lots/${lot}/recipe`)
  await site.browser.post(`/lots/${lot}/recipe`, { ...body.keeps, shown: body.shown })
  const kept = await keptRecipe(site.db, lot)
  if (!kept) throw new Error('no recipe was kept')
  return kept.id
}

describe('the pot sheet', () => {
  test('has the lot, the wishes, every bundle, every amount, every step and the warnings', async () => {
    const lot = await takeInLot(site)
    const id = await keepRecipeOf(lot)
    const page = await site.browser.get(`/recipes/${id}/pot-sheet`)
    expect(page.status).toBe(200)
    for (const words of [`Lot ${lot}`, 'not near the dog', 'straw yellow', 'Wed 1 Apr 2026', '9 ties to the tie board'])
      expect(withPlainGaps(page.text)).toContain(words)
    for (const words of ['3 ties, 500 g', '3 ties, 300 g', '3 ties, 200 g', '250 g', '1000 g', '20 L'])
      expect(withPlainGaps(page.text)).toContain(words)
    const { recipe, steps } = (await site.browser.json(`/recipes/${id}/pot-sheet`)).body
    for (const { title } of recipe.steps) expect(withPlainGaps(page.text)).toContain(title.replaceAll("'", '&#39;'))
    expect(steps).toHaveLength(recipe.steps.length)
    expect(withPlainGaps(page.text)).toContain('soda crystals <strong class="signal">Warning')
    expect(withPlainGaps(page.text)).toContain('safety data sheet and local rules decide')
    expect(withPlainGaps(page.text)).toContain('Ask the local sewer authority')
    expect(withPlainGaps(page.text)).not.toContain('aria-label="The workshop"')
  })

  test('of a load has its pot, its own bundles and what was settled for it', async () => {
    const lot = await takeInLot(site, { bundles: [bundle(333.3), bundle(333.3), bundle(333.3)] })
    await keepRecipeOf(lot)
    const pot = { name: 'Pot 2', usableMl: 30_000, usableTyped: '30 L', metal: 'steel', note: '', outOfUse: false }
    await inOneStep(site.db, async trx => {
      const potId = await addPot(trx, site.by, pot)
      const { bundles } = (await findLot(trx, lot)) ?? { bundles: [] }
      await layLoad(trx, site.by, { potId, bundleIds: bundles.slice(0, 2).map(one => one.id) })
    })
    const share = (await recipesOfLot(site.db, lot)).at(-1)
    const page = await site.browser.get(`/recipes/${share?.id}/pot-sheet`)
    expect(withPlainGaps(page.text)).toContain('Pot 2')
    expect(withPlainGaps(page.text)).toContain('2 bundles · 6 ties')
    // Two of three bundles: 166.65 g of alum, on a scale that shows whole grams.
    expect(withPlainGaps(page.text)).toMatch(/167 g<\/td><td>potassium alum/)
  })

  test('is set for the paper of the workshop', async () => {
    const id = await keepRecipeOf(await takeInLot(site))
    expect((await site.browser.get(`/recipes/${id}/pot-sheet`)).text).toContain('<body class="a4">')
    await site.db.updateTable('workshop').set({ slip_paper: 'Letter' }).execute()
    expect((await site.browser.get(`/recipes/${id}/pot-sheet`)).text).toContain('<body class="letter">')
  })

  test('of a vat has its stock, and boxes for each dip', async () => {
    const id = await keepRecipeOf(
      await takeInLot(site, { fibreId: 'yellow-cedar-inner-bark', route: 'indigo', dyeId: 'indigo-fructose-vat' }),
    )
    const page = await site.browser.get(`/recipes/${id}/pot-sheet`)
    expect(withPlainGaps(page.text)).toContain('Stock for the vat')
    expect(withPlainGaps(page.text)).toMatch(/100 g<\/td><td>hydrated lime <strong class="signal">Danger/)
    expect(page.text.match(/: in <span class="box"/g)).toHaveLength(4)
  })
})
