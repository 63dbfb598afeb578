import { beforeEach, describe, expect, test } from 'vitest'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const PAGE = '/reckon/dry-weight'
const measured = 'damp.how=moisture&damp.percent=22&damp.of=oven-dry+weight'

describe('damp to dry', () => {
  test('asks, and reckons nothing yet', async () => {
    const page = await site.browser.get(PAGE)
    expect(page.status).toBe(200)
    expect(page.text).not.toContain('There is a problem')
    expect((await site.browser.json(PAGE)).body.answer).toBeNull()
  })

  test('is reached from the recipe page', async () => {
    expect((await site.browser.get('/reckon')).text).toContain(`href="${PAGE}"`)
  })

  test('by its moisture, at the regain of the fibre', async () => {
    const query = `${PAGE}?weight=122+g&fibreId=jute&${measured}`
    const { body } = await site.browser.json(query)
    // 122 g at 22 % hold 100 g without water (Wood Handbook 2021, Eq. 4-1); jute holds 13.75 % of that (ASTM D1909-13).
    expect(body.answer.dryWeightG).toBeCloseTo(113.75, 9)
    expect(body.answer).toMatchObject({ dampG: 122, words: '22 % moisture of the dry weight', notes: [] })
    const page = await site.browser.get(query)
    expect(page.text).toContain('122 g ÷ (1 + 22 % ÷ 100) × (1 + 13.75 % ÷ 100) = 113.75 g')
    expect(page.text).toContain('ASTM D1909-13')
    expect(page.text).toContain('at a regain of 13.75 %')
  })

  test('by the air it rested in, said to be a stand-in for bark', async () => {
    const query = `${PAGE}?weight=2+lb&fibreId=red-cedar-inner-bark&damp.how=air&damp.temperature=70+F&damp.humidity=65+%25`
    const { body } = await site.browser.json(query)
    // Wood Handbook 2010, Table 4-2: wood holds 12.0 % at 70 °F and 65 %, which is near enough the standard air.
    expect(body.answer.dryWeightG / (2 * 453.59237)).toBeCloseTo(1, 2)
    expect(body.answer.damp.temperatureC).toBeCloseTo(21.11, 2)
    const page = await site.browser.get(query)
    expect(page.text).toContain('standing in for bark')
    expect(page.text).toContain('The regain of red cedar inner bark is not known')
    expect(page.text).toContain('rested in air of 70 F and 65 % humidity')
  })

  test('asks no fibre where dry means without any water', async () => {
    await site.db.updateTable('workshop').set({ dry_basis: 'oven-dry' }).execute()
    expect((await site.browser.get(PAGE)).text).not.toContain('id="fibreId"')
    const { body } = await site.browser.json(`${PAGE}?weight=122+g&${measured}`)
    expect(body.answer.dryWeightG).toBeCloseTo(100, 9)
    expect(body.answer.basisWords).toBe('oven-dry weight: the fibre without any water')
  })

  test('stores nothing', async () => {
    const before = site.raw.serialize()
    await site.browser.get(`${PAGE}?weight=122+g&fibreId=jute&${measured}`)
    expect(site.raw.serialize().equals(before)).toBe(true)
  })

  test.each([
    ['weight=&damp.how=&fibreId=', ['weight', 'damp.how', 'fibreId'], ''],
    [`weight=180&fibreId=jute&${measured}`, ['weight'], '180'],
    ['weight=180+g&fibreId=jute&damp.how=moisture&damp.percent=&damp.of=damp+weight', ['damp.percent'], '180 g'],
    ['weight=180+g&fibreId=jute&damp.how=moisture&damp.percent=100&damp.of=damp+weight', ['damp.percent'], '100'],
    ['weight=180+g&fibreId=jute&damp.how=moisture&damp.percent=22', ['damp.of'], '22'],
    [
      'weight=180+g&fibreId=jute&damp.how=air&damp.temperature=200+C&damp.humidity=99',
      ['damp.temperature', 'damp.humidity'],
      '200 C',
    ],
    ['weight=180+g&fibreId=moon&damp.how=dry', ['fibreId', 'damp.how'], '180 g'],
    [`weight=${'9'.repeat(9000)}&fibreId=jute&${measured}`, ['weight'], '9'.repeat(9000)],
  ])('asked with %s says what is wrong on the same page, at 422', async (query, fields, typed) => {
    const page = await site.browser.get(`${PAGE}?${query}`)
    expect(page.status).toBe(422)
    for (const field of fields) expect(page.text).toContain(`href="#${field}"`)
    for (const field of fields) expect(page.text).toContain(`id="${field}"`)
    expect(page.text).toContain(`value="${typed}"`)
    const { body } = await site.browser.json(`${PAGE}?${query}`)
    expect(body.errors.map((error: { field: string }) => error.field).sort()).toEqual([...fields].sort())
  })
})
