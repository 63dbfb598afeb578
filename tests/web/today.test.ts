import type { CompiledQuery } from 'kysely'
import { beforeEach, describe, expect, test } from 'vitest'
import { openQuestions } from '../../src/store/count-questions.js'
import { type Db, kyselyOn } from '../../src/store/db.js'
import { openIncidents } from '../../src/store/incidents.js'
import { loadsAtWork } from '../../src/store/loads.js'
import { potsNow } from '../../src/store/pots.js'
import { lotsInHand } from '../../src/store/today.js'
import { START, testApp } from '../helper.js'
import { lotReady, takeInLot, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
let pots: [number, number, number]
beforeEach(async () => {
  site = await testApp()
  pots = await threePots(site.db, site.by)
})

const at = (minutes: number): string => new Date(Date.parse(START) + minutes * 60_000).toISOString()
const lay = async (lotId: number, potId: number, ns: number[]) => {
  const ticks = Object.fromEntries(ns.map(n => [`bundles.${n}`, 'yes']))
  const answer = await site.browser.post(`/lots/${lotId}/load`, { ...ticks, potId })
  return Number(answer.headers.location?.split('/').at(-1))
}
const press = async (id: number, more: Record<string, string> = {}) => {
  const { version } = (await site.browser.json(`/loads/${id}`)).body.load
  return site.browser.post(`/loads/${id}/steps`, { version, back: 'today', early: 'yes', ...more })
}
const carryTo = async (id: number, place: string) => {
  for (let presses = 0; presses < 10; presses += 1) {
    const { now } = (await site.browser.json(`/loads/${id}`)).body
    if ((now?.place ?? 'ready shelf') === place) return
    await press(id)
  }
}
const todayData = async () => (await site.browser.json('/')).body

describe('today', () => {
  test('on an empty workshop says so and leads on', async () => {
    const { text } = await site.browser.get('/')
    expect(text).toContain('Today, Mon 2 Mar 2026')
    expect(text).toContain('Nothing waits on the arrivals shelf.')
    expect(text).toContain('Empty: ')
    expect(text).not.toContain('id="late"')
  })

  test('shows for each pot what is in it, for whom, which step, when it is due out and what comes next', async () => {
    const lotId = await lotReady(site.db, site.by)
    const id = await lay(lotId, pots[0], [1, 2, 3])
    site.clock.at = at(30)
    const data = await todayData()
    expect(
      data.pots.map(({ name, load }: { name: string; load: { id: number } | null }) => [name, load?.id ?? null]),
    ).toEqual([
      ['Pot 1', id],
      ['Pot 2', null],
      ['Pot 3', null],
    ])
    expect(data.pots[0].load).toMatchObject({
      lots: [{ lotId, clientName: 'Ilse Marram', bundleWords: 'bundles 1 to 3 of 4' }],
      stepSince: START,
      step: { key: 'soak' },
      nextWords: 'Lower into Pot 1: Dye',
      minutesLate: 0,
    })
    expect((await site.browser.get('/')).text).toContain('Lower into Pot 1: Dye')
  })

  test('shows the wishes of whoever a load belongs to beside the press that moves it', async () => {
    await lay(await lotReady(site.db, site.by), pots[0], [1])
    site.raw.exec("update client set wishes = ''")
    expect((await site.browser.get('/')).text).not.toContain('Wishes:')
    site.raw.exec("update client set wishes = 'never by the stove', wishes_answer = 'told'")
    expect((await site.browser.get('/')).text).toMatch(/Wishes:<\/strong> <span class="words">never by the stove/)
  })

  test('a press from here comes back here', async () => {
    const id = await lay(await lotReady(site.db, site.by), pots[0], [1, 2])
    const answer = await press(id)
    expect([answer.status, answer.headers.location]).toEqual([303, '/'])
    const { text } = await site.browser.get('/')
    expect(text).toContain('<strong>6 ties</strong> on the tie board')
  })

  test('what is late stands first: loads past their time, then commissions past their day', async () => {
    const [one, two] = [await lotReady(site.db, site.by), await lotReady(site.db, site.by, { neededBy: '2026-03-01' })]
    const first = await lay(one, pots[0], [1])
    site.clock.at = at(60)
    const second = await lay(two, pots[1], [1])
    site.clock.at = at(1600)
    const { late } = await todayData()
    expect(late.loads.map(({ id }: { id: number }) => id)).toEqual([first, second])
    expect(late.commissions).toMatchObject([{ neededBy: '2026-03-01', here: 4 }])
    const { text } = await site.browser.get('/')
    expect(text.indexOf('id="late"')).toBeLessThan(text.indexOf('id="pots"'))
    expect(text.match(/id="load-/g)).toHaveLength(2)
  })

  test('a load that has left its pot stands under the rinse and the drying line, and the pot is empty', async () => {
    const id = await lay(await lotReady(site.db, site.by), pots[0], [1])
    await carryTo(id, 'rinse')
    const data = await todayData()
    expect(data.pots[0].load).toBeNull()
    expect(data.outOfPot.map((load: { id: number }) => load.id)).toEqual([id])
    expect((await site.browser.get('/')).text).toContain('In the rinse')
  })

  test('what is due to start, with its recipe or without', async () => {
    const [ready, bare] = [
      await lotReady(site.db, site.by),
      await takeInLot(site.db, site.by, { neededBy: '2026-03-05' }),
    ]
    await lay(ready, pots[0], [1, 2])
    const { toStart } = await todayData()
    expect(toStart).toMatchObject([
      { id: bare, hasRecipe: false, waiting: 4, dryWeightG: 600 },
      { id: ready, hasRecipe: true, waiting: 2, dryWeightG: 300 },
    ])
    expect((await site.browser.get('/')).text).toContain(`/lots/${bare}/recipe`)
  })

  test('by the day that was promised, with the one on which it is needed beside it', async () => {
    const [first, second] = [await lotReady(site.db, site.by), await lotReady(site.db, site.by)]
    site.raw
      .prepare("insert into day_promise values (null, ?, '2026-03-18', null, 'by phone', '2026-03-02', '', ?, 1)")
      .run(second, START)
    expect((await todayData()).toStart.map(({ id }: { id: number }) => id)).toEqual([second, first])
    const words = 'promised for Wed 18 Mar 2026, needed by Fri 20 Mar 2026'
    expect((await site.browser.get('/')).text).toContain(words)
    const { text } = await site.browser.get(`/lots/${second}`)
    expect(text).toContain('Promised for <strong>Wed 18 Mar 2026</strong>, needed by Fri 20 Mar 2026.')
    await lay(second, pots[0], [1])
    expect((await site.browser.get('/')).text.split(words)).toHaveLength(3)
  })

  test('what is ready, and what is needed soon', async () => {
    const id = await lay(await lotReady(site.db, site.by, { bundles: 2 }), pots[0], [1, 2])
    await lotReady(site.db, site.by, { neededBy: '2026-03-06' })
    await lotReady(site.db, site.by, { neededBy: '2026-06-06' })
    await carryTo(id, 'ready shelf')
    const { ready, coming } = await todayData()
    expect(ready).toMatchObject([{ ready: 2, here: 2 }])
    expect(coming).toMatchObject([{ neededBy: '2026-03-06' }])
    const { text } = await site.browser.get('/')
    expect(text).toContain('all of it, 2 bundles')
    expect(text).toMatch(/id="ready"[\s\S]*the net loft[\s\S]*href="\/commissions\/1\/hand-back">Hand back<\/a>/)
  })

  test('a press that needs a word leads to the page at the pot, which asks for it', async () => {
    const id = await lay(await lotReady(site.db, site.by), pots[0], [1])
    await carryTo(id, 'rinse')
    await site.browser.post(`/loads/${id}/rinses`, { 'rinse.water': 'dark' })
    const page = await press(id)
    expect(page.status).toBe(422)
    expect(page.text).toContain('Why does it go on all the same?')
  })
})

test('what went wrong and what a shelf count asks stand there until they are answered, and nothing before', async () => {
  const lotId = await takeInLot(site.db, site.by)
  expect((await site.browser.get('/')).text).not.toContain('Waits for an answer')
  await site.browser.post(`/lots/${lotId}/incidents/new`, { kind: 'strip torn', 'bundles.2': 'yes', whatHappened: 'x' })
  await site.browser.post('/places/counts', { where: 'arrivals shelf' })
  const bundles = site.raw.prepare('select id from bundle order by n').pluck().all()
  const seen = Object.fromEntries(bundles.slice(1).map(id => [`seen.b${id}`, 'yes']))
  await site.browser.post('/places/counts/1', { do: 'end', ...seen })
  const { text } = await site.browser.get('/')
  for (const words of ['Waits for an answer', 'A strip tore', 'href="/incidents/1"', 'href="/places/counts/1#answer.f'])
    expect(text).toContain(words)
  const { open } = await todayData()
  expect(open.incidents).toMatchObject([{ id: 1, isTold: false }])
  expect(open.questions).toMatchObject([{ countId: 1, finding: 'missing', lotId, n: 1 }])

  await site.browser.post('/incidents/1/told', { 'told.how': 'by telephone' })
  const { version } = (await site.browser.json('/incidents/1')).body.incident
  await site.browser.post('/incidents/1/close', { outcome: 'taken as it is', version })
  const answer = {
    [`answer.f${open.questions[0].findingId}`]: 'found',
    [`words.f${open.questions[0].findingId}`]: 'here',
  }
  await site.browser.post('/places/counts/1/answers', { findingId: open.questions[0].findingId, ...answer })
  expect((await site.browser.get('/')).text).not.toContain('Waits for an answer')
})

test('however many lots there were, the day reads only what is open', async () => {
  await lay(await lotReady(site.db, site.by), pots[0], [1])
  const queries: CompiledQuery[] = []
  const watched = kyselyOn(site.raw, ({ query }) => void queries.push(query))
  for (const read of [loadsAtWork, (db: Db) => potsNow(db, START), lotsInHand, openIncidents, openQuestions])
    await read(watched)
  const plans = queries.flatMap(({ sql, parameters }) =>
    (site.raw.prepare(`explain query plan ${sql}`).all(...parameters) as { detail: string }[]).map(
      ({ detail }) => detail,
    ),
  )
  expect(queries).toHaveLength(9)
  // Of shelf counts every question is looked at: there are few, since each is a slip that somebody made.
  const scans = plans.filter(line => line.startsWith('SCAN'))
  expect(
    scans.filter(
      line =>
        !/ pot\b|pot_rest_once|load_open|lot_open|json_each|incident_open|shelf_count_question|SCAN counts$/.test(line),
    ),
  ).toEqual([])
})
