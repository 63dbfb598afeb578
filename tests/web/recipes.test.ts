import { beforeEach, describe, expect, test } from 'vitest'
import { readCatalogue } from '../../src/store/catalogue.js'
import { inOneStep } from '../../src/store/db.js'
import { beginNextStep, layLoad, noteAddition } from '../../src/store/loads.js'
import { addPot } from '../../src/store/pots.js'
import { keptRecipe, recipesOfLot } from '../../src/store/recipes.js'
import { bundle, takeInLot } from '../a-lot.js'
import { newKey, testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

/** The fields of the form that keeps the shown recipe, as a browser would send them. */
async function keepForm(url: string): Promise<Record<string, string>> {
  const { text } = await site.browser.get(url)
  const form = /<form method="post"[\s\S]*?<\/form>/.exec(text)?.[0] ?? ''
  const hidden = [...form.matchAll(/<input type="hidden" name="([^"]+)" value="([^"]*)">/g)]
  const written = [...form.matchAll(/<textarea id="([^"]+)"[^>]*>\n([^<]*)<\/textarea>/g)]
  return Object.fromEntries([...hidden, ...written].map(([, name = '', value = '']) => [name, value]))
}

const keep = async (lot: number, query = '', more: Record<string, string> = {}) =>
  site.browser.post(`/lots/${lot}/recipe`, { ...(await keepForm(`/lots/${lot}/recipe${query}`)), ...more })

const amountOf = (recipe: { lines: { substanceId: string; amount: number }[] }, substanceId: string) =>
  recipe.lines.find(line => line.substanceId === substanceId)?.amount

const WELD_AND_ALUM = 'dyes.0.substanceId=weld&dyes.0.share=1&mordants.0.substanceId=potassium-alum'

describe('the recipe of a lot', () => {
  test('is worked out for the lot as it stands, on alum, from its summed dry weight', async () => {
    const lot = await takeInLot(site)
    const { body } = await site.browser.json(`/lots/${lot}/recipe`)
    expect(body.dryWeightG).toBe(1000)
    expect(body.isKept).toBe(false)
    expect(body.recipe.job).toMatchObject({ dryWeightG: 1000, dryBasis: 'conditioned', route: 'plant', depth: 1 })
    // Mairet 1916, ch. X: alum, a quarter of the weight of cotton or linen.
    expect(amountOf(body.recipe, 'potassium-alum')).toBeCloseTo(250, 9)
  })

  test('opens every line to its formula, its numbers and where each figure comes from', async () => {
    const lot = await takeInLot(site)
    const page = await site.browser.get(`/lots/${lot}/recipe`)
    const { recipe } = (await site.browser.json(`/lots/${lot}/recipe`)).body
    expect(page.text.match(/<details>/g)).toHaveLength(recipe.lines.length + recipe.baths.length)
    expect(page.text).toContain('1000 g × 25 % owf = 250 g')
    expect(page.text).toContain('handbook: Mairet 1916, ch. X')
    expect(page.text).toContain('safety data sheet and local rules decide')
    expect(page.text).toContain('not near the dog')
  })

  test('is worked out again with other answers, and nothing is saved by that', async () => {
    const lot = await takeInLot(site)
    const url = `/lots/${lot}/recipe?depth=deep&${WELD_AND_ALUM}&liquorRatioLPerKg=30&conditions.hardWater=yes&purposes.classUse=yes`
    const { body, status } = await site.browser.json(url)
    expect(status).toBe(200)
    expect(body.recipe.job).toMatchObject({
      depth: 2,
      liquorRatioLPerKg: 30,
      conditions: ['hard water'],
      purposes: ['class use'],
    })
    expect(body.recipe.waterL).toBeCloseTo(30, 9)
    expect(await recipesOfLot(site.db, lot)).toEqual([])
  })

  test('takes several dyes by their shares, in rows that close up', async () => {
    const lot = await takeInLot(site)
    const rows =
      'dyes.0.substanceId=&dyes.1.substanceId=weld&dyes.1.share=3&dyes.4.substanceId=madder-root&dyes.4.share='
    const { body } = await site.browser.json(`/lots/${lot}/recipe?depth=another&depthFactor=0,8&${rows}`)
    expect(body.recipe.job.depth).toBe(0.8)
    expect(body.recipe.job.dyes).toEqual([
      { substanceId: 'weld', share: 3, owfPercent: null },
      { substanceId: 'madder-root', share: 1, owfPercent: null },
    ])
  })

  test.each([
    ['depth=another&depthFactor=', 'depthFactor', ''],
    ['depth=another&depthFactor=99', 'depth', '99'],
    ['depth=medium', 'dyes', ''],
    [`depth=medium&${WELD_AND_ALUM}&liquorRatioLPerKg=plenty`, 'liquorRatioLPerKg', 'plenty'],
    [`depth=medium&${WELD_AND_ALUM}&mordants.0.owfPercent=-4`, 'mordants.0.owfPercent', '-4'],
    [`depth=medium&${WELD_AND_ALUM}&mordants.0.bath=1.5`, 'mordants.0.bath', '1.5'],
    [`depth=medium&${WELD_AND_ALUM}&dyes.1.share=2`, 'dyes.1.substanceId', '2'],
    [`depth=medium&${WELD_AND_ALUM}&extras.0.substanceId=chalk&extras.0.amount=`, 'extras.0.amount', ''],
    [`depth=medium&dyes.0.substanceId=no-such-dye`, 'dyes.0.substanceId', 'no-such-dye'],
    [`depth=medium&dyes.0.substanceId=all-purpose-bottled`, 'dyes.0.substanceId', 'all-purpose-bottled'],
    [`depth=medium&${WELD_AND_ALUM}&liquorRatioLPerKg=${'9'.repeat(3000)}`, 'liquorRatioLPerKg', '9'.repeat(3000)],
  ])('asked with %s says what is wrong at its field, with what was typed', async (query, field, typed) => {
    const lot = await takeInLot(site)
    const page = await site.browser.get(`/lots/${lot}/recipe?${query}`)
    expect(page.status).toBe(422)
    expect(page.text).toContain(`href="#${field}"`)
    expect(page.text).toContain(`id="${field}"`)
    expect(page.text).toContain(`value="${typed}"`)
  })

  test('kept is frozen, with who and when, and another may follow it', async () => {
    const lot = await takeInLot(site)
    const answer = await keep(lot)
    expect(answer.status).toBe(303)
    expect(answer.headers.location).toBe(`/lots/${lot}/recipe`)
    const page = await site.browser.get(`/lots/${lot}/recipe`)
    expect(page.text).toContain('Kept by Wren, today 09:00')
    expect(page.text).toContain(`href="/lots/${lot}/load"`)
    const first = await keptRecipe(site.db, lot)
    expect(first?.recipe.job.depth).toBe(1)

    await keep(lot, `?depth=deep&${WELD_AND_ALUM}`)
    const second = await keptRecipe(site.db, lot)
    expect(second?.recipe.job.depth).toBe(2)
    expect((await recipesOfLot(site.db, lot)).map(one => one.recipe.job.depth)).toEqual([1, 2])
    const old = await site.browser.get(`/recipes/${first?.id}`)
    expect(old.text).toContain('1 (medium)')
  })

  test('kept by one form pressed twice is one recipe', async () => {
    const lot = await takeInLot(site)
    const form = { ...(await keepForm(`/lots/${lot}/recipe`)), key: newKey() }
    const answers = [
      await site.browser.post(`/lots/${lot}/recipe`, form),
      await site.browser.post(`/lots/${lot}/recipe`, form),
    ]
    expect(answers.map(({ status }) => status)).toEqual([303, 303])
    expect(await recipesOfLot(site.db, lot)).toHaveLength(1)
  })

  test('is told in the history of the lot', async () => {
    const lot = await takeInLot(site)
    await keep(lot)
    const told = await site.db
      .selectFrom('history')
      .selectAll()
      .where('lot_id', '=', lot)
      .where('what', '=', 'recipe kept')
      .execute()
    expect(told).toHaveLength(1)
    expect(told[0]?.words).toContain('weld')
  })

  test('is not kept when a bundle or a figure changed since it was shown', async () => {
    const lot = await takeInLot(site)
    const form = await keepForm(`/lots/${lot}/recipe`)
    const right = { 'bundles.1.weight': '600 g', why: 'weighed again', version: '1' }
    expect((await site.browser.post(`/lots/${lot}/put-right`, right)).status).toBe(303)
    const answer = await site.browser.post(`/lots/${lot}/recipe`, form)
    expect(answer.status).toBe(409)
    expect(answer.text).toContain('was changed since this page was shown')
    expect(await recipesOfLot(site.db, lot)).toEqual([])
    expect((await site.browser.post(`/lots/${lot}/recipe`, await keepForm(`/lots/${lot}/recipe`))).status).toBe(303)
  })

  test('that goes against a rule is kept only with a reason, which stays with it', async () => {
    const lot = await takeInLot(site, {
      fibreId: 'red-cedar-inner-bark',
      route: 'indigo',
      dyeId: 'indigo-fructose-vat',
    })
    const refused = await keep(lot)
    expect(refused.status).toBe(422)
    expect(refused.text).toContain('href="#reasons.0.words"')
    expect(await recipesOfLot(site.db, lot)).toEqual([])
    const long = await keep(lot, '', { 'reasons.0.words': 'x'.repeat(10_000) })
    expect(long.status).toBe(422)
    expect(long.text).toContain('x'.repeat(10_000))
    expect((await keep(lot, '', { 'reasons.0.words': 'a faint grey is wanted' })).status).toBe(303)
    const kept = await keptRecipe(site.db, lot)
    expect(kept?.recipe.findings.find(({ ruleId }) => ruleId === 'red-cedar-indigo')?.reason).toBe(
      'a faint grey is wanted',
    )
    expect((await site.browser.get(`/lots/${lot}/recipe`)).text).toContain('a faint grey is wanted')
  })

  test('takes the reason that was given at drop-off', async () => {
    const lot = await takeInLot(site, {
      fibreId: 'red-cedar-inner-bark',
      route: 'indigo',
      dyeId: 'indigo-fructose-vat',
      against: 'the client wants to see it',
    })
    expect((await keep(lot)).status).toBe(303)
    expect((await keptRecipe(site.db, lot))?.recipe.job.reasons[0]?.words).toBe('the client wants to see it')
  })

  test.each([
    ['nothing', {}],
    ['nonsense', { depth: 'purple', 'dyes.0.substanceId': '☃', 'mordants.0.bath': 'two', shown: 'x' }],
    [
      '10,000 characters',
      { depth: 'another', depthFactor: '7'.repeat(10_000), 'dyes.0.substanceId': 'weld', shown: 'x' },
    ],
  ])('sent with %s is not kept, and comes back with what was typed', async (_, fields) => {
    const lot = await takeInLot(site)
    const answer = await site.browser.post(`/lots/${lot}/recipe`, fields)
    expect(answer.status).toBe(422)
    for (const [name, value] of Object.entries(fields))
      if (name !== 'shown' && name !== 'depth') expect(answer.text).toContain(value)
    expect(await recipesOfLot(site.db, lot)).toEqual([])
  })

  test('for a repeat is rebuilt for the new weight from what was really used', async () => {
    const first = await takeInLot(site)
    await keep(first)
    await dye(first, 'weld', 1200)
    const lot = await takeInLot(site, { repeatsLotId: first, bundles: [bundle(900), bundle(900)] })
    const { body } = await site.browser.json(`/lots/${lot}/recipe`)
    expect(body.recipe.job.usedRates).toHaveLength(body.used.length)
    expect(body.used.find((rate: { substanceId: string }) => rate.substanceId === 'weld')?.perKg).toBeCloseTo(2200, 6)
    expect(amountOf(body.recipe, 'weld')).toBeCloseTo(2200 * 1.8, 6)
    const afresh = await site.browser.json(`/lots/${lot}/recipe?depth=medium&amounts=afresh&${WELD_AND_ALUM}`)
    expect(amountOf(afresh.body.recipe, 'weld')).toBeCloseTo(1800, 6)
  })

  test('for a repeat says what came out last time', async () => {
    const first = await takeInLot(site)
    const words = {
      'outcome.nearness': 'nearly as asked',
      'outcome.words': 'a shade browner',
      'outcome.swatch': '#a08030',
    }
    expect((await site.browser.post(`/lots/${first}/outcome`, words)).status).toBe(303)
    const lot = await takeInLot(site, { repeatsLotId: first })
    const page = await site.browser.get(`/lots/${lot}/recipe`)
    expect(page.text).toMatch(/Last time, .*lot 1.* came out <strong>nearly as asked<\/strong>: “a shade browner”/)
    expect((await site.browser.get(`/lots/${first}/recipe`)).text).not.toContain('Last time')
  })

  test('of a lot or a number that does not exist is not found', async () => {
    for (const url of ['/lots/99/recipe', '/recipes/99', '/lots/x/recipe', '/recipes/99/pot-sheet'])
      expect((await site.browser.get(url)).status, url).toBe(404)
  })

  test('that cannot be reckoned as it stands says so and offers the form', async () => {
    const lot = await takeInLot(site, { dyeId: 'black-walnut-hulls' })
    const known = (await readCatalogue(site.db)).substances.find(({ id }) => id === 'black-walnut-hulls')?.owfPercent
      .medium
    const page = await site.browser.get(`/lots/${lot}/recipe`)
    expect(page.status).toBe(200)
    expect(page.text.includes('not known: try a strip')).toBe(known === null)
    expect(page.text).toContain('Work it out again')
  })
})

/** All bundles of a lot in one pot, begun, with something added to its bath. */
async function dye(lotId: number, substanceId: string, amount: number): Promise<void> {
  const { db, by } = site
  await inOneStep(db, async trx => {
    const pot = { name: 'Pot 1', usableMl: 60_000, usableTyped: '60 L', metal: 'steel', note: '', outOfUse: false }
    const bundles = await trx.selectFrom('bundle').select('id').where('lot_id', '=', lotId).execute()
    const potId = await addPot(trx, by, pot)
    const loadId = await layLoad(trx, by, { potId, bundleIds: bundles.map(({ id }) => id) })
    await beginNextStep(trx, by, { loadId, version: 1 })
    await noteAddition(trx, by, { loadId, substanceId, amount, unit: 'g', typed: `${amount} g`, why: 'not taking' })
  })
}
