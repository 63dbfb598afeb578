import { sql } from 'kysely'
import { beforeEach, describe, expect, test } from 'vitest'
import { firstCatalogue } from '../../src/domain/first-catalogue/index.js'
import { keptRecipe } from '../../src/store/recipes.js'
import { takeInLot } from '../a-lot.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const LIQUOR = '/catalogue/flax/edit?figure=liquorRatioLPerKg'
const thirty = { value: '30', kind: 'own experience', source: 'trial of 12 June', why: 'it felted at 20', version: 1 }

type Shown = {
  path: string
  label: string
  figure: { value: number; provenance: { kind: string; source: string } } | null
}
const figureOf = async (id: string, path: string): Promise<Shown | undefined> =>
  (await site.browser.json(`/catalogue/${id}`)).body.figures.find((one: Shown) => one.path === path)

async function keepRecipeOf(lot: number): Promise<void> {
  const { body } = await site.browser.json(`/lots/${lot}/recipe`)
  const answer = await site.browser.post(`/lots/${lot}/recipe`, { ...body.keeps, shown: body.shown })
  expect(answer.status).toBe(303)
}

describe('the catalogue', () => {
  test('lists every fibre, substance and rule', async () => {
    const page = await site.browser.get('/catalogue')
    expect(page.status).toBe(200)
    const all = [...firstCatalogue.fibres, ...firstCatalogue.substances, ...firstCatalogue.rules]
    for (const { id } of all) expect(page.text).toContain(`href="/catalogue/${id}"`)
    expect((await site.browser.json('/catalogue')).body.entries).toHaveLength(all.length)
  })

  test('has a page for every entry, with a source beside every figure that is known', async () => {
    for (const { id } of [...firstCatalogue.fibres, ...firstCatalogue.substances, ...firstCatalogue.rules]) {
      const page = await site.browser.get(`/catalogue/${id}`)
      expect(page.status, id).toBe(200)
      const { figures } = (await site.browser.json(`/catalogue/${id}`)).body
      for (const { figure, usedFor } of figures) {
        expect(usedFor, id).not.toBe('')
        if (figure) expect(figure.provenance.source, id).not.toBe('')
      }
    }
  })

  test('says what uses an entry', async () => {
    await takeInLot(site)
    const { body } = await site.browser.json('/catalogue/flax')
    expect(body.lots).toEqual({ all: 1, here: 1 })
    expect(body.rules.map(({ id }: { id: string }) => id)).toContain('acid-on-bast')
    const soda = (await site.browser.json('/catalogue/soda-crystals')).body
    expect(soda.askedForBy.map(({ id }: { id: string }) => id)).toContain('potassium-alum')
  })

  test('has nothing at an address that is no entry, and no such figure', async () => {
    expect((await site.browser.get('/catalogue/no-such-thing')).status).toBe(404)
    expect((await site.browser.get('/catalogue/flax/edit?figure=colour')).status).toBe(404)
    expect((await site.browser.get('/catalogue/red-cedar-indigo/edit?figure=words')).status).toBe(404)
  })
})

