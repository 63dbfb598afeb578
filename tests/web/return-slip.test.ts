import { beforeEach, describe, expect, test } from 'vitest'
import { aLot, alike, bring, dyeLotOne, makeReady, plainText, rowsTicked } from '../hand-back-helper.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
/** Commission 1: lot 1 with two bundles of three ties and lot 2 with one, all on the ready shelf. */
beforeEach(async () => {
  site = await testApp()
  await bring(site.db, site.by, [aLot(alike(2)), aLot(alike(1), { colour: 'slate' })])
  makeReady(site.raw, 1)
  makeReady(site.raw, 2)
})

const FIRST = 'lots.0.bundles.0'
const rows = rowsTicked([
  { lot: 0, bundles: 2 },
  { lot: 1, bundles: 1 },
])
const send = (fields: Record<string, string> = {}) =>
  site.browser.post('/commissions/1/hand-back', {
    do: 'close',
    version: '0',
    toWhom: 'Marta Quill',
    words: '',
    ...rows,
    ...fields,
  })

describe('the slip', () => {
  test('says how the fibre was really dyed and what it was treated with, without what was undone', async () => {
    await dyeLotOne(site.db, site.raw, site.by)
    await send()
    const slip = plainText((await site.browser.get('/hand-backs/1/slip')).text)
    expect(slip).toContain('How dyed cochineal on potassium alum (plant or insect dye on a mordant)')
    expect(slip).toMatch(/Treated with Potassium alum; Cochineal; \S+/)
    expect(slip).toContain('Last rinse ran clear')
    const { body } = await site.browser.json('/hand-backs/1/slip')
    expect(body.slip.lots[0].treatedWith.map(({ substanceId }: { substanceId: string }) => substanceId)).toEqual([
      'potassium-alum',
      'cochineal',
      'vinegar',
    ])
    expect(body.slip.lots[1].treatedWith).toEqual([])
  })

  test('has what the receiver needs: workshop, client, dates, use, wishes, two lines to sign', async () => {
    await send({ words: 'Come again.' })
    const text = plainText((await site.browser.get('/hand-backs/1/slip')).text)
    for (const words of [
      'The Weir Shed',
      'Return slip 1',
      'Marta Quill (MQ)',
      '1: chair seats',
      'Mon 2 Mar 2026',
      'Wed 1 Apr 2026',
      'Soak again in warm water before working; it dries stiff.',
      'keep it out of the sun',
      'Come again.',
      'Handed back: Wren',
      'Received: Marta Quill',
      'not weighed',
      'barn red',
      'kept undyed',
    ])
      expect(text).toContain(words)
  })

  test('comes on the workshop’s paper, or on the one that is asked for', async () => {
    await send()
    expect((await site.browser.get('/hand-backs/1/slip')).text).toContain('class="paper-a5"')
    expect((await site.browser.get('/hand-backs/1/slip?paper=Letter')).text).toContain('class="paper-letter"')
    expect((await site.browser.get('/hand-backs/1/slip?paper=x')).text).toContain('class="paper-a5"')
    site.raw.exec("update workshop set slip_paper = 'Letter'")
    expect((await site.browser.get('/hand-backs/1/slip')).text).toContain('class="paper-letter"')
  })

  test('answers JSON in grams and ISO times, and adds up', async () => {
    await send({ [`${FIRST}.weight`]: '5 oz' })
    const { body } = await site.browser.json('/hand-backs/1/slip')
    expect(body.accounts).toMatchObject({ bundlesIn: 3, bundlesBack: 3, tiesIn: 9, tiesBack: 9, weightInG: 450 })
    // 1 oz avoirdupois is 28.349523125 g exactly (international yard and pound agreement, 1959).
    expect(body.accounts.weightBackG).toBeCloseTo(5 * 28.349523125, 9)
    expect(body.slip).toMatchObject({ at: site.by.at, clientName: 'Marta Quill', toWhom: 'Marta Quill' })
  })

  test('is not there before the hand-back', async () => {
    expect((await site.browser.get('/hand-backs/1')).status).toBe(404)
    expect((await site.browser.get('/hand-backs/1/slip')).status).toBe(404)
  })
})
