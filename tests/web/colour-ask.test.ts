import { beforeEach, describe, expect, test } from 'vitest'
import { inOneStep } from '../../src/store/db.js'
import { findLoad, layLoad, undoLast } from '../../src/store/loads.js'
import { findLot } from '../../src/store/lots.js'
import { takeInLot as takeInWeld } from '../a-lot.js'
import { aLot, alike, bring, makeReady, rowsTicked } from '../hand-back-helper.js'
import { testApp } from '../helper.js'
import { jobOf, keep, lotReady, takeInLot, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const page = async (url: string) => (await site.browser.get(url)).text
const json = async (url: string) => (await site.browser.json(url)).body

async function lotInPot(): Promise<{ lotId: number; loadId: number }> {
  const [potId] = await threePots(site.db, site.by)
  const lotId = await lotReady(site.db, site.by)
  const bundleIds = ((await findLot(site.db, lotId))?.bundles ?? []).map(({ id }) => id)
  return { lotId, loadId: await inOneStep(site.db, trx => layLoad(trx, site.by, { potId, bundleIds })) }
}

const askFields = {
  version: 1,
  'ask.colour': 'deep moss',
  'ask.swatch': '#334422',
  'ask.dyeId': 'all-purpose-bottled',
  'ask.tiesUndyed': 'yes',
  'ask.against': 'the client knows the inner face stays pale',
}

describe('the colour ask', () => {
  test('of no lot is not found', async () => {
    expect((await site.browser.get('/lots/1/colour-ask')).status).toBe(404)
    expect((await site.browser.post('/lots/1/colour-ask', askFields)).status).toBe(404)
  })

  test('of a lot that went back stays', async () => {
    await bring(site.db, site.by, [aLot(alike(1))])
    makeReady(site.raw, 1)
    const checklist = rowsTicked([{ lot: 0, bundles: 1 }])
    const whole = { ...checklist, do: 'close', version: '0', toWhom: 'Marta Quill', words: '' }
    expect((await site.browser.post('/commissions/1/hand-back', whole)).status).toBe(303)
    const refused = await site.browser.post('/lots/1/colour-ask', askFields)
    expect(refused.status).toBe(409)
    expect(refused.text).toContain('has gone back')
    expect((await json('/lots/1')).lot).toMatchObject({ colour: 'barn red', swatch: '#8c2f26', dyeId: 'cochineal' })
  })

  test('is changed, its route follows the dye, and the lot is found by the new words', async () => {
    const lotId = await takeInWeld(site)
    const answer = await site.browser.post(`/lots/${lotId}/colour-ask`, {
      version: 1,
      'ask.colour': 'midnight',
      'ask.swatch': '#101030',
      'ask.dyeId': 'indigo-fructose-vat',
    })
    expect(answer.status).toBe(303)
    const { lot } = await json(`/lots/${lotId}`)
    expect(lot).toMatchObject({ colour: 'midnight', swatch: '#101030', route: 'indigo', tiesUndyed: false, version: 2 })
    expect((await json('/past-lots?colour=midnight')).lots).toMatchObject([{ id: lotId }])
    expect((await json('/past-lots?colour=straw')).lots).toEqual([])
  })

  test('keeps in the history from what to what, in words', async () => {
    const lotId = await takeInWeld(site)
    await site.browser.post(`/lots/${lotId}/colour-ask`, {
      version: 1,
      'ask.colour': 'midnight',
      'ask.swatch': '#d8c060',
      'ask.dyeId': 'indigo-fructose-vat',
    })
    const { history } = await json(`/lots/${lotId}`)
    expect(history.at(-1)).toMatchObject({
      what: 'colour ask changed',
      who: 'Wren',
      at: site.by.at,
      was: { colour: 'straw yellow', route: 'plant', dye: expect.stringMatching(/weld/i) },
      became: { colour: 'midnight', route: 'indigo', dye: expect.stringMatching(/indigo/i) },
    })
    expect(history.at(-1).became).not.toHaveProperty('swatch')
    expect(await page(`/lots/${lotId}`)).toContain('colour from “straw yellow” to “midnight”')
  })

  test('changed from two devices: the second is shown both, and nothing is overwritten', async () => {
    const lotId = await takeInWeld(site)
    const send = (colour: string) =>
      site.browser.post(`/lots/${lotId}/colour-ask`, { version: 1, 'ask.colour': colour, 'ask.dyeId': 'weld' })
    expect((await send('lemon')).status).toBe(303)
    const second = await send('butter')
    expect(second.status).toBe(409)
    expect(second.text).toContain('value="butter"')
    expect(second.text).toContain('lemon')
    expect((await json(`/lots/${lotId}`)).lot).toMatchObject({ colour: 'lemon', version: 2 })
  })

  test('saved as it was changes nothing and adds no line', async () => {
    const lotId = await takeInWeld(site)
    const before = await json(`/lots/${lotId}`)
    const same = { version: 1, 'ask.colour': 'straw yellow', 'ask.swatch': '#d8c060', 'ask.dyeId': 'weld' }
    expect((await site.browser.post(`/lots/${lotId}/colour-ask`, same)).status).toBe(303)
    expect(await json(`/lots/${lotId}`)).toEqual(before)
  })

  test('a swatch is left out when it is grey or taken away', async () => {
    const lotId = await takeInWeld(site)
    const send = (version: number, more: Record<string, string>) =>
      site.browser.post(`/lots/${lotId}/colour-ask`, { version, 'ask.colour': 'straw', 'ask.dyeId': 'weld', ...more })
    await send(1, { 'ask.swatch': '#dedede' })
    expect((await json(`/lots/${lotId}`)).lot.swatch).toBeNull()
    await send(2, { 'ask.swatch': '#AABBCC' })
    expect((await json(`/lots/${lotId}`)).lot.swatch).toBe('#aabbcc')
    await send(3, { 'ask.swatch': '#aabbcc', 'ask.noSwatch': 'yes' })
    expect((await json(`/lots/${lotId}`)).lot.swatch).toBeNull()
  })

  test('a dye that the fibre does not take needs a reason, which stays with the lot', async () => {
    const lotId = await takeInLot(site.db, site.by)
    const indigo = { ...askFields, 'ask.dyeId': 'indigo-fructose-vat', 'ask.against': '' }
    const asked = await site.browser.post(`/lots/${lotId}/colour-ask`, indigo)
    expect(asked.status).toBe(422)
    expect(asked.text).toContain('href="#ask.against"')
    expect(asked.text).toContain('Red cedar hardly takes indigo')
    const given = { ...indigo, 'ask.against': 'only a breath of blue is wanted' }
    expect((await site.browser.post(`/lots/${lotId}/colour-ask`, given)).status).toBe(303)
    expect((await json(`/lots/${lotId}`)).lot.against).toBe('only a breath of blue is wanted')
  })

  test('is refused once bundles are laid in a pot, and opens again when they are taken out untouched', async () => {
    const { lotId, loadId } = await lotInPot()
    expect(await page(`/lots/${lotId}`)).not.toContain('Change the colour asked')
    const shown = await site.browser.get(`/lots/${lotId}/colour-ask`)
    expect(shown.text).toContain('was begun for Pot 1')
    expect(shown.text).not.toContain('<form method="post"')
    const refused = await site.browser.post(`/lots/${lotId}/colour-ask`, askFields)
    expect(refused.status).toBe(409)
    expect(refused.text).toContain('deep moss')
    expect((await json(`/lots/${lotId}`)).lot).toMatchObject({ colour: 'true black', version: 1 })

    const version = (await findLoad(site.db, loadId))?.version ?? 0
    await inOneStep(site.db, trx => undoLast(trx, site.by, { loadId, version }))
    expect((await site.browser.post(`/lots/${lotId}/colour-ask`, askFields)).status).toBe(303)
    expect(await page(`/lots/${lotId}`)).toContain('taken out again')
  })

  test('changed after a recipe was kept leaves the recipe, and says that it no longer suits', async () => {
    const lotId = await takeInLot(site.db, site.by)
    const recipeId = await keep(site.db, site.by, lotId, jobOf(600, { tiesUndyed: true }))
    const packet = { ...askFields, 'ask.dyeId': 'all-purpose-packet' }
    expect((await json(`/lots/${lotId}`)).computed.suits).toBe(true)
    expect((await site.browser.post(`/lots/${lotId}/colour-ask`, packet)).status).toBe(303)
    expect((await json(`/lots/${lotId}`)).computed).toMatchObject({ recipeId, suits: false })
    expect(await page(`/lots/${lotId}`)).toContain('work the recipe out again')
  })

  test.each([
    ['empty', ''],
    ['nonsense', '<b>?!'],
    ['10,000 characters', 'x'.repeat(10_000)],
  ])('%s comes back with what was typed', async (_, typed) => {
    const lotId = await takeInWeld(site)
    const fields = ['ask.colour', 'ask.swatch', 'ask.dyeId', 'ask.against', 'version']
    const answer = await site.browser.post(
      `/lots/${lotId}/colour-ask`,
      Object.fromEntries(fields.map(field => [field, typed])),
    )
    expect(answer.status).toBe(422)
    expect(answer.text).toContain(`value="${typed.replaceAll('<', '&lt;').replaceAll('>', '&gt;')}"`)
    expect((await site.browser.post(`/lots/${lotId}/colour-ask`, {})).status).toBe(422)
    expect((await json(`/lots/${lotId}`)).lot).toMatchObject({ colour: 'straw yellow', version: 1 })
  })
})