describe('a figure', () => {
  test('is corrected with its source and a reason, and the correction can be read back', async () => {
    expect((await site.browser.post(LIQUOR, thirty)).status).toBe(303)
    expect((await figureOf('flax', 'liquorRatioLPerKg'))?.figure).toEqual({
      value: 30,
      provenance: { kind: 'own experience', source: 'trial of 12 June' },
    })
    const { changes } = (await site.browser.json('/catalogue/flax')).body
    expect(changes[0]).toMatchObject({ who: 'Wren', why: 'it felted at 20' })
    expect(changes[0].fields).toHaveLength(1)
    expect(changes[0].fields[0]).toMatchObject({
      label: 'liquor ratio',
      became: '30 L/kg (own experience: trial of 12 June)',
    })
    expect((await site.browser.get('/catalogue/flax')).text).toContain('it felted at 20')
  })

  test('that is corrected changes the next recipe, and not the one that was kept', async () => {
    const lot = await takeInLot(site)
    await keepRecipeOf(lot)
    await site.browser.post(LIQUOR, thirty)
    expect((await keptRecipe(site.db, lot))?.recipe.waterL).toBeCloseTo(20, 9)
    const shown = await site.browser.json(`/lots/${lot}/recipe`)
    expect(shown.body.recipe.waterL).toBeCloseTo(20, 9)
    expect(shown.body.changed).toContain('the water')
    const query = 'depth=medium&dyes.0.substanceId=weld&mordants.0.substanceId=potassium-alum'
    const next = await site.browser.json(`/lots/${lot}/recipe?${query}`)
    expect(next.body.recipe.waterL).toBeCloseTo(30, 9)
    expect(JSON.stringify(next.body.recipe.waterHow)).toContain('trial of 12 June')
  })

  test('can be put back to not known, and then a recipe asks for it', async () => {
    const answer = await site.browser.post(LIQUOR, {
      notKnown: 'yes',
      value: '20',
      why: 'taken from cotton',
      version: 1,
    })
    expect(answer.status).toBe(303)
    expect((await figureOf('flax', 'liquorRatioLPerKg'))?.figure).toBeNull()
    const lot = await takeInLot(site)
    const page = await site.browser.get(`/lots/${lot}/recipe`)
    expect(page.text).toContain('not known: try a strip')
    expect(page.text).toContain('href="#liquorRatioLPerKg"')
  })

  test.each([
    ['no figure', { value: '' }, 'value'],
    ['words', { value: 'plenty' }, 'value'],
    ['another unit', { value: '30 kg' }, 'value'],
    ['too small a figure', { value: '1' }, 'value'],
    ['too large a figure', { value: '900' }, 'value'],
    ['a figure below nothing', { value: '-20' }, 'value'],
    ['no source', { source: ' ' }, 'source'],
    ['no kind of source', { kind: 'hearsay' }, 'kind'],
    ['no reason', { why: '' }, 'why'],
    ['10,000 characters of source', { source: 's'.repeat(10_000) }, 'source'],
    ['10,000 digits', { value: '3'.repeat(10_000) }, 'value'],
  ])('is not changed with %s: the page comes back with what was typed', async (_, wrong, field) => {
    const answer = await site.browser.post(LIQUOR, { ...thirty, ...wrong })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain(`href="#${field}"`)
    expect(answer.text).toContain('it felted at 20'.slice(0, field === 'why' ? 0 : 15))
    // A radio button that is not offered is not shown again; everything else is.
    if (field !== 'kind') for (const typed of Object.values(wrong)) expect(answer.text).toContain(typed.trim())
    expect((await figureOf('flax', 'liquorRatioLPerKg'))?.figure?.value).toBe(20)
  })

  test('sent empty comes back, and a figure with its unit typed after it is taken', async () => {
    expect((await site.browser.post(LIQUOR, {})).status).toBe(422)
    expect((await site.browser.post(LIQUOR, { ...thirty, value: '30 L/kg' })).status).toBe(303)
  })

  test('corrected from two devices: the second is told, and nothing is overwritten', async () => {
    await site.browser.post(LIQUOR, thirty)
    const second = await site.browser.post(LIQUOR, { ...thirty, value: '25' })
    expect(second.status).toBe(409)
    expect(second.text).toContain('30 L/kg')
    expect((await figureOf('flax', 'liquorRatioLPerKg'))?.figure?.value).toBe(30)
  })

  test('sent as it stands changes nothing', async () => {
    const stands = (await figureOf('flax', 'liquorRatioLPerKg'))?.figure
    const same = { ...thirty, value: '20', ...stands?.provenance }
    expect((await site.browser.post(LIQUOR, same)).status).toBe(303)
    expect((await site.browser.json('/catalogue/flax')).body.version).toBe(1)
  })
})

describe('the words of an entry', () => {
  test('of a substance are changed, its care line by line', async () => {
    const fields = {
      name: 'weld',
      latin: '',
      words: 'Cut it in flower.',
      care: 'Bag it.\n\nKeep it dry.',
      why: 'ours',
      version: 1,
    }
    expect((await site.browser.post('/catalogue/weld/edit', fields)).status).toBe(303)
    const { entry } = (await site.browser.json('/catalogue/weld')).body
    expect(entry).toMatchObject({
      name: 'weld',
      latin: null,
      words: 'Cut it in flower.',
      care: ['Bag it.', 'Keep it dry.'],
    })
    expect(entry.owfPercent.medium.value).toBe(100)
  })

  test('that name a fibre anew let its lots be found by the new name', async () => {
    const lot = await takeInLot(site)
    const fields = { name: 'dew-retted line', latin: '', words: 'Ours.', why: 'we call it so', version: 1 }
    await site.browser.post('/catalogue/flax/edit', fields)
    const found = await sql<{ id: number }>`select rowid as id from lot_text where lot_text match 'retted'`.execute(
      site.db,
    )
    expect(found.rows).toEqual([{ id: lot }])
  })

  test('of a rule are changed, and the next recipe says them', async () => {
    const rule = {
      name: 'Indigo on red cedar',
      words: 'Only a ghost of blue.',
      severity: 'changes colour',
      kind: 'own experience',
      source: 'trial of May',
      why: 'it took a little',
      version: 1,
    }
    expect((await site.browser.post('/catalogue/red-cedar-indigo/edit', rule)).status).toBe(303)
    const lot = await takeInLot(site, {
      fibreId: 'red-cedar-inner-bark',
      route: 'indigo',
      dyeId: 'indigo-fructose-vat',
    })
    const { recipe } = (await site.browser.json(`/lots/${lot}/recipe`)).body
    expect(recipe.findings[0]).toMatchObject({ severity: 'changes colour', words: 'Only a ghost of blue.' })
  })

  test.each([
    ['/catalogue/flax/edit', {}],
    ['/catalogue/weld/edit', { name: 'n'.repeat(10_000), words: 'w', why: 'y' }],
    ['/catalogue/red-cedar-indigo/edit', { name: 'x', words: 'y', severity: 'dreadful', kind: 'k', source: 's' }],
    ['/catalogue/flax/withdrawal', {}],
    ['/catalogue/new', {}],
    ['/catalogue/new', { from: 'no-such', name: 'Hop bine', words: 'Long.', figures: 'not known' }],
    ['/catalogue/new', { from: 'flax', name: 'FLAX', words: 'Again.', figures: 'not known' }],
    ['/catalogue/new', { from: 'red-cedar-indigo', name: 'A rule', words: 'No.', figures: 'not known' }],
    ['/catalogue/new', { from: 'flax', name: '☃'.repeat(10_000), words: 'x', figures: 'not known' }],
  ])('sent to %s as %o comes back at 422 with what was typed', async (url, fields) => {
    const answer = await site.browser.post(url, fields)
    expect(answer.status).toBe(422)
    for (const name of ['name', 'words']) expect(answer.text).toContain(new Map(Object.entries(fields)).get(name) ?? '')
  })
})

