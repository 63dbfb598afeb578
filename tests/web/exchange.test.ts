import { beforeEach, describe, expect, test } from 'vitest'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const answerTo = async (url: string) => (await site.browser.json(url)).body.answer

describe('one salt for another', () => {
  const page = '/reckon/exchange'

  test('is reached from the recipe page, offers what the catalogue weighs, and reckons nothing yet', async () => {
    expect((await site.browser.get('/reckon')).text).toContain(`href="${page}"`)
    const { text, status } = await site.browser.get(page)
    expect(status).toBe(200)
    expect(text).toContain('<option value="ammonium-alum">ammonium alum (NH4Al(SO4)2·12H2O)</option>')
    expect(text).not.toContain('There is a problem')
  })

  test('for the same aluminium', async () => {
    const query = `${page}?weight=100+g&from=potassium-alum&to=ammonium-alum&by=metal`
    const answer = await answerTo(query)
    // 453.326 over 474.372 g/mol, both with one aluminium, from the atomic weights of CIAAW/IUPAC 2021.
    expect(answer.to.weightG).toBeCloseTo(95.563, 2)
    expect(answer).toMatchObject({ metal: 'aluminium', by: 'metal', from: { weightG: 100, name: 'potassium alum' } })
    const { text } = await site.browser.get(query)
    expect(text).toContain('take <strong>96 g</strong> of ammonium alum instead, for the same aluminium')
    expect(text).toContain('CIAAW/IUPAC standard atomic weights 2021')
  })

  test('mole for mole, soda crystals for soda ash', async () => {
    const answer = await answerTo(`${page}?weight=100+g&from=soda-ash&to=soda-crystals&by=mole`)
    // 286.138 over 105.988 g/mol: ten moles of water more.
    expect(answer.to.weightG).toBeCloseTo(269.97, 1)
    expect(answer.metal).toBeNull()
  })

  test('that is too little for the scale says how to measure it', async () => {
    const { text } = await site.browser.get(`${page}?weight=5+g&from=potassium-alum&to=ammonium-alum&by=metal`)
    expect(text).toContain('is too little for a scale with steps of 1 g')
  })

  test.each([
    ['weight=&from=&to=&by=', ['weight', 'from', 'to', 'by'], ''],
    ['weight=12&from=soda-ash&to=soda-crystals&by=mole', ['weight'], '12'],
    ['weight=12+g&from=soda-ash&to=soda-crystals&by=metal', ['to'], '12 g'],
    ['weight=12+g&from=moon&to=soda-crystals&by=weight', ['from', 'by'], 'moon'],
    [`weight=${'x'.repeat(9000)}&from=soda-ash&to=soda-crystals&by=mole`, ['weight'], 'x'.repeat(9000)],
  ])('asked with %s says what is wrong at its field, at 422', async (query, fields, typed) => {
    const { text, status } = await site.browser.get(`${page}?${query}`)
    expect(status).toBe(422)
    for (const field of fields) expect(text).toContain(`href="#${field}"`)
    expect(text).toContain(`value="${typed}"`)
  })
})

describe('a new tin of dye', () => {
  const page = '/reckon/dye-lots'

  test('by the strengths that are told', async () => {
    const answer = await answerTo(`${page}?by=strength&weight=10+g&oldStrength=100&newStrength=80+%25`)
    expect(answer).toMatchObject({ newWeightG: 12.5, newStrengthPercent: 80, strengthHow: null })
    expect(answer.how.numbers).toBe('10 g × 100 % ÷ 80 % = 12.5 g')
  })

  test('by two solutions thinned to one depth', async () => {
    const query = `${page}?by=volume&weight=10+g&sample=25+mL&standard=30+mL`
    const answer = await answerTo(query)
    // Beech 1901, ch. IX: 25 against 30 is 83.3 %, so a fifth more of it is needed.
    expect(answer.newStrengthPercent).toBeCloseTo(83.33, 2)
    expect(answer.newWeightG).toBeCloseTo(12, 9)
    expect((await site.browser.get(query)).text).toContain('25 mL ÷ 30 mL × 100 = 83.3333 %')
  })

  test.each([
    ['by=&weight=10+g', ['by'], '10 g'],
    ['by=strength&weight=&oldStrength=&newStrength=', ['weight', 'oldStrength', 'newStrength'], ''],
    ['by=strength&weight=10+g&oldStrength=0&newStrength=strong', ['oldStrength', 'newStrength'], 'strong'],
    ['by=volume&weight=10+g&sample=0+mL&standard=30', ['sample', 'standard'], '0 mL'],
    [`by=volume&weight=10+g&sample=${'9'.repeat(9000)}&standard=30+mL`, ['sample'], '9'.repeat(9000)],
  ])('asked with %s says what is wrong at its field, at 422', async (query, fields, typed) => {
    const { text, status } = await site.browser.get(`${page}?${query}`)
    expect(status).toBe(422)
    for (const field of fields) expect(text).toContain(`href="#${field}"`)
    expect(text).toContain(`value="${typed}"`)
  })
})
