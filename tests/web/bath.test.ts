import { beforeEach, describe, expect, test } from 'vitest'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const PAGE = '/reckon/bath'
const answerTo = async (query: string) => (await site.browser.json(`${PAGE}?${query}`)).body.answer
const textOf = async (query: string) => (await site.browser.get(`${PAGE}?${query}`)).text

const kilogram = 'weight=1+kg&liquorRatioLPerKg=20'

describe('the bath', () => {
  test('is reached from the recipe page, and reckons nothing yet', async () => {
    expect((await site.browser.get('/reckon')).text).toContain(`href="${PAGE}"`)
    const { text, status } = await site.browser.get(PAGE)
    expect(status).toBe(200)
    expect(text).not.toContain('There is a problem')
    expect(text).not.toContain('<details class="more" open>')
  })

  test('follows from the weight and a liquor ratio, and nothing else is asked', async () => {
    // Beech 1901, p. 109: twenty times the weight.
    const answer = await answerTo(kilogram)
    expect(answer).toMatchObject({ dryWeightG: 1000, bath: { volumeMl: 20_000 } })
    expect([answer.wet, answer.toCover, answer.potNeeded, answer.mix, answer.heat, answer.lift]).toEqual(
      Array(6).fill(null),
    )
    expect(await textOf(kilogram)).toContain('1000 g × 20 L/kg ÷ 1000 = 20 L')
  })

  test('takes the liquor ratio of the fibre, with its provenance', async () => {
    const { liquorRatioLPerKg } = JSON.parse(
      String(site.raw.prepare(`select entry from catalogue where id = 'flax'`).pluck().get()),
    )
    const answer = await answerTo('weight=1+kg&fibreId=flax')
    expect(answer.bath.volumeMl).toBeCloseTo(1000 * liquorRatioLPerKg.value, 6)
    expect(answer.bath.how.inputs[1].provenance).toEqual(liquorRatioLPerKg.provenance)
  })

  test('that is known already is taken as it is', async () => {
    expect((await answerTo('bath=12+L')).bath).toEqual({ volumeMl: 12_000, how: null })
  })

  test('tells what a strength by the litre comes to, and what that is of the fibre', async () => {
    // By definition: 3 g/L in 20 L are 60 g, which is 6 % of a kilogram.
    const { byTheLitre } = await answerTo(`${kilogram}&byTheLitre=3`)
    expect(byTheLitre).toMatchObject({ gPerL: 3, grams: 60, ofFibre: { owfPercent: 6 } })
    const text = await textOf(`${kilogram}&byTheLitre=3+g%2FL`)
    expect(text).toContain('for 3 g in each litre, which is 6 % of the dry weight')
    expect(text).toContain('3 g/L × 20000 mL ÷ 1000 = 60 g')
    expect((await answerTo('bath=12+L&byTheLitre=3')).byTheLitre).toMatchObject({ grams: 36, ofFibre: null })
    const tooLittle = await textOf('bath=1+L&weight=10+kg&byTheLitre=3')
    expect(tooLittle).toContain('The liquor ratio must be from 1 to 200 L/kg, not 0.1 L/kg.')
    expect(tooLittle).toContain('href="#byTheLitre"')
  })

  test('leaves out what the wet fibre holds already', async () => {
    const byWeight = await answerTo(`${kilogram}&wet.soaked=2.5+kg`)
    expect(byWeight.wet.held.volumeMl).toBeCloseTo(1500, 9)
    expect(byWeight.wet.toPour.volumeMl).toBeCloseTo(18_500, 9)
    // Beech 1901, p. 109: cotton takes up its own weight.
    expect((await answerTo(`${kilogram}&wet.takeUp=1`)).wet.held.volumeMl).toBeCloseTo(1000, 9)
  })

  test('that does not cover the fibre in this pot says so', async () => {
    const pot = 'pot.shape=oblong&pot.across=500+mm&pot.width=400+mm&pot.depth=150+mm'
    // 500 × 400 × 150 mm are 30 L; the fibre itself takes up 1000 g ÷ 1.5 g/mL of it.
    expect((await answerTo(`${kilogram}&${pot}`)).toCover.volumeMl).toBeCloseTo(30_000 - 1000 / 1.5, 6)
    expect(await textOf(`${kilogram}&${pot}`)).toContain('The bath does not cover the fibre in this pot')
    const round = await answerTo('bath=12+L&pot.shape=round&pot.across=300+mm&pot.depth=100+mm&headRoom=20')
    expect(round.toCover.volumeMl).toBeCloseTo((Math.PI / 4) * 9000, 6)
    expect(round.potNeeded.volumeMl).toBeCloseTo(15_000, 9)
  })

  test('is mixed from hot and cold, of what is still to pour', async () => {
    const answer = await answerTo(`${kilogram}&wet.soaked=2+kg&mix.hot=60+C&mix.cold=10+C&mix.wanted=35+C`)
    expect(answer.mix).toMatchObject({ hotC: 60, coldC: 10, wantedC: 35 })
    expect([answer.mix.hotMl, answer.mix.coldMl]).toEqual([9500, 9500])
  })

  test('is heated from the temperature to which it was mixed', async () => {
    const query = 'bath=10+L&mix.hot=60+C&mix.cold=20+C&mix.wanted=40+C&heat.to=90+C&heat.power=2+kW&heat.efficiency=50'
    const answer = await answerTo(query)
    // 10 kg × 4.184 kJ (thermochemical calorie, NIST SP 811) × 50 °C, over 1 kW that arrives.
    expect(answer.heat).toMatchObject({ fromC: 40, toC: 90, powerW: 2000 })
    expect(answer.heat.energyKj).toBeCloseTo(2092, 6)
    expect(answer.heat.minutes).toBeCloseTo(2092 / 60, 6)
    expect(await textOf(query)).toContain('to heat it from 40 °C to 90 °C')
  })

  test('makes a pot too heavy for one person, and says so', async () => {
    const query = `${kilogram}&lift.pot=3.5+kg`
    expect((await answerTo(query)).lift.weightG).toBeCloseTo(24_500, 6)
    // 23 kg: the load constant of the revised lifting equation, NIOSH 94-110.
    expect(await textOf(query)).toContain('more than the 23 kg set for one person: lift it with two, or bail it out')
    expect((await answerTo(`${query}&lift.most=25+kg`)).lift.caution).toBeNull()
    expect((await answerTo(`${query}&lift.most=10+kg`)).lift.caution).toContain('more than the 10 kg')
  })

  test('is told in the units of the workshop, also where it warns', async () => {
    await site.db.updateTable('workshop').set({ weight_unit: 'pounds', volume_unit: 'us' }).execute()
    const text = await textOf('bath=5+gal&weight=2+lb&lift.pot=10+lb')
    // 5 US gallons of 3.785411784 L, at a kilogram to the litre, are 41.7 lb.
    expect(text).toContain('this pot weighs about 53 lb 11⅝ oz, more than the 50 lb 11¼ oz set')
    expect(text).toContain('5 gal')
  })

  test.each([
    ['weight=&fibreId=&bath=', ['weight', 'fibreId'], ''],
    ['weight=2&fibreId=flax', ['weight'], '2'],
    ['weight=1+kg&fibreId=moon', ['fibreId'], 'moon'],
    ['bath=a+bucket', ['bath'], 'a bucket'],
    ['bath=12+L&wet.soaked=2+kg', ['weight'], '2 kg'],
    [`${kilogram}&wet.soaked=900+g`, ['wet.soaked'], '900 g'],
    ['bath=12+L&pot.shape=oval&pot.across=300+mm', ['pot.width', 'pot.depth'], '300 mm'],
    ['bath=12+L&pot.across=300+mm', ['pot.shape'], '300 mm'],
    ['bath=12+L&headRoom=99', ['headRoom'], '99'],
    ['bath=12+L&mix.hot=60+C', ['mix.cold', 'mix.wanted'], '60 C'],
    ['bath=12+L&mix.hot=60+C&mix.cold=10+C&mix.wanted=70+C', ['mix.wanted'], '70 C'],
    ['bath=12+L&heat.power=strong', ['heat.from', 'heat.to', 'heat.power', 'heat.efficiency'], 'strong'],
    ['bath=12+L&lift.most=2+t', ['lift.pot', 'lift.most'], '2 t'],
    [`bath=12+L&lift.pot=${'9'.repeat(9000)}`, ['lift.pot'], '9'.repeat(9000)],
  ])('asked with %s says what is wrong at its field, at 422', async (query, fields, typed) => {
    const { text, status } = await site.browser.get(`${PAGE}?${query}`)
    expect(status).toBe(422)
    for (const field of fields) expect(text).toContain(`href="#${field}"`)
    for (const field of fields) expect(text).toContain(`id="${field}"`)
    expect(text).toContain(`value="${typed}"`)
    const { body } = await site.browser.json(`${PAGE}?${query}`)
    expect(body.errors.map((error: { field: string }) => error.field).sort()).toEqual([...fields].sort())
  })
})
