import { beforeEach, describe, expect, test } from 'vitest'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const PAGE = '/reckon/stock-solution'
const answerTo = async (query: string) => (await site.browser.json(`${PAGE}?${query}`)).body.answer

describe('a stock solution', () => {
  test('is reached from the recipe page, and reckons nothing yet', async () => {
    expect((await site.browser.get('/reckon')).text).toContain(`href="${PAGE}"`)
    const { text, status } = await site.browser.get(PAGE)
    expect(status).toBe(200)
    expect(text).not.toContain('There is a problem')
  })

  test('holds what is wanted in millilitres, at grams in a litre and at per cent', async () => {
    // By definition: 1 % w/v is 1 g in 100 mL, which is 10 g in a litre.
    const inGrams = await answerTo('weight=0.4+g&strength=10&unit=g%2FL')
    const inPercent = await answerTo('weight=0.4+g&strength=1&unit=%25+w%2Fv')
    expect(inGrams.portion.volumeMl).toBeCloseTo(40, 9)
    expect(inPercent.portion.volumeMl).toBeCloseTo(40, 9)
    expect(inPercent.portion.how.numbers).toBe('0.4 g ÷ 1 % w/v × 100 = 40 mL')
  })

  test('is made as large as the scale can weigh, with its spare, and opens to its formulas', async () => {
    const query = 'weight=0.4+g&strength=5&unit=%25+w%2Fv'
    const answer = await answerTo(query)
    // The scale shows whole grams: 10 g are weighed well, which is 200 mL of 5 %, and 220 mL with a tenth to spare.
    expect(answer).toMatchObject({ isTooLittleToWeigh: true, stepG: 1, make: { makeMl: 300, weighG: 15 } })
    const { text } = await site.browser.get(`${PAGE}?${query}`)
    expect(text).toContain('make it up with water to <strong>300 mL</strong>')
    expect(text).toContain('1 g ÷ 10 % × 100 = 10 g')
    expect(text).not.toContain('well enough as it is')
  })

  test('is not needed for what the scale weighs well, and says so', async () => {
    const query = 'weight=30+g&strength=20&unit=g%2FL&spare=0&round=250+mL'
    expect((await answerTo(query)).make).toMatchObject({ makeMl: 1500, weighG: 30 })
    expect((await site.browser.get(`${PAGE}?${query}`)).text).toContain('weighs 30 g well enough as it is')
  })

  test.each([
    ['weight=&strength=&unit=', ['weight', 'strength', 'unit'], ''],
    ['weight=4&strength=1&unit=g%2FL', ['weight'], '4'],
    ['weight=4+g&strength=0&unit=g%2FL&spare=101&round=5', ['strength', 'spare', 'round'], '101'],
    ['weight=4+g&strength=150&unit=%25+w%2Fv', ['strength'], '150'],
    [`weight=4+g&strength=${'9'.repeat(9000)}&unit=g%2FL`, ['strength'], '9'.repeat(9000)],
  ])('asked with %s says what is wrong at its field, at 422', async (query, fields, typed) => {
    const { text, status } = await site.browser.get(`${PAGE}?${query}`)
    expect(status).toBe(422)
    for (const field of fields) expect(text).toContain(`href="#${field}"`)
    expect(text).toContain(`value="${typed}"`)
  })
})
