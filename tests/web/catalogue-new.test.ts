import { beforeEach, describe, expect, test } from 'vitest'
import { takeInLot } from '../a-lot.js'
import { firstEntries } from '../domain/catalogue-kit.js'
import { testApp } from '../helper.js'
import { formOnPage } from '../page-form.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

type Group = {
  figures: { path: string; label: string; figure: { value: number; provenance: { source: string } } | null }[]
}
const figuresOf = async (id: string) =>
  (await site.browser.json(`/catalogue/${id}`)).body.groups.flatMap(({ figures }: Group) => figures)
const figureOf = async (id: string, path: string): Promise<Group['figures'][number]['figure']> =>
  (await figuresOf(id)).find((one: { path: string }) => one.path === path)?.figure
const entryOf = async (id: string) => (await site.browser.json(`/catalogue/${id}`)).body.entry

const hop = { name: 'Hop bine', latin: 'Humulus lupulus', part: 'bast', words: 'Stripped from the bine.' }
const like = (id: string, kind = 'fibre') => `/catalogue/new/${kind}?from=${id}`

describe('the page that adds to the catalogue', () => {
  test('leads to an entry of each kind, from nothing or like one that is there', async () => {
    const page = await site.browser.get('/catalogue/new')
    for (const kind of ['fibre', 'substance', 'rule']) expect(page.text).toContain(`href="/catalogue/new/${kind}"`)
    const led = await site.browser.get('/catalogue/new?from=potassium-alum')
    expect([led.status, led.headers.location]).toEqual([302, '/catalogue/new/substance?from=potassium-alum'])
    expect((await site.browser.get('/catalogue/new?from=nothing')).status).toBe(404)
    expect((await site.browser.get('/catalogue/new/poison')).status).toBe(404)
    expect((await site.browser.get('/catalogue/new/constructor')).status).toBe(404)
    expect((await site.browser.get(like('potassium-alum'))).status).toBe(404)
    expect((await site.browser.post(like('potassium-alum'), hop)).status).toBe(404)
  })

  test('shows what the other one is like, but not its name', async () => {
    const form = formOnPage((await site.browser.get(like('ferrous-sulfate', 'substance'))).text)
    expect(form).toMatchObject({ name: '', kind: 'mordant', dyeClass: 'iron', form: 'crystals', unit: 'g' })
  })
})

describe('a fibre of the dyer’s own', () => {
  test('from nothing has no figure that is known', async () => {
    const answer = await site.browser.post('/catalogue/new/fibre', hop)
    expect(answer.headers.location).toBe('/catalogue/hop-bine')
    expect(await entryOf('hop-bine')).toMatchObject({ id: 'hop-bine', ...hop })
    const figures = await figuresOf('hop-bine')
    expect(figures).toHaveLength(17)
    expect(figures.every(({ figure }: { figure: unknown }) => figure === null)).toBe(true)
    expect((await site.browser.get('/catalogue/hop-bine')).text).toContain('not known: try a strip')
  })

  test('like another one takes its figures over and says whose they were, or leaves them open', async () => {
    await site.browser.post(like('flax'), { ...hop, figures: 'taken over' })
    const liquor = await figureOf('hop-bine', 'liquorRatioLPerKg')
    expect(liquor?.value).toBe(20)
    expect(liquor?.provenance.source).toMatch(/^taken over from flax: Beech 1901/)
    await site.browser.post(like('flax'), { ...hop, name: 'Hop, wild', figures: 'not known' })
    expect(await figureOf('hop-wild', 'liquorRatioLPerKg')).toBeNull()
  })

  test('is reckoned with, once it can be', async () => {
    await site.browser.post(like('flax'), { ...hop, figures: 'taken over' })
    const query = 'fibreId=hop-bine&weight=500+g&dyes.0.substanceId=weld&depth=medium'
    const { body } = await site.browser.json(`/reckon?${query}`)
    expect(body.recipe.fibreName).toBe('Hop bine')
    expect(body.recipe.waterL).toBeCloseTo(10, 9)
  })

  test('with a name that makes no address gets one all the same, and never the one of this form', async () => {
    const addressOf = async (name: string) =>
      (await site.browser.post('/catalogue/new/fibre', { ...hop, name })).headers.location
    expect(await addressOf('ホップ')).toBe('/catalogue/own-fibre')
    expect(await addressOf('New')).toBe('/catalogue/new-2')
    expect((await site.browser.get('/catalogue/new-2')).status).toBe(200)
  })
})

