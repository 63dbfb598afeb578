import { beforeEach, describe, expect, test } from 'vitest'
import { layLoad } from '../../src/store/loads.js'
import { testApp } from '../helper.js'
import { act, lotReady, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const PAGE = '/reckon/split-into-pots'
const urlOf = (fields: Record<string, string>) => `${PAGE}?${new URLSearchParams(fields)}`
const answerTo = async (fields: Record<string, string>) => (await site.browser.json(urlOf(fields))).body.answer

const atTwenty = { liquorRatioLPerKg: '20', fibreId: '' }

describe('bundles over pots', () => {
  test('is reached from the recipe page; without pots it asks what pots hold', async () => {
    expect((await site.browser.get('/reckon')).text).toContain(`href="${PAGE}"`)
    const { text, status } = await site.browser.get(PAGE)
    expect(status).toBe(200)
    expect(text).not.toContain('Pots of the workshop')
  })

  test('fills the fewest pots evenly, and says that no other split does better', async () => {
    const fields = { ...atTwenty, weights: '12 bundles of 3 ties, 150 g each', otherPots: '2 × 20 L, 10 L' }
    const answer = await answerTo(fields)
    // At 20 L/kg, 20 L hold 1000 g: six bundles of 150 g. 1800 g need two such pots, filled to nine tenths each.
    expect(answer).toMatchObject({ bundles: 12, dryWeightG: 1800, proven: true, left: { bundleNs: [], sentence: '' } })
    expect(answer.pots.map(({ holdsG, dryWeightG }: Record<string, number>) => [holdsG, dryWeightG])).toEqual([
      [1000, 900],
      [1000, 900],
    ])
    expect(answer.pots[0]).toMatchObject({ fill: 0.9, bath: { volumeMl: 18_000 }, contents: [{ lot: 1, count: 6 }] })
    const { text } = await site.browser.get(urlOf(fields))
    expect(text).toContain('No other split does better: that is proven.')
    expect(text).toContain('90 % full, 18 L of bath: 6 × 150 g')
    expect(text).toContain('20000 mL ÷ 20 L/kg = 1000 g')
  })

  test('keeps the bundles of one lot in one pot where it can', async () => {
    const weights = '300 g, 300 g\n4 × 150 g'
    const answer = await answerTo({ ...atTwenty, weights, otherPots: '12 L, 12 L' })
    expect(answer.lots).toBe(2)
    for (const { contents } of answer.pots) expect(contents).toHaveLength(1)
    expect(answer.figures.lotSplits.is).toBe(0)
  })

  test('offers the free pots of the workshop, and takes those that are ticked', async () => {
    const [large, middle] = await threePots(site.db, site.by)
    await lotReady(site.db, site.by)
    const bundle = site.raw.prepare('select min(id) from bundle').pluck().get()
    await act(site.db, trx => layLoad(trx, site.by, { potId: middle, bundleIds: [Number(bundle)] }))
    const { text } = await site.browser.get(PAGE)
    expect(text).toContain(`name="pots.${large}" value="yes" checked> Pot 1, 15 L`)
    expect(text).toContain(`name="pots.${middle}" value="yes"> Pot 2, 9 L, in use`)
    const answer = await answerTo({ ...atTwenty, weights: '700 g', [`pots.${large}`]: 'yes' })
    expect(answer.pots.map(({ name }: { name: string }) => name)).toEqual(['Pot 1'])
  })

  test('says what does not fit', async () => {
    const fields = { ...atTwenty, weights: '2 × 600 g, 100 g', otherPots: '10 L' }
    const answer = await answerTo(fields)
    expect(answer.pots[0].contents).toEqual([{ lot: 1, dryWeightG: 100, count: 1 }])
    expect(answer.left.bundleNs).toEqual([1, 2])
    expect((await site.browser.get(urlOf(fields))).text).toContain('the largest free pot holds 500 g')
  })

  test('takes 200 bundles of differing weight without leaving any out', async () => {
    const weights = Array.from({ length: 200 }, (_, n) => `${100 + ((n * 37) % 90)} g`).join(', ')
    const answer = await answerTo({ ...atTwenty, weights, otherPots: '20 × 40 L' })
    const packed = answer.pots.flatMap(({ bundleNs }: { bundleNs: number[] }) => bundleNs)
    expect([...packed].sort((one, other) => one - other)).toEqual(Array.from({ length: 200 }, (_, n) => n + 1))
  })

  test.each([
    [{ weights: '', fibreId: '', liquorRatioLPerKg: '', otherPots: '' }, ['weights', 'fibreId'], ''],
    [{ ...atTwenty, weights: '150 g', otherPots: '' }, ['otherPots'], '20'],
    [{ ...atTwenty, weights: '150 g', otherPots: '15 L, big' }, ['otherPots'], '15 L, big'],
    [{ ...atTwenty, weights: '150 g', otherPots: '21 × 15 L' }, ['otherPots'], '21 × 15 L'],
    [{ ...atTwenty, weights: 'heavy', otherPots: '15' }, ['weights', 'otherPots'], '15'],
    [
      { weights: '150 g', fibreId: 'moon', liquorRatioLPerKg: 'much', otherPots: '15 L' },
      ['fibreId', 'liquorRatioLPerKg'],
      'much',
    ],
    [{ ...atTwenty, weights: '150 g', otherPots: 'x'.repeat(9000) }, ['otherPots'], 'x'.repeat(9000)],
  ])(
    '%#: asked wrongly it says what is wrong at its field, at 422',
    async (fields: Record<string, string>, wrong, typed) => {
      const { text, status } = await site.browser.get(urlOf(fields))
      expect(status).toBe(422)
      for (const field of wrong) expect(text).toContain(`href="#${field}"`)
      for (const field of wrong) expect(text).toContain(`id="${field}"`)
      expect(text).toContain(`value="${typed}"`)
      expect(text).toContain(`>\n${fields.weights}</textarea>`)
    },
  )
})
