import { beforeEach, describe, expect, test } from 'vitest'
import { newKey, testApp } from '../helper.js'
import { lotReady, takeInLot } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const long = { name: 'Long trough', usable: '60 L', metal: 'zinc', note: 'leaks a little' }
const writeDown = async (fields: Record<string, string> = long) => {
  expect((await site.browser.post('/pots/new', fields)).status).toBe(303)
  const { pots } = (await site.browser.json('/pots')).body
  return pots.at(-1)
}

describe('a pot', () => {
  test('is written down as people say it, and kept in mL', async () => {
    expect(await writeDown()).toMatchObject({ usableMl: 60_000, usableTyped: '60 L', metal: 'zinc', load: null })
    expect((await site.browser.get('/pots')).text).toContain('leaks a little')
  })

  test.each([
    ['', 'Enter the usable volume'],
    ['60', 'Is that 60 mL, 60 L'],
    ['3 gallons', 'US or imperial'],
    ['2 kg', 'is a weight'],
    ['x'.repeat(10_000), 'usable volume'],
  ])('with a volume of “%s” comes back with what was typed', async (usable, sentence) => {
    const page = await site.browser.post('/pots/new', { ...long, usable })
    expect(page.status).toBe(422)
    expect(page.text).toContain(sentence)
    expect(page.text).toContain('href="#usable"')
    expect(page.text).toContain('leaks a little')
    expect(page.text).toContain(usable)
    expect((await site.browser.json('/pots')).body.pots).toEqual([])
  })

  test('that is round is reckoned from its size, with a quarter left free', async () => {
    // A cylinder of 300 mm by 240 mm holds 16.96 L to the brim; three quarters of it are 12.72 L.
    const sized = { ...long, usable: '', across: '30 cm', deep: '240 mm' }
    const { usableMl, usableTyped } = await writeDown(sized)
    expect(Math.abs(usableMl - 0.75 * Math.PI * 15 ** 2 * 24)).toBeLessThan(50)
    expect(usableMl).toBe(12_700)
    expect(usableTyped).toBe('12.7 L')
    expect((await site.browser.get('/pots/1/edit')).text).toContain('name="usable" type="text" value="12.7 L"')
  })

  test('of a US workshop is reckoned in gallons that can be read again', async () => {
    await site.db.updateTable('workshop').set({ volume_unit: 'us', weight_unit: 'pounds' }).execute()
    // 12 in × 12 in: 1357 cubic inches, 5.875 gallons of 231; three quarters are 4.41, to the quarter quart 4 gal 1¾ qt.
    const pot = await writeDown({ ...long, usable: '', across: '12 in', deep: '12 in' })
    expect(pot.usableTyped).toBe('4 gal 1¾ qt')
    expect(pot.usableMl).toBeCloseTo(4.4375 * 3785.411784, 6)
  })

  test('takes the volume that is typed before the size', async () => {
    expect(await writeDown({ ...long, across: '30 cm', deep: '240 mm' })).toMatchObject({ usableMl: 60_000 })
  })

  test.each([
    [{ across: '30 cm' }, 'deep', 'Enter the depth inside too.'],
    [{ deep: '30 cm' }, 'across', 'Enter the diameter inside too.'],
    [{ across: '30', deep: '30 cm' }, 'across', 'Is that 30 mm'],
    [{ across: '5 cm', deep: '5 cm' }, 'across', 'A pot of that size takes 73.6 mL. Check both measures.'],
  ])('of the size %j comes back with a sentence', async (size, field, sentence) => {
    const page = await site.browser.post('/pots/new', { ...long, usable: '', ...size })
    expect(page.status).toBe(422)
    expect(page.text).toContain(sentence)
    expect(page.text).toContain(`href="#${field}"`)
    expect(page.text).toContain('<details class="more" open>')
  })

  test('needs a name of its own, in whatever case', async () => {
    await writeDown()
    const twin = await site.browser.post('/pots/new', { ...long, name: 'LONG TROUGH' })
    expect(twin.status).toBe(422)
    expect(twin.text).toContain('There is a pot called “Long trough” already')
  })

  test('written down twice by one form is one pot', async () => {
    const key = newKey()
    await Promise.all([1, 2].map(() => site.browser.post('/pots/new', { ...long, key })))
    expect((await site.browser.json('/pots')).body.pots).toHaveLength(1)
  })

  test('is changed, but not over somebody else’s change', async () => {
    const { id } = await writeDown()
    expect((await site.browser.post(`/pots/${id}/edit`, { ...long, usable: '55 L', version: 1 })).status).toBe(303)
    const second = await site.browser.post(`/pots/${id}/edit`, { ...long, note: 'mended', version: 1 })
    expect(second.status).toBe(409)
    expect(second.text).toContain('mended')
    expect(second.text).toContain('What stands there now')
    expect((await site.browser.json(`/pots/${id}`)).body.pot).toMatchObject({ usableMl: 55_000, version: 2 })
  })

  test('goes out of use only when it is empty', async () => {
    const { id } = await writeDown()
    const lotId = await lotReady(site.db, site.by)
    await site.browser.post(`/lots/${lotId}/load`, { 'bundles.1': 'yes', potId: id })
    const refused = await site.browser.post(`/pots/${id}/edit`, { ...long, outOfUse: 'yes', version: 1 })
    expect(refused.status).toBe(422)
    expect(refused.text).toContain('empty it first')
    expect(refused.text).toContain('name="outOfUse" value="yes" checked')
  })
})

describe('at a pot', () => {
  test('that is empty: which lots could go in, and which need a recipe first', async () => {
    const { id } = await writeDown({ ...long, usable: '9 L' })
    const [fits, tooMuch] = [await lotReady(site.db, site.by, { bundles: 2 }), await lotReady(site.db, site.by)]
    const noRecipe = await takeInLot(site.db, site.by)
    const { waiting } = (await site.browser.json(`/pots/${id}`)).body
    expect(waiting.map(({ lot, fit }: { lot: { id: number }; fit: unknown }) => [lot.id, fit])).toEqual([
      [fits, { fits: true, holdsG: 450, spareG: 150 }],
      [tooMuch, expect.objectContaining({ fits: false, overG: 150 })],
      [noRecipe, null],
    ])
    const { text } = await site.browser.get(`/pots/${id}`)
    expect(text).toContain('goes in, with room for 150 g more')
    expect(text).toContain('this load is 150 g over')
    expect(text).toContain('No recipe is kept yet')
  })

  test('that is in use: what is in it, and the press that moves it on', async () => {
    const { id } = await writeDown()
    const lotId = await lotReady(site.db, site.by)
    await site.browser.post(`/lots/${lotId}/load`, { 'bundles.1': 'yes', 'bundles.2': 'yes', potId: id })
    const { text } = await site.browser.get(`/pots/${id}`)
    expect(text).toContain('bundles 1, 2 of 4')
    expect(text).toContain('Lower into Long trough: Dye')
  })

  test('that does not exist is not found', async () => {
    expect((await site.browser.get('/pots/7')).status).toBe(404)
  })
})
