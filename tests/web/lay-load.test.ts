import { beforeEach, describe, expect, test } from 'vitest'
import { newKey, START, testApp } from '../helper.js'
import { jobOf, keep, lotReady, takeInLot, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
let pots: [number, number, number]
beforeEach(async () => {
  site = await testApp()
  pots = await threePots(site.db, site.by)
})

const later = (minutes: number): string => new Date(Date.parse(START) + minutes * 60_000).toISOString()
const direct = { substanceId: 'direct-dye-powder', share: 1, owfPercent: 1 }
const ticks = (...ns: number[]) => Object.fromEntries(ns.map(n => [`bundles.${n}`, 'yes']))
const placesOf = async (lotId: number) => {
  const { lot } = (await site.browser.json(`/lots/${lotId}/load`)).body
  return lot.bundles.map(({ place }: { place: string }) => place)
}

describe('putting a lot in a pot', () => {
  test('shows what each pot holds and whether all of it fits', async () => {
    const lotId = await lotReady(site.db, site.by)
    const { text } = await site.browser.get(`/lots/${lotId}/load`)
    expect(text).toContain('<strong>Pot 1</strong>, holds 750 g: fits, with room for 150 g more')
    expect(text).toContain('<strong>Pot 2</strong>, holds 450 g: too small by 150 g')
    expect(text.match(/type="checkbox"[^>]* checked/g)).toHaveLength(4)
  })

  test('reckons again for the bundles that are ticked', async () => {
    const lotId = await lotReady(site.db, site.by)
    const { body } = await site.browser.json(`/lots/${lotId}/load?sent=yes&bundles.1=yes`)
    expect(body.chosenG).toBe(150)
    expect(body.pots.map(({ fit }: { fit: { fits: boolean } }) => fit.fits)).toEqual([true, true, true])
  })

  test('puts it in, and leads to the page at the pot', async () => {
    const lotId = await lotReady(site.db, site.by)
    const answer = await site.browser.post(`/lots/${lotId}/load`, { ...ticks(1, 2), potId: pots[1] })
    expect(answer.status).toBe(303)
    expect(answer.headers.location).toMatch(/^\/loads\/\d+$/)
    expect(await placesOf(lotId)).toEqual(['soak tub', 'soak tub', 'arrivals shelf', 'arrivals shelf'])
  })

  describe('what is said of a pot', () => {
    const iron = { substanceId: 'ferrous-sulfate', when: 'after dye' as const, bath: 1, owfPercent: 1 }
    const say = (column: 'no_iron' | 'only_brights' | 'no_heat') =>
      site.raw.exec(`update pot set ${column} = 1 where id = ${pots[0]}`)

    test.each([
      ['no_iron', 'Pot 1 is never used with iron'],
      ['only_brights', 'Pot 1 is kept for brights'],
      ['no_heat', 'Pot 1 has no heat, which this bath needs'],
    ] as const)('%s: iron is not offered it, and never goes into it', async (column, why) => {
      say(column)
      const lotId = await lotReady(site.db, site.by, {}, { mordants: [iron] })
      const { text } = await site.browser.get(`/lots/${lotId}/load`)
      expect(text).not.toContain(`name="potId" value="${pots[0]}"`)
      expect(text).toContain(why.slice('Pot 1 '.length))
      const answer = await site.browser.post(`/lots/${lotId}/load`, { ...ticks(1, 2), potId: pots[0] })
      expect(answer.status).toBe(422)
      expect(answer.text).toContain(`${why}: choose another pot`)
      expect(await placesOf(lotId)).toEqual(Array(4).fill('arrivals shelf'))
      expect((await site.browser.post(`/lots/${lotId}/load`, { ...ticks(1, 2), potId: pots[1] })).status).toBe(303)
    })

    test('what has no iron goes into it, and the bundles are shared out over the other pots otherwise', async () => {
      say('no_iron')
      const plain = await lotReady(site.db, site.by, { bundles: 2 })
      expect((await site.browser.json(`/lots/${plain}/load`)).body.pots[0]).toMatchObject({ keptFrom: null })
      const dark = await lotReady(site.db, site.by, {}, { mordants: [iron] })
      const { split } = (await site.browser.json(`/lots/${dark}/load`)).body
      expect(split.loads.map(({ potId }: { potId: number }) => potId)).not.toContain(pots[0])
      expect((await site.browser.post(`/lots/${plain}/load`, { ...ticks(1, 2), potId: pots[0] })).status).toBe(303)
    })

    test('bare metal that changes the colour is said, and not refused', async () => {
      site.raw.exec(`update pot set metal = 'bare copper' where id = ${pots[0]}`)
      const lotId = await lotReady(site.db, site.by)
      expect((await site.browser.get(`/lots/${lotId}/load`)).text).toContain('bare copper changes this colour')
      expect((await site.browser.post(`/lots/${lotId}/load`, { ...ticks(1, 2), potId: pots[0] })).status).toBe(303)
    })
  })

  test('may be told later than it happened; when it was entered is kept', async () => {
    const lotId = await lotReady(site.db, site.by)
    site.clock.at = later(120)
    const told = { ...ticks(1, 2), potId: pots[1], at: '30 min ago' }
    expect((await site.browser.post(`/lots/${lotId}/load`, told)).status).toBe(303)
    const { load } = (await site.browser.json('/loads/1')).body
    expect(load).toMatchObject({ laidAt: later(90), stepSince: later(90) })
    expect(load.log).toMatchObject([{ at: later(90), enteredAt: later(120) }])
    expect((await site.browser.get('/loads/1')).text).toContain('30 min so far')
  })

  test('a time before the bundles were here, or before the pot was free, is asked about', async () => {
    const lotId = await lotReady(site.db, site.by)
    site.clock.at = later(60)
    await site.browser.post(`/lots/${lotId}/load`, { ...ticks(1), potId: pots[1] })
    await site.browser.post('/loads/1/undo', { version: 1 })
    site.clock.at = later(120)
    for (const [at, sentence] of [
      ['3 h ago', 'These bundles did not lie on the shelf before today 09:00. Write that, or later.'],
      ['90 min ago', 'This pot was not free before today 10:00. Write that or later'],
      ['23:50', 'is still to come today'],
      ['x'.repeat(10_000), 'cannot be read as a time'],
    ] as const) {
      const page = await site.browser.post(`/lots/${lotId}/load`, { ...ticks(2), potId: pots[1], at })
      expect(page.status).toBe(422)
      expect(page.text).toContain(sentence)
      expect(page.text).toContain(`value="${at}"`)
    }
    expect(await placesOf(lotId)).toEqual(Array(4).fill('arrivals shelf'))
  })

  test('shared out over pots, it may be told later than it happened as well', async () => {
    const lotId = await lotReady(site.db, site.by, { bundles: 6 })
    site.clock.at = later(120)
    const page = await site.browser.get(`/lots/${lotId}/load`)
    expect(page.text).toContain('Put in as shared out')
    const [first, second] = (await site.browser.json(`/lots/${lotId}/load`)).body.split.loads
    const shared = {
      'loads.0.potId': first.potId,
      'loads.0.bundles': first.bundleNs.join(),
      'loads.1.potId': second.potId,
      'loads.1.bundles': second.bundleNs.join(),
    }
    const early = await site.browser.post(`/lots/${lotId}/loads`, { ...shared, sharedAt: '3 h ago' })
    expect(early.status).toBe(422)
    expect(early.text).toContain('href="#sharedAt"')
    expect(early.text).toContain('value="3 h ago"')
    expect(await placesOf(lotId)).toEqual(Array(6).fill('arrivals shelf'))
    expect((await site.browser.post(`/lots/${lotId}/loads`, { ...shared, sharedAt: '40 min ago' })).status).toBe(303)
    for (const id of [1, 2]) expect((await site.browser.json(`/loads/${id}`)).body.load.laidAt).toBe(later(80))
  })

  test('too much is refused, saying by how much, with the ticks still there', async () => {
    const lotId = await lotReady(site.db, site.by)
    const page = await site.browser.post(`/lots/${lotId}/load`, { ...ticks(1, 2, 3), potId: pots[2] })
    expect(page.status).toBe(422)
    expect(page.text).toContain('Pot 3 holds 300 g at a liquor ratio of 1 : 20; this load is 150 g over.')
    expect(page.text.match(/type="checkbox"[^>]* checked/g)).toHaveLength(3)
    expect(page.text).toContain(`name="potId" value="${pots[2]}" checked`)
    expect(await placesOf(lotId)).toEqual(Array(4).fill('arrivals shelf'))
  })

  test('by a recipe for a dye that is no longer asked is refused, before the first pot only', async () => {
    const lotId = await lotReady(site.db, site.by)
    const against = { 'ask.against': 'a breath of blue is enough', 'ask.agreed': 'message' }
    const ask = (version: number, dyeId: string) =>
      site.browser.post(`/lots/${lotId}/colour-ask`, { version, 'ask.colour': 'blue', 'ask.dyeId': dyeId, ...against })
    expect((await ask(1, 'indigo-fructose-vat')).status).toBe(303)
    const sentence =
      /The recipe of lot 1 was made for [^;]*bottled[^;]*; make a new one for [^;]*indigo[^;]*, which is asked of it now\./i
    const page = await site.browser.post(`/lots/${lotId}/load`, { ...ticks(1, 2), potId: pots[0] })
    expect(page.status).toBe(409)
    expect(page.text).toMatch(sentence)
    expect((await site.browser.get(`/lots/${lotId}/load`)).text).toMatch(sentence)
    expect(await placesOf(lotId)).toEqual(Array(4).fill('arrivals shelf'))
    const shared = { 'loads.0.potId': pots[0], 'loads.0.bundles': '1,2' }
    expect((await site.browser.post(`/lots/${lotId}/loads`, shared)).status).toBe(409)

    expect((await ask(2, 'all-purpose-bottled')).status).toBe(303)
    expect((await site.browser.post(`/lots/${lotId}/load`, { ...ticks(1), potId: pots[0] })).status).toBe(303)
    // From here on the ask is settled: another recipe is for a bath over the first.
    await keep(site.db, site.by, lotId, { ...jobOf(600), route: 'powder', dyes: [direct] })
    expect((await site.browser.post(`/lots/${lotId}/load`, { ...ticks(2), potId: pots[1] })).status).toBe(303)
  })

  test('a pot that is in use is refused', async () => {
    const [one, two] = [await lotReady(site.db, site.by), await lotReady(site.db, site.by)]
    await site.browser.post(`/lots/${one}/load`, { ...ticks(1), potId: pots[0] })
    const page = await site.browser.post(`/lots/${two}/load`, { ...ticks(1), potId: pots[0] })
    expect(page.status).toBe(409)
    expect(page.text).toContain('Pot 1 is in use by load 1')
  })

  test.each([
    [{}, 'Tick at least one bundle'],
    [ticks(1), 'Choose one: pot.'],
    [{ ...ticks(1), potId: 'x'.repeat(10_000) }, 'Choose one: pot.'],
    [{ ...ticks(1), potId: '99' }, 'Choose a pot.'],
    [{ ...ticks(1, 9), potId: '1' }, 'has no bundle 9'],
  ])('%#: what is missing is asked for', async (fields, sentence) => {
    const lotId = await lotReady(site.db, site.by)
    const page = await site.browser.post(`/lots/${lotId}/load`, fields)
    expect(page.status).toBe(422)
    expect(page.text).toContain(sentence)
  })

  test('without a recipe it leads there first', async () => {
    const lotId = await takeInLot(site.db, site.by)
    expect((await site.browser.get(`/lots/${lotId}/load`)).text).toContain(`href="/lots/${lotId}/recipe"`)
    expect((await site.browser.post(`/lots/${lotId}/load`, { ...ticks(1), potId: pots[0] })).status).toBe(422)
  })

  test('pressed twice it is one load', async () => {
    const lotId = await lotReady(site.db, site.by)
    const press = { ...ticks(1, 2), potId: pots[0], key: newKey() }
    const answers = await Promise.all([1, 2].map(() => site.browser.post(`/lots/${lotId}/load`, press)))
    expect(answers.map(({ status, headers }) => [status, headers.location])).toEqual([
      [303, '/loads/1'],
      [303, '/loads/1'],
    ])
    expect((await site.browser.get('/loads/2')).status).toBe(404)
  })
})

describe('more than one pot can take', () => {
  test('is shared out over the pots, and put in as proposed in one press', async () => {
    const lotId = await lotReady(site.db, site.by, { bundles: 7 })
    const { split } = (await site.browser.json(`/lots/${lotId}/load`)).body
    // 1050 g over pots that hold 750 g, 450 g and 300 g: two pots are enough.
    expect(split.loads).toHaveLength(2)
    expect(split.leftNs).toEqual([])
    const fields = Object.fromEntries(
      split.loads.flatMap(({ potId, bundleNs }: { potId: number; bundleNs: number[] }, at: number) => [
        [`loads.${at}.potId`, String(potId)],
        [`loads.${at}.bundles`, bundleNs.join(',')],
      ]),
    )
    const answer = await site.browser.post(`/lots/${lotId}/loads`, fields)
    expect([answer.status, answer.headers.location]).toEqual([303, '/'])
    expect(await placesOf(lotId)).toEqual(Array(7).fill('soak tub'))
  })

  test('when one of the pots is taken meanwhile, nothing goes in', async () => {
    const [lotId, other] = [await lotReady(site.db, site.by), await lotReady(site.db, site.by)]
    await site.browser.post(`/lots/${other}/load`, { ...ticks(1), potId: pots[1] })
    const page = await site.browser.post(`/lots/${lotId}/loads`, {
      'loads.0.potId': pots[0],
      'loads.0.bundles': '1,2',
      'loads.1.potId': pots[1],
      'loads.1.bundles': '3,4',
    })
    expect(page.status).toBe(409)
    expect(page.text).toContain('Pot 2 is in use')
    expect(await placesOf(lotId)).toEqual(Array(4).fill('arrivals shelf'))
  })

  test.each([{}, { loads: 'x' }, { 'loads.0.potId': '1', 'loads.0.bundles': 'all' }, { 'loads.0.potId': '' }])(
    '%#: a form that is not whole puts nothing in',
    async fields => {
      const lotId = await lotReady(site.db, site.by)
      expect((await site.browser.post(`/lots/${lotId}/loads`, fields)).status).toBe(422)
      expect(await placesOf(lotId)).toEqual(Array(4).fill('arrivals shelf'))
    },
  )

  test('what fits in no pot is said', async () => {
    const lotId = await lotReady(site.db, site.by, { bundles: 1, dryWeightG: 900 })
    const { text } = await site.browser.get(`/lots/${lotId}/load`)
    expect(text).toContain('the heaviest weighs 900 g, the largest free pot holds 750 g')
  })
})
