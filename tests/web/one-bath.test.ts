/**
 * Lots of several owners in one bath: only where both allow it and the dyer says so, told apart before it starts, and as
 * many out as in. Mixing what belongs to two owners needs their leave (Indian Contract Act 1872, ss. 155 to 157, used as
 * a plain list of a bailee's duties); what is kept apart by owner stays so (ISO 22095:2020, identity preserved).
 */
import { beforeEach, describe, expect, test } from 'vitest'
import { bathsOfLot } from '../../src/store/baths-of-lot.js'
import { takeIn } from '../../src/store/drop-off.js'
import { keepApart } from '../../src/store/keep-apart.js'
import { reallyUsed } from '../../src/store/loads.js'
import { lotsOfCommission } from '../../src/store/lots.js'
import { wrongSums } from '../../src/store/sums.js'
import { bundle } from '../a-lot.js'
import { newKey, testApp } from '../helper.js'
import { formOnPage } from '../page-form.js'
import { act, ilse, jobOf, keep, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
let pots: [number, number, number]
beforeEach(async () => {
  site = await testApp()
  pots = await threePots(site.db, site.by)
})

type SharesBath = 'may' | 'never' | 'not asked'
/** A lot of red bark for black bottled dye, of somebody new unless a client is given; its recipe is kept. */
async function lotOf(
  client: string | number,
  grams: number[],
  sharesBath: SharesBath = 'may',
  more = {},
  colour = 'true black',
): Promise<number> {
  const who =
    typeof client === 'number'
      ? { id: client }
      : { ...ilse, name: client, mark: '', wishes: `${client}: gently`, sharesBath }
  const lot = {
    fibreId: 'red-cedar-inner-bark',
    colour,
    swatch: '#2a2523',
    route: 'label' as const,
    dyeId: 'all-purpose-bottled',
    tiesUndyed: true,
    against: '',
    repeatsLotId: null,
    bundles: grams.map(weight => bundle(weight)),
  }
  const asked = { purpose: 'hat class', neededBy: '2026-03-20', arrangement: 'trade' as const, note: '' }
  const commissionId = await act(site.db, trx => takeIn(trx, site.by, { client: who, ...asked, lots: [lot] }))
  const [{ id } = { id: 0 }] = await lotsOfCommission(site.db, commissionId)
  await keep(
    site.db,
    site.by,
    id,
    jobOf(
      grams.reduce((sum, weight) => sum + weight, 0),
      more,
    ),
  )
  return id
}

const TOLD = { toldApart: 'all tags stay on, a red knot on those of the second' }
const ticks = (ns: number[], from = '') => Object.fromEntries(ns.map(n => [`${from}bundles.${n}`, 'yes']))
/** The form of the page on which both lots are laid, with these bundles ticked. */
const lay = (lotId: number, other: number, more: Record<string, string | number> = {}) =>
  site.browser.post(`/lots/${lotId}/load`, {
    sent: 'yes',
    ...ticks([1, 2]),
    'others.0.lotId': other,
    ...ticks([1], 'others.0.'),
    potId: pots[0],
    ...TOLD,
    ...more,
  })
const layWith = (lotId: number, ns: number[], other: number) =>
  site.browser.post(`/lots/${lotId}/load`, {
    ...{ sent: 'yes', ...ticks(ns), 'others.0.lotId': other, ...ticks([1], 'others.0.') },
    ...{ potId: pots[0], ...TOLD },
  })
const nothingLaid = () => site.raw.prepare('select count(*) from load').pluck().get() === 0
const clientOf = (lotId: number) =>
  Number(
    site.raw
      .prepare('select client_id from lot join commission c on c.id = commission_id where lot.id = ?')
      .pluck()
      .get(lotId),
  )
/** What the client's page is told of a bath with others. */
async function answer(lotId: number, sharesBath: SharesBath): Promise<void> {
  const url = `/clients/${clientOf(lotId)}/edit`
  const fields = formOnPage((await site.browser.get(url)).text)
  expect((await site.browser.post(url, { ...fields, key: newKey(), sharesBath })).status).toBe(303)
}
const two = async () => [await lotOf('Mara Holm', [150, 100]), await lotOf('Joss Fell', [125])] as const

describe('lots of two clients', () => {
  test('that could share a bath are named on the day’s page, where both allow it and nothing keeps them apart', async () => {
    const hint = async () => (await site.browser.json('/')).body.oneBath
    const [one, other] = await two()
    await lotOf('Ebba Rand', [100], 'not asked')
    await lotOf('Odd Lund', [100], 'may', {}, 'moss green')
    expect(await hint()).toEqual([{ lotId: one, words: `lots ${one} and ${other}` }])
    expect((await site.browser.get('/')).text).toContain(`One bath would do for lots ${one} and ${other}`)
    await answer(other, 'never')
    expect(await hint()).toEqual([])
    await answer(other, 'may')
    await act(site.db, trx => keepApart(trx, site.by, one, 'a moth was seen'))
    expect(await hint()).toEqual([])
  })

  test('are laid into one bath, each with its share, and every page names both', async () => {
    const [one, other] = await two()
    const list = (await site.browser.get(`/lots/${one}/one-bath`)).text
    expect(list).toContain(`/lots/${one}/load?others.0.lotId=${other}`)
    const page = (await site.browser.get(`/lots/${one}/load?others.0.lotId=${other}`)).text
    for (const words of ['Mara Holm: gently', 'Joss Fell: gently', 'How they are told apart', '375 g', 'holds 750 g'])
      expect(page).toContain(words)
    expect((await lay(one, other)).headers.location).toBe('/loads/1')

    const { load } = (await site.browser.json('/loads/1')).body
    expect(load).toMatchObject({ dryWeightG: 375, toldApart: TOLD.toldApart })
    expect(load.lots.map(({ lotId, dryWeightG }: Record<string, number>) => [lotId, dryWeightG])).toEqual([
      [one, 250],
      [other, 125],
    ])
    for (const url of ['/', '/loads/1', `/pots/${pots[0]}/now`, '/loads/1/now', `/pots/${pots[0]}`]) {
      const { text } = await site.browser.get(url)
      for (const words of [
        `lot ${one}`,
        `lot ${other}`,
        'Mara Holm',
        'Joss Fell',
        'Mara Holm: gently',
        'Joss Fell: gently',
      ])
        expect(text.replaceAll(/<[^>]+>/g, ''), `${url} without ${words}`).toContain(words)
    }
    for (const url of ['/pots', '/plan', `/recipes/${load.recipeId}`, `/recipes/${load.recipeId}/pot-sheet`]) {
      const { text } = await site.browser.get(url)
      // A paper bears a client's mark, and the name where there is none.
      for (const name of ['Mara Holm', 'Joss Fell']) expect(text, `${url} without ${name}`).toContain(name)
    }
    for (const [lotId, beside, name] of [
      [one, other, 'Joss Fell'],
      [other, one, 'Mara Holm'],
    ] as const) {
      const { text } = await site.browser.get(`/lots/${lotId}`)
      expect(text).toContain(`In one bath with <a href="/lots/${beside}">lot ${beside}</a> of ${name}`)
      expect(text).toContain(`in one bath with lot ${beside}`)
    }
  })

  test('say how they are told apart to whoever has a bundle in hand, and to nobody once the load has ended', async () => {
    const [one, other] = await two()
    await lay(one, other)
    const pages = [`/bundles/1`, `/lots/${one}/ties`]
    for (const url of pages) {
      const { text } = await site.browser.get(url)
      for (const words of [TOLD.toldApart, 'Joss Fell', `/lots/${other}`]) expect(text, url).toContain(words)
    }
    await site.browser.post('/loads/1/undo', { version: 1 })
    for (const url of pages) expect((await site.browser.get(url)).text, url).not.toContain('Joss Fell')
  })

  test('use each their share of the bath, and the shares add up to it', async () => {
    const [one, other] = await two()
    await lay(one, other)
    await carryOn(2)
    const add = { 'added.substanceId': 'all-purpose-bottled', 'added.amount': '30 mL', 'added.why': 'it takes slowly' }
    expect((await site.browser.post('/loads/1/additions', add)).status).toBe(303)
    const used = async (lotId: number) => (await bathsOfLot(site.db, lotId))[0]?.used ?? []
    const [mine, theirs] = [await used(one), await used(other)]
    const lines = site.raw.prepare('select amount from load_line order by n').pluck().all().map(Number)
    const sums = mine.map(({ amount }, at) => amount + (theirs[at]?.amount ?? 0))
    expect(sums.map(sum => Number(sum.toPrecision(12)))).toEqual([...lines, 30])
    // Two thirds of the fibre is the first client's, and the bath is the same for each kilogram of it.
    for (const [at, { amount }] of mine.entries()) expect(amount / (theirs[at]?.amount ?? 0)).toBeCloseTo(2, 2)
    const [rate, rateOfTheirs] = [await reallyUsed(site.db, one), await reallyUsed(site.db, other)]
    expect(rate[0]?.perKg).toBeCloseTo(((lines[0] ?? 0) + 30) / 0.375, 9)
    expect(rateOfTheirs[0]?.perKg).toBeCloseTo(rate[0]?.perKg ?? 0, 9)
  })

  test('count what a lot got in a bath of its own beside its share of a shared one', async () => {
    const [one, other] = await two()
    await site.browser.post(`/lots/${one}/load`, { sent: 'yes', ...ticks([2]), potId: pots[1] })
    expect((await layWith(one, [1], other)).status).toBe(303)
    for (const id of [1, 2])
      await site.browser.post(`/loads/${id}/steps`, { version: 1, early: 'yes', why: 'so asked' })
    const dye = 'all-purpose-bottled'
    const amounts = site.raw.prepare('select amount from load_line where substance_id = ? order by load_id').pluck()
    const [alone = 0, together = 0] = amounts.all(dye).map(Number)
    const rate = (await reallyUsed(site.db, one)).find(({ substanceId }) => substanceId === dye)
    // 100 g lay alone; of 275 g together, 150 g were of this lot.
    expect(rate?.perKg).toBeCloseTo((alone + (together * 150) / 275) / 0.25, 9)
  })

  test('show nothing of each other on a client’s own page or in what a client takes away', async () => {
    const [one, other] = await two()
    await lay(one, other, { toldApart: 'a red knot on what is Joss Fell’s' })
    await site.browser.post(`/clients/${clientOf(one)}/page`, { do: 'make' })
    const token = String(site.raw.prepare('select token from client_page').pluck().get())
    const own = (await site.browser.get(`/c/${token}`)).text
    expect(own).toContain('Mara Holm')
    const everything = (await site.browser.get(`/clients/${clientOf(one)}/everything`)).text
    for (const text of [own, everything]) expect(text).not.toContain('Joss')
  })
})

describe('is refused, with what was typed still there,', () => {
  type Refused = [string, () => Promise<readonly [number, number]>, string | RegExp, Record<string, string | number>?]
  const cases: Refused[] = [
    [
      'without a word how they are told apart',
      two,
      'Say how the bundles of lots 1 and 2 are told apart',
      { toldApart: ' - ' },
    ],
    [
      'when one said never',
      async () => [await lotOf('Mara Holm', [150, 100]), await lotOf('Joss Fell', [125], 'never')],
      'Joss Fell has said that their fibre never shares a bath',
    ],
    [
      'when one was not asked',
      async () => [await lotOf('Mara Holm', [150, 100], 'not asked'), await lotOf('Joss Fell', [125])],
      'Mara Holm was not asked yet',
    ],
    [
      'when one is kept apart',
      async () => {
        const [one, other] = await two()
        await act(site.db, trx => keepApart(trx, site.by, other, 'insects seen'))
        return [one, other]
      },
      'Lot 2 is kept apart, because: insects seen.',
    ],
    [
      'for another colour of the same bottled dye',
      async () => [await lotOf('Mara Holm', [150, 100]), await lotOf('Joss Fell', [125], 'may', {}, 'harbour blue')],
      'What differs: the colour asked (true black; harbour blue)',
    ],
    [
      'for another depth',
      async () => [await lotOf('Mara Holm', [150, 100]), await lotOf('Joss Fell', [125], 'may', { depth: 2 })],
      /The bath of lot 2 is not that of lot 1\. What differs: .*the depth/,
    ],
    [
      'for another liquor ratio',
      async () => [
        await lotOf('Mara Holm', [150, 100]),
        await lotOf('Joss Fell', [125], 'may', { liquorRatioLPerKg: 30 }),
      ],
      /What differs: the water/,
    ],
    [
      'for an assistant that only one gets',
      async () => [
        await lotOf('Mara Holm', [150, 100]),
        await lotOf('Joss Fell', [125], 'may', {
          extras: [{ substanceId: 'common-salt', basis: '% owf', amount: 50 }],
        }),
      ],
      /What differs: .*salt/,
    ],
    ['in a pot that is too small, by how much', two, 'this load is 75 g over', { potId: 3 }],
    ['without a bundle of one of them', two, 'Tick at least one bundle of lot 2', { 'others.0.bundles.1': '' }],
  ]
  test.each(cases)('%s', async (what, lots, sentence, more = {}) => {
    const [one, other] = await lots()
    const sent = what.startsWith('without a bundle') ? await layWithout(one, other) : await lay(one, other, more)
    expect([409, 422]).toContain(sent.status)
    typeof sentence === 'string' ? expect(sent.text).toContain(sentence) : expect(sent.text).toMatch(sentence)
    expect(sent.text).toContain(`name="others.0.lotId" value="${other}"`)
    if (!('toldApart' in more)) expect(sent.text).toContain(TOLD.toldApart)
    expect(nothingLaid()).toBe(true)
  })
  const layWithout = (one: number, other: number) =>
    site.browser.post(`/lots/${one}/load`, { sent: 'yes', ...ticks([1]), 'others.0.lotId': other, potId: 1, ...TOLD })

  test('and the list says why', async () => {
    const [one] = await two()
    await lotOf('Pia Sedge', [90], 'never')
    const { could, cannot } = (await site.browser.json(`/lots/${one}/one-bath`)).body
    expect(could.map(({ lot }: { lot: { clientName: string } }) => lot.clientName)).toEqual(['Joss Fell'])
    expect(cannot[0].why).toContain('Pia Sedge has said')
  })
})

test('lots of one client need no leave, but a word how they are told apart', async () => {
  const one = await lotOf('Mara Holm', [150, 100], 'never')
  const other = await lotOf(clientOf(one), [125])
  expect((await lay(one, other, { toldApart: '' })).status).toBe(422)
  expect((await lay(one, other)).status).toBe(303)
})

test('when the ties of one stay undyed, the steps of the bath say so', async () => {
  const [one, other] = [
    await lotOf('Mara Holm', [150, 100]),
    await lotOf('Joss Fell', [125], 'may', { tiesUndyed: true }),
  ]
  expect((await lay(one, other)).status).toBe(303)
  expect((await dataOf()).now.words).toContain('They stay undyed')
})

test('three lots share a bath as two do', async () => {
  const [one, other] = await two()
  const third = await lotOf('Pia Sedge', [90])
  const more = { 'others.1.lotId': third, ...ticks([1], 'others.1.') }
  expect((await lay(one, other, more)).status).toBe(303)
  expect((await site.browser.get('/loads/1')).text).toContain('lots 1, 2 and 3')
})

const step = (version: number, more: Record<string, string | number> = {}) =>
  site.browser.post('/loads/1/steps', { version, early: 'yes', why: 'so asked', ...more })
const dataOf = async () => (await site.browser.json('/loads/1')).body
const versionNow = async (): Promise<number> => (await dataOf()).load.version
/** Steps that take nothing out, until the next one does. */
async function carryOn(most = 9): Promise<void> {
  for (let n = 0; n < most && (await dataOf()).toCount.length === 0; n += 1) await step(await versionNow())
}

describe('emptying', () => {
  const out = (...counts: (number | string)[]) => Object.fromEntries(counts.map((count, at) => [`out.${at}`, count]))
  const codesOf = (lotId: number): string[] =>
    site.raw
      .prepare('select code from tag join bundle on bundle.id = bundle_id where lot_id = ? and load_id = 1 order by n')
      .pluck()
      .all(lotId)
      .map(code => `${String(code).slice(0, 2)}`)

  test('asks for both counts, and is refused while out is not in, naming the lot and the tags', async () => {
    const [one, other] = await two()
    await lay(one, other)
    await carryOn()
    for (const url of ['/loads/1', '/loads/1/now']) {
      const { text } = await site.browser.get(url)
      for (const lotId of [one, other]) expect(text).toContain(`Bundles of lot ${lotId} counted out`)
    }
    // The card of the day has no room for counts: it leads to the page that has.
    expect((await site.browser.get('/')).text).toContain('Count, then: Lift into the rinse')
    const version = await versionNow()
    for (const [counts, sentences] of [
      [{}, ['number of bundles of lot 1', 'number of bundles of lot 2']],
      [out('two', 1), ['number of bundles of lot 1']],
      [out(1, 1), ['Lot 1: 1 counted out, 2 expected.', ...codesOf(one)]],
      [out(2, 0), ['Lot 2: 0 counted out, 1 expected.', ...codesOf(other), 'bundle lost']],
    ] as const) {
      const page = await step(version, { ...counts, back: 'pot' })
      expect(page.status).toBe(422)
      for (const sentence of sentences) expect(page.text).toContain(sentence)
    }
    expect(site.raw.prepare('select count(*) from counted_out').pluck().get()).toBe(0)
    expect(await versionNow()).toBe(version)
    expect((await step(version, out(2, '1 bundle'))).status).toBe(303)
    expect((await dataOf()).load.potFreeAt).not.toBeNull()
  })

  test('a step too short, counts that are wrong and a time that cannot be are said at once', async () => {
    const [one, other] = await two()
    await lay(one, other)
    await carryOn()
    site.clock.at = '2026-03-02T09:05:00.000Z'
    const version = await versionNow()
    const both = await step(version, { early: '', ...out(1, 0) })
    expect(both.status).toBe(422)
    for (const field of ['early', 'out.0', 'out.1']) expect(both.text).toContain(`href="#${field}"`)
    const late = await step(version, { at: 'the other day', ...out(1, 1) })
    for (const field of ['at', 'out.0']) expect(late.text).toContain(`href="#${field}"`)
    // Counts from a page that is behind say nothing of the step that runs now.
    expect((await step(version - 1, out(1, 0))).status).toBe(409)
  })

  test('a lost bundle is accounted for by what went wrong, and found again it is waited for again', async () => {
    const [one, other] = await two()
    await lay(one, other)
    await carryOn()
    const wrong = (kind: string) =>
      site.browser.post(`/lots/${one}/incidents/new`, {
        kind,
        'bundles.2': 'yes',
        whatHappened: 'the drain of the sink',
      })
    expect((await wrong('bundle lost')).status).toBe(303)
    expect((await site.browser.get('/loads/1/now')).text).toContain('Written down as lost: 2.')
    expect((await step(await versionNow(), out(2, 1))).text).toContain('and 2 is written down as lost')
    expect((await wrong('bundle found again')).status).toBe(303)
    expect((await step(await versionNow(), out(1, 1))).status).toBe(422)
    await wrong('bundle lost')
    expect((await step(await versionNow(), out(1, 1))).status).toBe(303)
  })

  test('undone, it is counted again; and counted once more as the load ends', async () => {
    const [one, other] = await two()
    await lay(one, other)
    await carryOn()
    await step(await versionNow(), out(2, 1))
    await site.browser.post('/loads/1/undo', { version: await versionNow() })
    expect((await dataOf()).load.potFreeAt).toBeNull()
    expect((await step(await versionNow())).status).toBe(422)
    expect((await step(await versionNow(), out(2, 1))).status).toBe(303)
    await carryOn()
    expect((await step(await versionNow(), out(1, 1))).status).toBe(422)
    expect((await step(await versionNow(), out(2, 1))).status).toBe(303)
    expect((await dataOf()).load.doneAt).not.toBeNull()
    // Three presses that counted, one of them undone: all of them stay.
    expect(site.raw.prepare('select count(*) from counted_out').pluck().get()).toBe(6)
  })

  test('undone to its beginning, every bundle is where it came from', async () => {
    const [one, other] = await two()
    await lay(one, other)
    await carryOn(1)
    for (let n = 0; n < 2; n += 1) await site.browser.post('/loads/1/undo', { version: await versionNow() })
    expect(site.raw.prepare('select distinct place from bundle').pluck().all()).toEqual(['arrivals shelf'])
    expect((await lay(one, other)).status).toBe(303)
  })

  test('asks nothing of a load of one lot', async () => {
    const [one] = await two()
    await site.browser.post(`/lots/${one}/load`, { ...ticks([1, 2]), potId: pots[0] })
    for (let n = 1; n <= 5; n += 1) expect((await step(n)).status).toBe(303)
    expect((await dataOf()).load.doneAt).not.toBeNull()
  })
})

test('a weight that is put right afterwards changes no share of the bath', async () => {
  const [one, other] = await two()
  await lay(one, other)
  const right = { version: 1, why: 'read wrongly off the scale', 'bundles.1.weight': '180 g' }
  expect((await site.browser.post(`/lots/${one}/put-right`, right)).status).toBe(303)
  expect((await dataOf()).load.lots.map(({ dryWeightG }: { dryWeightG: number }) => dryWeightG)).toEqual([250, 125])
  expect(await wrongSums(site.db)).toEqual([])
})

test('what a client says later stands from then on', async () => {
  const [one, other] = await two()
  await lay(one, other)
  await answer(other, 'never')
  expect((await site.browser.get('/loads/1')).text).toContain('Joss Fell says now that their fibre never shares')
  await site.browser.post('/loads/1/undo', { version: 1 })
  expect((await lay(one, other)).text).toContain('never shares a bath')
})