describe('a substance of the dyer’s own', () => {
  const gall = { name: 'Own gall liquor', words: 'Boiled galls.', kind: 'mordant', form: 'liquid', unit: 'mL' }

  test('that is a mordant can be chosen at once, by a typed amount', async () => {
    expect((await site.browser.post('/catalogue/new/substance', gall)).headers.location).toBe(
      '/catalogue/own-gall-liquor',
    )
    expect((await entryOf('own-gall-liquor')).mordantDose).toEqual({ basis: '% owf', amount: null })
    const lot = await takeInLot(site)
    const query = 'dyes.0.substanceId=weld&depth=medium&mordants.0.substanceId=own-gall-liquor'
    const bare = await site.browser.get(`/lots/${lot}/recipe?${query}`)
    expect(bare.text).toContain('How much Own gall liquor to use is not known: try a strip')
    const { recipe } = (await site.browser.json(`/lots/${lot}/recipe?${query}&mordants.0.owfPercent=30`)).body
    const line = recipe.lines.find(({ key }: { key: string }) => key === 'mordant-1:own-gall-liquor')
    expect([line.amount, line.unit]).toEqual([expect.closeTo(300, 9), 'mL'])
  })

  test('that is an assistant says what nobody has looked up yet', async () => {
    await site.browser.post('/catalogue/new/substance', { ...gall, name: 'Ash lye', kind: 'alkali' })
    const { mordantDose, hazard } = await entryOf('ash-lye')
    expect(mordantDose).toBeNull()
    expect(hazard).toEqual({
      signalWord: null,
      statements: [],
      standing: "supplier's sheet decides",
      provenance: { kind: 'own experience', source: 'not looked up yet' },
    })
    expect((await site.browser.get('/catalogue/weld/edit/assistants')).text).toContain('value="ash-lye"')
  })

  test('like any other is whole, and its label is left to the supplier', async () => {
    for (const { kind, entry } of firstEntries.filter(({ kind }) => kind !== 'rule')) {
      const url = like(entry.id, kind)
      const asked = {
        ...formOnPage((await site.browser.get(url)).text),
        name: `like ${entry.id}`,
        figures: 'taken over',
      }
      const answer = await site.browser.post(url, asked)
      expect(answer.status, entry.id).toBe(303)
      if (kind === 'substance')
        expect((await entryOf(`like-${entry.id}`)).hazard.standing).toBe("supplier's sheet decides")
    }
  })

  test('does not take figures in grams over as millilitres', async () => {
    const url = like('tannic-acid', 'substance')
    const answer = await site.browser.post(url, { ...gall, figures: 'taken over' })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('The figures of tannic acid are in g')
    expect((await site.browser.post(url, { ...gall, figures: 'not known' })).status).toBe(303)
  })
})

describe('a rule of the dyer’s own', () => {
  const rule = {
    name: 'Weld on flax',
    severity: 'changes colour',
    words: 'Our well water greens it.',
    'provenance.kind': 'own experience',
    'provenance.source': 'three lots of 2026',
    'fibreIds.0': 'flax',
    'dyeIds.0': 'weld',
  }

  test('speaks from then on, on every recipe', async () => {
    expect((await site.browser.post('/catalogue/new/rule', rule)).headers.location).toBe('/catalogue/weld-on-flax')
    const lot = await takeInLot(site)
    const { findings } = (await site.browser.json(`/lots/${lot}/recipe`)).body.recipe
    expect(findings).toContainEqual(
      expect.objectContaining({
        ruleId: 'weld-on-flax',
        words: 'Our well water greens it.',
        severity: 'changes colour',
      }),
    )
    const weld = (await site.browser.json('/catalogue/weld')).body
    expect(weld.rules).toContainEqual({ id: 'weld-on-flax', name: 'Weld on flax' })
  })

  test('like another one begins from what that one says', async () => {
    const url = like('red-cedar-indigo', 'rule')
    const asked = { ...formOnPage((await site.browser.get(url)).text), name: 'Indigo on elm' }
    expect(asked).toMatchObject({ severity: 'does not take', 'provenance.kind': 'common practice' })
    expect(Object.values(asked)).toContain('red-cedar-inner-bark')
    expect((await site.browser.post(url, asked)).status).toBe(303)
    expect((await entryOf('indigo-on-elm')).fibreIds).toEqual(['red-cedar-inner-bark'])
  })

  test.each([
    ['no source', { 'provenance.source': '' }, 'provenance.source'],
    ['no kind of source', { 'provenance.kind': 'hearsay' }, 'provenance.kind'],
    ['another severity', { severity: 'dreadful' }, 'severity'],
    ['nothing that it speaks of', { 'fibreIds.0': '', 'dyeIds.0': '' }, 'fibreIds'],
    ['a dye that is none', { 'dyeIds.0': 'chalk' }, 'dyeIds'],
    ['no words', { words: '' }, 'words'],
  ])('is not added with %s', async (_, wrong, field) => {
    const answer = await site.browser.post('/catalogue/new/rule', { ...rule, ...wrong })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain(`href="#${field}"`)
    expect((await site.browser.get('/catalogue/weld-on-flax')).status).toBe(404)
  })
})

describe('a form for something new', () => {
  test.each([
    ['/catalogue/new/fibre', {}],
    ['/catalogue/new/substance', {}],
    ['/catalogue/new/rule', {}],
    [like('flax'), {}],
    [like('flax'), hop],
    ['/catalogue/new/fibre', { ...hop, name: 'FLAX' }],
    ['/catalogue/new/fibre', { ...hop, part: 'root' }],
    ['/catalogue/new/fibre', { ...hop, name: '☃'.repeat(10_000) }],
    ['/catalogue/new/substance', { name: 'Ours', words: 'Red.', kind: 'dyestuff', form: 'powder', unit: 'g' }],
    ['/catalogue/new/substance', { name: 'Ours', words: 'Red.', kind: 'assistant', form: 'powder' }],
  ])('sent to %s as %o comes back at 422 with what was typed', async (url, fields) => {
    const answer = await site.browser.post(url, fields)
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('There is a problem')
    for (const name of ['name', 'words']) expect(answer.text).toContain(new Map(Object.entries(fields)).get(name) ?? '')
  })
})
