import { beforeEach, describe, expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const BOTTLE = 'dyes.0.substanceId=all-purpose-bottled'

describe('the page that reckons without a lot', () => {
  test('asks for a fibre, a weight, a dye and a depth', async () => {
    const page = await site.browser.get('/reckon')
    expect(page.status).toBe(200)
    for (const { id } of firstCatalogue.fibres) expect(page.text).toContain(`value="${id}"`)
    expect(page.text).not.toContain('There is a problem')
  })

  test('says what 2 lb of raffia need', async () => {
    const { body, status } = await site.browser.json(`/reckon?fibreId=raffia&weight=2+lb&${BOTTLE}&depth=medium`)
    expect(status).toBe(200)
    expect(body.recipe.job.dryWeightG).toBeCloseTo(2 * 453.59237, 6)
    expect(body.recipe.job.route).toBe('label')
    // Common practice, no source: half a bottle to the pound of ordinary fibre.
    expect(body.recipe.lines[0].alsoShown).toEqual(['1 bottle'])
  })

  test('takes alum for a plant dye unless the dyer says otherwise', async () => {
    const short = await site.browser.json('/reckon?fibreId=flax&weight=1kg&dyes.0.substanceId=weld&depth=medium')
    expect(short.body.recipe.job.mordants.map((one: { substanceId: string }) => one.substanceId)).toEqual([
      'potassium-alum',
    ])
    const page = await site.browser.get('/reckon?fibreId=flax&weight=1kg&dyes.0.substanceId=weld&depth=medium')
    expect(page.text).toContain('<option value="potassium-alum" selected>')
    const whole = await site.browser.json(
      '/reckon?whole=yes&fibreId=flax&weight=1kg&dyes.0.substanceId=weld&depth=medium&tiesUndyed=yes',
    )
    expect(whole.body.recipe.job).toMatchObject({ mordants: [], tiesUndyed: true })
    expect(whole.body.recipe.findings.map((one: { ruleId: string }) => one.ruleId)).toContain('plant-no-mordant')
  })

  test('asks for a stock solution where the scale is too coarse', async () => {
    const page = await site.browser.get('/reckon?fibreId=flax&weight=10+g&dyes.0.substanceId=weld&depth=medium')
    // A quarter of the weight in alum is 2.5 g, on a scale that shows whole grams.
    expect(page.text).toContain('2.5 g is too little for a scale with steps of 1 g')
    expect(page.text).toContain('weigh 10 g, make it up with water to 200 mL, and measure off 50 mL')
  })

  test('stores nothing', async () => {
    const tables = ['recipe', 'history', 'press'] as const
    await site.browser.get(`/reckon?fibreId=raffia&weight=2+lb&${BOTTLE}&depth=medium`)
    for (const table of tables) expect(await site.db.selectFrom(table).selectAll().execute()).toEqual([])
  })

  test.each([
    [`fibreId=&weight=&dyes.0.substanceId=&depth=medium`, ['fibreId', 'weight', 'dyes.0.substanceId'], ''],
    [`fibreId=raffia&weight=2&${BOTTLE}`, ['weight'], '2'],
    [`fibreId=raffia&weight=-2+lb&${BOTTLE}`, ['weight'], '-2 lb'],
    [`fibreId=raffia&weight=900+kg&${BOTTLE}`, ['weight'], '900 kg'],
    [`fibreId=raffia&weight=0+g&${BOTTLE}`, ['weight'], '0 g'],
    [`fibreId=moon&weight=2+lb&${BOTTLE}`, ['fibreId'], 'moon'],
    [`fibreId=raffia&weight=2+lb&dyes.0.substanceId=chalk`, ['dyes.0.substanceId'], 'chalk'],
    [`fibreId=raffia&weight=2+lb&whole=yes&${BOTTLE}&dips=many`, ['dips'], 'many'],
    [`fibreId=raffia&weight=${'9'.repeat(3000)}&${BOTTLE}`, ['weight'], '9'.repeat(3000)],
    [
      'fibreId=raffia&weight=2+lb&dyes.0.substanceId=madder-root&dyes.1.substanceId=all-purpose-bottled',
      ['dyes.1.substanceId'],
      'all-purpose-bottled',
    ],
  ])('asked with %s says what is wrong on the same page, at 422', async (query, fields, typed) => {
    const page = await site.browser.get(`/reckon?${query}`)
    expect(page.status).toBe(422)
    for (const field of fields) {
      expect(page.text).toContain(`href="#${field}"`)
      expect(page.text).toContain(`id="${field}"`)
    }
    expect(page.text).toContain(`value="${typed}"`)
  })

  test('answers for every dye of the first catalogue, or says which figure it lacks, and shows every line', async () => {
    for (const { id, dyeClass, kind } of firstCatalogue.substances.filter(one => one.dyeClass !== null)) {
      const query = `/reckon?fibreId=flax&weight=1+kg&dyes.0.substanceId=${id}&depth=medium`
      const page = await site.browser.get(query)
      expect([200, 422], id).toContain(page.status)
      if (page.status === 422) {
        expect(page.text, id).toContain('not known: try a strip')
        expect(page.text, id).toContain('id="dyes.0.owfPercent"')
        continue
      }
      const { recipe } = (await site.browser.json(query)).body
      expect(recipe.lines.length, `${id} ${dyeClass} ${kind}`).toBeGreaterThan(0)
      const opened = page.text.match(/<details>/g)?.length
      expect(opened, id).toBe(recipe.lines.length + recipe.baths.length)
    }
  })
})

test.each([
  ['weight_g', 'fibreId=flax&weight_g=500&dyes.0.substanceId=weld'],
  ['dyeId', 'fibreId=flax&weight=500g&dyeId=weld'],
  ['mordants.0.amount', 'fibreId=flax&weight=500g&dyes.0.substanceId=weld&mordants.0.amount=3'],
])('a name that nobody knows, such as %s, is refused with those that are known', async (name, query) => {
  const site = await testApp()
  const answer = await site.browser.json(`/reckon?${query}`)
  expect(answer.status).toBe(422)
  expect(answer.body.recipe).toBeNull()
  expect(answer.body.errors[0].sentence).toContain(`Nothing here is called “${name}”`)
  expect(answer.body.errors[0].sentence).toContain('dyes.0.(substanceId, share, owfPercent)')
})
