import { beforeEach, describe, expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { keptRecipe } from '../../src/store/recipes.js'
import { takeInLot } from '../a-lot.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const LIQUOR = '/catalogue/flax/edit?figure=liquorRatioLPerKg'
const thirty = { value: '30', kind: 'own experience', source: 'trial of 12 June', why: 'it felted at 20', version: 1 }

type Shown = {
  path: string
  label: string
  usedFor: string
  figure: { value: number; provenance: { kind: string; source: string } } | null
}
const figuresIn = ({ groups }: { groups: { figures: Shown[] }[] }): Shown[] => groups.flatMap(({ figures }) => figures)
const figureOf = async (id: string, path: string): Promise<Shown | undefined> =>
  figuresIn((await site.browser.json(`/catalogue/${id}`)).body).find(one => one.path === path)

async function keepRecipeOf(lot: number): Promise<void> {
  const { body } = await site.browser.json(`/lots/${lot}/recipe`)
  const answer = await site.browser.post(`/lots/${lot}/recipe`, { ...body.keeps, shown: body.shown })
  expect(answer.status).toBe(303)
}

describe('the catalogue', () => {
  test('lists every fibre, substance and rule', async () => {
    const page = await site.browser.get('/catalogue')
    expect(page.status).toBe(200)
    const all = [...firstCatalogue.fibres, ...firstCatalogue.substances, ...firstCatalogue.rules]
    for (const { id } of all) expect(page.text).toContain(`href="/catalogue/${id}"`)
    expect((await site.browser.json('/catalogue')).body.entries).toHaveLength(all.length)
  })

  test('has a page for every entry, with a source beside every figure that is known', async () => {
    for (const { id } of [...firstCatalogue.fibres, ...firstCatalogue.substances, ...firstCatalogue.rules]) {
      const page = await site.browser.get(`/catalogue/${id}`)
      expect(page.status, id).toBe(200)
      for (const { figure, usedFor } of figuresIn((await site.browser.json(`/catalogue/${id}`)).body)) {
        expect(usedFor, id).not.toBe('')
        if (figure) expect(figure.provenance.source, id).not.toBe('')
      }
    }
  })

  test('says what uses an entry', async () => {
    const lot = await takeInLot(site)
    const { body } = await site.browser.json('/catalogue/flax')
    const here = { id: lot, colour: 'straw yellow', client: 'Ilka Fenn', asFibre: true, asDye: false }
    expect(body.lots).toEqual({ all: 1, here: [{ ...here, inRecipe: false, recipeKeptAt: null }] })
    expect(body.rules.map(({ id }: { id: string }) => id)).toContain('acid-on-bast')
    const soda = (await site.browser.json('/catalogue/soda-crystals')).body
    expect(soda.askedForBy.map(({ id }: { id: string }) => id)).toContain('potassium-alum')
  })

  test('has nothing at an address that is no entry, and no such figure', async () => {
    expect((await site.browser.get('/catalogue/no-such-thing')).status).toBe(404)
    expect((await site.browser.get('/catalogue/flax/edit?figure=colour')).status).toBe(404)
    expect((await site.browser.get('/catalogue/red-cedar-indigo/edit?figure=words')).status).toBe(404)
  })
})

describe('a figure', () => {
  test('is corrected with its source and a reason, and the correction can be read back', async () => {
    expect((await site.browser.post(LIQUOR, thirty)).status).toBe(303)
    expect((await figureOf('flax', 'liquorRatioLPerKg'))?.figure).toEqual({
      value: 30,
      provenance: { kind: 'own experience', source: 'trial of 12 June' },
    })
    const { changes } = (await site.browser.json('/catalogue/flax')).body
    expect(changes[0]).toMatchObject({ who: 'Wren', why: 'it felted at 20' })
    expect(changes[0].fields).toHaveLength(1)
    expect(changes[0].fields[0]).toMatchObject({
      label: 'liquor ratio',
      became: '30 L/kg (own experience: trial of 12 June)',
    })
    expect((await site.browser.get('/catalogue/flax')).text).toContain('it felted at 20')
  })

  test('that is corrected changes the next recipe, and not the one that was kept', async () => {
    const lot = await takeInLot(site)
    await keepRecipeOf(lot)
    await site.browser.post(LIQUOR, thirty)
    expect((await keptRecipe(site.db, lot))?.recipe.waterL).toBeCloseTo(20, 9)
    const shown = await site.browser.json(`/lots/${lot}/recipe`)
    expect(shown.body.recipe.waterL).toBeCloseTo(20, 9)
    expect(shown.body.changed).toContain('the water')
    const query = 'depth=medium&dyes.0.substanceId=weld&mordants.0.substanceId=potassium-alum'
    const next = await site.browser.json(`/lots/${lot}/recipe?${query}`)
    expect(next.body.recipe.waterL).toBeCloseTo(30, 9)
    expect(JSON.stringify(next.body.recipe.waterHow)).toContain('trial of 12 June')
  })

  test('can be put back to not known, and then a recipe asks for it', async () => {
    const answer = await site.browser.post(LIQUOR, {
      notKnown: 'yes',
      value: '20',
      why: 'taken from cotton',
      version: 1,
    })
    expect(answer.status).toBe(303)
    expect((await figureOf('flax', 'liquorRatioLPerKg'))?.figure).toBeNull()
    const lot = await takeInLot(site)
    const page = await site.browser.get(`/lots/${lot}/recipe`)
    expect(page.text).toContain('not known: try a strip')
    expect(page.text).toContain('href="#liquorRatioLPerKg"')
  })

  test.each([
    ['no figure', { value: '' }, 'value'],
    ['words', { value: 'plenty' }, 'value'],
    ['another unit', { value: '30 kg' }, 'value'],
    ['too small a figure', { value: '1' }, 'value'],
    ['too large a figure', { value: '900' }, 'value'],
    ['a figure below nothing', { value: '-20' }, 'value'],
    ['no source', { source: ' ' }, 'source'],
    ['no kind of source', { kind: 'hearsay' }, 'kind'],
    ['no reason', { why: '' }, 'why'],
    ['10,000 characters of source', { source: 's'.repeat(10_000) }, 'source'],
    ['10,000 digits', { value: '3'.repeat(10_000) }, 'value'],
  ])('is not changed with %s: the page comes back with what was typed', async (_, wrong, field) => {
    const answer = await site.browser.post(LIQUOR, { ...thirty, ...wrong })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain(`href="#${field}"`)
    expect(answer.text).toContain('it felted at 20'.slice(0, field === 'why' ? 0 : 15))
    // A radio button that is not offered is not shown again; everything else is.
    if (field !== 'kind') for (const typed of Object.values(wrong)) expect(answer.text).toContain(typed.trim())
    expect((await figureOf('flax', 'liquorRatioLPerKg'))?.figure?.value).toBe(20)
  })

  test('sent empty comes back, and a figure with its unit typed after it is taken', async () => {
    expect((await site.browser.post(LIQUOR, {})).status).toBe(422)
    expect((await site.browser.post(LIQUOR, { ...thirty, value: '30 L/kg' })).status).toBe(303)
  })

  test('corrected from two devices: the second is told, and nothing is overwritten', async () => {
    await site.browser.post(LIQUOR, thirty)
    const second = await site.browser.post(LIQUOR, { ...thirty, value: '25' })
    expect(second.status).toBe(409)
    expect(second.text).toContain('30 L/kg')
    expect((await figureOf('flax', 'liquorRatioLPerKg'))?.figure?.value).toBe(30)
  })

  test('sent as it stands changes nothing', async () => {
    const stands = (await figureOf('flax', 'liquorRatioLPerKg'))?.figure
    const same = { ...thirty, value: '20', ...stands?.provenance }
    expect((await site.browser.post(LIQUOR, same)).status).toBe(303)
    expect((await site.browser.json('/catalogue/flax')).body.version).toBe(1)
  })
})

describe('withdrawing', () => {
  test('takes an entry out of the choices with a reason, and it can be brought back', async () => {
    expect((await site.browser.post('/catalogue/weld/withdrawal', { why: 'no more of it', version: 1 })).status).toBe(
      303,
    )
    expect((await site.browser.get('/reckon')).text).not.toContain('value="weld"')
    expect((await site.browser.get('/catalogue/weld')).text).toContain('no more of it')
    await site.browser.post('/catalogue/weld/withdrawal', { why: 'a new harvest', version: 2 })
    expect((await site.browser.get('/reckon')).text).toContain('value="weld"')
  })

  test('is refused while a lot of it is here', async () => {
    await takeInLot(site)
    const answer = await site.browser.post('/catalogue/flax/withdrawal', { why: 'a slip', version: 1 })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('a lot that is here')
  })

  test('is refused while it is in the recipe of a lot that is here', async () => {
    const lot = await takeInLot(site)
    await keepRecipeOf(lot)
    const alum = (await site.browser.json('/catalogue/potassium-alum')).body
    expect(alum.lots.here).toEqual([expect.objectContaining({ id: lot, asFibre: false, asDye: false, inRecipe: true })])
    const answer = await site.browser.post('/catalogue/potassium-alum/withdrawal', { why: 'a slip', version: 1 })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('needed by a lot that is here')
  })

  test('is refused while something else asks for it, and something is not brought back without what it asks for', async () => {
    const chalk = await site.browser.post('/catalogue/chalk/withdrawal', { why: 'none left', version: 1 })
    expect(chalk.status).toBe(422)
    expect(chalk.text).toContain('“chalk” goes with weld, dried plant')
    await site.browser.post('/catalogue/weld/withdrawal', { why: 'none left', version: 1 })
    expect((await site.browser.post('/catalogue/chalk/withdrawal', { why: 'none left', version: 1 })).status).toBe(303)
    const back = await site.browser.post('/catalogue/weld/withdrawal', { why: 'a harvest', version: 2 })
    expect(back.status).toBe(422)
    expect(back.text).toContain('chalk')
    await site.browser.post('/catalogue/chalk/withdrawal', { why: 'bought', version: 2 })
    expect((await site.browser.post('/catalogue/weld/withdrawal', { why: 'a harvest', version: 2 })).status).toBe(303)
  })

  test('of a rule that was said to a recipe is told with its lots, and goes', async () => {
    const lot = await takeInLot(site, { route: 'iron', dyeId: 'ferrous-sulfate' })
    const { body } = await site.browser.json(`/lots/${lot}/recipe`)
    const reasons = body.recipe.findings.flatMap(({ ruleId }: { ruleId: string }, n: number) => [
      [`reasons.${n}.ruleId`, ruleId],
      [`reasons.${n}.words`, 'the client knows'],
    ])
    const kept = await site.browser.post(`/lots/${lot}/recipe`, {
      ...body.keeps,
      ...Object.fromEntries(reasons),
      shown: body.shown,
    })
    expect(kept.status).toBe(303)
    const rule = (await site.browser.json('/catalogue/iron-alone-weakens')).body
    expect(rule.lots.here).toEqual([expect.objectContaining({ id: lot, inRecipe: true })])
    const gone = await site.browser.post('/catalogue/iron-alone-weakens/withdrawal', { why: 'a trial', version: 1 })
    expect(gone.status).toBe(303)
  })
})