describe('an entry of the dyer’s own', () => {
  const hop = { from: 'flax', name: 'Hop bine', latin: 'Humulus lupulus', words: 'Stripped from the bine.' }

  test('with every figure left open has none that is known', async () => {
    const answer = await site.browser.post('/catalogue/new', { ...hop, figures: 'not known' })
    expect(answer.headers.location).toBe('/catalogue/hop-bine')
    const { body } = await site.browser.json('/catalogue/hop-bine')
    expect(body.entry).toMatchObject({ id: 'hop-bine', name: 'Hop bine', latin: 'Humulus lupulus', part: 'bast' })
    expect(body.figures.every(({ figure }: Shown) => figure === null)).toBe(true)
  })

  test('that takes figures over says whose each was', async () => {
    await site.browser.post('/catalogue/new', { ...hop, figures: 'taken over' })
    const liquor = await figureOf('hop-bine', 'liquorRatioLPerKg')
    expect(liquor?.figure?.value).toBe(20)
    expect(liquor?.figure?.provenance.source).toMatch(/^taken over from flax: Beech 1901/)
  })

  test('is reckoned with, once it can be', async () => {
    await site.browser.post('/catalogue/new', { ...hop, figures: 'taken over' })
    const { body } = await site.browser.json(
      '/reckon?fibreId=hop-bine&weight=500+g&dyes.0.substanceId=weld&depth=medium',
    )
    expect(body.recipe.fibreName).toBe('Hop bine')
    expect(body.recipe.waterL).toBeCloseTo(10, 9)
  })

  test('made after any fibre or substance is whole, and its label is left to the supplier', async () => {
    for (const { id } of [...firstCatalogue.fibres, ...firstCatalogue.substances]) {
      const answer = await site.browser.post('/catalogue/new', {
        from: id,
        name: `like ${id}`,
        words: 'A trial.',
        figures: 'taken over',
      })
      expect(answer.status, id).toBe(303)
      const { entry, kind } = (await site.browser.json(`/catalogue/like-${id}`)).body
      if (kind === 'substance') expect(entry.hazard.standing).toBe("supplier's sheet decides")
    }
  })

  test('with a name that makes no address gets one all the same, and never the one of this form', async () => {
    const addressOf = async (name: string) =>
      (await site.browser.post('/catalogue/new', { ...hop, name, figures: 'not known' })).headers.location
    expect(await addressOf('ホップ')).toBe('/catalogue/own-fibre')
    expect(await addressOf('New')).toBe('/catalogue/new-2')
    expect((await site.browser.get('/catalogue/new-2')).status).toBe(200)
  })
})

describe('withdrawing', () => {
  test('takes an entry out of the choices with a reason, and it can be brought back', async () => {
    expect((await site.browser.post('/catalogue/weld/withdrawal', { why: 'no more of it', version: 1 })).status).toBe(
      303,
    )
    expect((await site.browser.get('/reckon')).text).not.toContain('value="weld"')
    expect((await site.browser.get('/catalogue/weld')).text).toContain('no more of it')
    await site.browser.post('/catalogue/weld/withdrawal', { why: 'a new harvest', version: 2 })
    expect((await site.browser.get('/reckon')).text).toContain('value="weld"')
  })

  test('is refused while a lot of it is here', async () => {
    await takeInLot(site)
    const answer = await site.browser.post('/catalogue/flax/withdrawal', { why: 'a slip', version: 1 })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('a lot that is here')
  })
})
