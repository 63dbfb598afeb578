/** What goes otherwise: one press each, what moves, who is told. */
import { beforeEach, describe, expect, test } from 'vitest'
import { dayOf } from '../../src/domain/day.js'
import { instantAt, minuteAt } from '../../src/domain/plan-input.js'
import { walkChain } from '../../src/store/chain.js'
import { beginNextStep, findLoad, layLoad } from '../../src/store/loads.js'
import { findLot } from '../../src/store/lots.js'
import type { LoadWords } from '../../src/store/plan-facts.js'
import { addPot } from '../../src/store/pots.js'
import { AT_DROP_OFF, notePromise } from '../../src/store/promises.js'
import { wrongSums } from '../../src/store/sums.js'
import { workPlan } from '../../src/store/work-plan.js'
import { testApp } from '../helper.js'
import { faultsOf } from '../planner/validator.js'
import { act, lotReady, potOf, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
  await threePots(site.db, site.by)
  const lotId = await lotReady(site.db, site.by)
  const { bundles = [] } = (await findLot(site.db, lotId)) ?? {}
  const loadId = await act(site.db, trx => layLoad(trx, site.by, { potId: 1, bundleIds: bundles.map(({ id }) => id) }))
  const version = (await findLoad(site.db, loadId))?.version ?? 0
  await act(site.db, trx => beginNextStep(trx, site.by, { loadId, version }))
})

const HERE = '/plan/otherwise'
const post = (to: string, fields: Record<string, string>) => site.browser.post(`${HERE}${to}`, fields)
const page = async () => (await site.browser.get(HERE)).text
const planNow = async () => {
  const { facts, plan } = await workPlan(site.db, site.clock.at)
  expect(faultsOf(facts.workshop, facts.loads, minuteAt(site.clock.at), plan)).toEqual([])
  return plan
}
const doneMin = async () => (await planNow()).loads[0]?.doneMin ?? 0
const rows = (sql: string) => site.raw.prepare(sql).all()

describe('each press plans anew and keeps the plan', () => {
  test('a step that runs over', async () => {
    const was = await doneMin()
    expect((await post('/keep', { do: 'keep' })).status).toBe(303)
    expect((await post('/loads/1', { still: '1440' })).status).toBe(303)
    expect(await doneMin()).toBeGreaterThan(was + 600)
    const shown = await page()
    expect(shown).toContain('still takes 1 day')
    expect(shown).toMatch(/steps? moved/)
    expect(rows('select load_id, step_n from step_overrun')).toEqual([{ load_id: 1, step_n: 2 }])
    expect(rows('select id from kept_plan')).toHaveLength(2)
    expect((await post('/loads/9', { still: '60' })).status).toBe(404)
  })

  test('how long a step still takes may be said again, and the pot has the same time as the plan', async () => {
    const times = async () => {
      const { step } = (await site.browser.json('/loads/1/now')).body
      const planned = (await planNow()).loads.find(({ loadId }) => loadId === 'load:1')?.steps[step.n - 1]
      return [step.dueAt, instantAt(planned?.endMin ?? 0)]
    }
    const [due] = await times()
    const from = (minutes: number) => new Date(Date.parse(site.clock.at) + minutes * 60_000).toISOString()
    for (const minutes of [240, 120, 180]) {
      expect((await post('/loads/1', { still: String(minutes) })).status).toBe(303)
      expect(await times()).toEqual([from(minutes), from(minutes)])
    }
    const shown = await page()
    expect(shown).toContain('2 h later than it was to')
    expect((await site.browser.get('/loads/1')).text).toContain('2 h of it because it runs over')
    expect((await post('/loads/1', { still: '180' })).status).toBe(409)
    expect((await post('/loads/1', { still: 'no longer' })).status).toBe(303)
    expect(await times()).toEqual([due, due])
    expect((await post('/loads/1', { still: 'no longer' })).status).toBe(409)
    // Less than it takes as it is, is no less.
    expect((await post('/loads/1', { still: '30' })).status).toBe(409)
  })

  test('what moved before a press is not told as if it came with that press', async () => {
    await post('/keep', { do: 'keep' })
    await lotReady(site.db, site.by)
    expect((await site.browser.json(HERE)).body.since.map(({ kind }: { kind: string }) => kind)).toContain('new')
    // Nothing is planned in that pot.
    await post('/pots', { potId: '3', backOn: 'in 2 days', words: 'a dent' })
    const { kept, lastMoves, since } = (await site.browser.json(HERE)).body
    expect(kept.why).toContain('Pot 3 is out of use')
    expect([lastMoves, since]).toEqual([[], []])
    expect(rows('select why from kept_plan').map(row => (row as { why: string }).why.slice(0, 16))).toEqual([
      'The plan is kept',
      'The plan as it h',
      'Pot 3 is out of ',
    ])
  })

  test('a day away, and taken back', async () => {
    const was = await doneMin()
    expect((await post('/away', { away: 'until', until: 'in 5 days', awayWords: 'the flu' })).status).toBe(303)
    expect(await doneMin()).toBeGreaterThan(was)
    expect(await page()).toContain('the flu')
    expect((await post('/away/1', { do: 'undo' })).status).toBe(303)
    expect((await post('/away/1', { do: 'undo' })).status).toBe(409)
    expect(await doneMin()).toBe(was)
  })

  const waiting = async () => (await planNow()).loads.filter(({ loadId }) => loadId.startsWith('lot'))
  const potOut = (potId: string) => post('/pots', { potId, backOn: 'in 90 days', words: 'a leak' })

  test('a day away that is still to come, and days that cannot be', async () => {
    const away = (more: Record<string, string>) =>
      post('/away', { away: 'until', since: '', until: '', awayWords: '', ...more })
    expect((await away({ since: 'tomorrow' })).status).toBe(303)
    expect(rows('select from_day, to_day from day_away')).toEqual([{ from_day: '2026-03-03', to_day: '2026-03-03' }])
    expect(await page()).toContain('Nobody is there on Tue 3 Mar 2026')
    const backwards = await away({ since: '9 Mar', until: '8 Mar' })
    expect([backwards.status, backwards.text]).toEqual([
      422,
      expect.stringContaining('before the first, Mon 9 Mar 2026'),
    ])
    expect((await away({})).status).toBe(422)
  })

  test('a pot that is out of use, and back: a lot in time only in smaller pots is planned in parts until then', async () => {
    await lotReady(site.db, site.by)
    const [whole, ...none] = await waiting()
    expect(none).toEqual([])
    expect((await potOut(whole?.potId ?? '')).status).toBe(303)
    const parts = await waiting()
    expect(parts).toHaveLength(2)
    expect(parts.map(({ potId, lateMin }) => [potId === whole?.potId, lateMin])).toEqual([
      [false, 0],
      [false, 0],
    ])
    const shown = await page()
    expect(shown).toContain('a leak')
    expect(shown).toContain('Nobody has to be told')
    expect(shown).not.toContain('Dear Ilse Marram')
    expect((await site.browser.get('/plan')).text).toContain(
      'Planned in 2 loads so as not to be later. In one it would come out more alike, but wait for a larger pot.',
    )
    expect(
      (await site.browser.json('/plan')).body.loads.map((one: { load: LoadWords }) => one.load.fewestParts),
    ).toEqual([1, 1, 1])
    expect((await post('/pots/1', { do: 'back' })).status).toBe(303)
    expect((await post('/pots/1', { do: 'back' })).status).toBe(409)
    expect(await waiting()).toMatchObject([{ potId: whole?.potId }])
  })

  test('a bundle that only the pot out of use takes waits for it, and the plan says for what', async () => {
    await lotReady(site.db, site.by, { bundles: 1, dryWeightG: 600 })
    const [was] = await waiting()
    expect((await potOut(was?.potId ?? '')).status).toBe(303)
    const [is] = await waiting()
    expect(is?.startMin).toBeGreaterThan((was?.startMin ?? 0) + 80 * 1440)
    const { late } = (await site.browser.json('/plan')).body
    expect(late[0]).toMatchObject({
      why: expect.stringMatching(/^Pot 1 is out of use until /),
      help: { href: HERE, words: 'Say so as soon as the pot is back.' },
    })
  })

  test('fibre that lies in a pot which is put out of use is named, since the plan leaves it there', async () => {
    expect((await post('/pots', { potId: '1', backOn: 'in 2 days', words: 'a leak' })).status).toBe(303)
    const [left] = (await site.browser.json(HERE)).body.leftInPots
    const load = (await planNow()).loads.find(({ loadId }) => loadId === 'load:1')
    const out = load?.steps.find(({ state, potId }) => state === 'planned' && potId !== '1')
    expect(left).toMatchObject({
      potName: 'Pot 1',
      loadId: 1,
      whose: [{ lotId: 1, clientName: 'Ilse Marram' }],
      untilAt: instantAt(out?.startMin ?? 0),
    })
    expect(await page()).toMatch(/Pot 1 is out of use, and something is in it:[\s\S]*lot 1<\/a> for Ilse Marram/)
    expect((await site.browser.get('/pots/1/now')).text).toMatch(/Pot 1 is\s*out of use until[\s\S]*a leak/)
    await post('/pots/1', { do: 'back' })
    expect(await page()).not.toContain('something is in it')
  })

  test('what lies in a pot that leaks is lifted over into another, once, and everything says where it lies', async () => {
    await post('/pots', { potId: '1', backOn: 'in 2 days', words: 'a leak' })
    const { leftInPots } = (await site.browser.json(HERE)).body
    expect(leftInPots[0]).toMatchObject({ potId: 1, into: [] })
    await act(site.db, trx => addPot(trx, site.by, potOf('Pot 4', 20)))
    expect((await site.browser.json(HERE)).body.leftInPots[0].into).toEqual([{ id: 4, name: 'Pot 4', changes: null }])
    site.raw.exec("update pot set metal = 'bare copper' where id = 4")
    expect(await page()).toContain('bare copper changes this colour')
    site.raw.exec("update pot set metal = 'steel' where id = 4")
    const lift = (from: string, potId: string) => post('/lifted/1', { from, potId })
    for (const [potId, why] of [
      ['2', 'Pot 2 holds 450 g'],
      ['1', 'Pot 1 is in use by load 1'],
      ['99', 'Choose a pot'],
      ['', 'pot'],
    ] as const) {
      const refused = await lift('1', potId)
      expect([409, 422], potId).toContain(refused.status)
      expect(refused.text).toContain(why)
    }
    expect((await lift('1', '4')).status).toBe(303)
    const again = await lift('1', '3')
    expect([again.status, again.text]).toEqual([409, expect.stringContaining('it lies in Pot 4')])
    expect((await site.browser.json(HERE)).body.leftInPots).toEqual([])
    expect((await planNow()).loads.find(({ loadId }) => loadId === 'load:1')?.potId).toBe('4')
    expect((await site.browser.json('/pots')).body.pots.map((pot: { loadId: number | null }) => pot.loadId)).toEqual([
      null,
      null,
      null,
      1,
    ])
    const { text } = await site.browser.get('/lots/1')
    expect(text).toContain('lifted over from Pot 1 into Pot 4')
    expect((await walkChain(site.db)).broken).toEqual([])
    expect(await wrongSums(site.db)).toEqual([])
    const log = (await site.browser.get('/loads/1')).text.replace(/[\s\S]*<ol class="bath-log">/, '')
    expect(log).toContain('Lifted over from Pot 1 into Pot 4: ')
    expect(log).toContain('Begun: soaking, for Pot 1')
    // Its further steps go on as before, and the first pot takes the next load once it is back.
    const { load } = (await site.browser.json('/loads/1')).body
    expect((await site.browser.post('/loads/1/steps', { version: load.version, early: 'yes' })).status).toBe(303)
    await post('/pots/1', { do: 'back' })
    const lotId = await lotReady(site.db, site.by, { bundles: 1 })
    expect((await site.browser.post(`/lots/${lotId}/load`, { 'bundles.1': 'yes', potId: '1' })).status).toBe(303)
  })

  test('a pot that is out of use is offered nowhere, and takes nothing', async () => {
    const lotId = await lotReady(site.db, site.by, { bundles: 1 })
    site.clock.at = '2026-03-02T10:00:00.000Z'
    await post('/pots', { potId: '2', backOn: 'in 2 days', words: 'its lid is bent' })
    const lay = `/lots/${lotId}/load`
    for (const url of ['/', '/pots', '/pots/2', lay]) {
      const { text } = await site.browser.get(url)
      expect(text, url).toMatch(/out of use until <strong>Wed 4 Mar[^<]*<\/strong>: its lid is bent/)
      expect(text, url).not.toMatch(/>Pot 2<\/a> \(|load\?potId=2"|name="potId" value="2"/)
    }
    const pot = (await site.browser.json(lay)).body.pots.find(({ id }: { id: number }) => id === 2)
    expect(pot.isFree).toBe(false)
    const refused = await site.browser.post(lay, { 'bundles.1': 'yes', potId: '2' })
    expect(refused.status).toBe(422)
    expect(refused.text).toContain('Pot 2 is out of use until Wed 4 Mar')
    // What went in before it was put out of use can still be written down.
    site.clock.at = '2026-03-02T11:00:00.000Z'
    const put = (at: string) => site.browser.post(lay, { 'bundles.1': 'yes', potId: '2', at })
    expect((await put('30 min ago')).status).toBe(422)
    expect((await put('90 min ago')).status).toBe(303)
  })

  test.each([
    ['/keep', {}],
    ['/loads/1', {}],
    ['/pots', {}],
    ['/pots', { potId: '99', backOn: 'tomorrow' }],
    ['/pots', { potId: '1', backOn: 'today' }],
    ['/away', {}],
    ['/away', { away: 'until' }],
    ['/away', { away: 'until', until: 'x'.repeat(10_000) }],
  ])('%s with %o is refused, and nothing is kept', async (to, fields) => {
    const answer = await post(to, fields)
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('There is a problem')
    expect(
      rows('select id from kept_plan union all select id from day_away union all select id from pot_rest'),
    ).toEqual([])
  })
})

describe('who must be told', () => {
  test('is nobody who stays in time for their day, though it is later than they may have heard', async () => {
    const later = async () => (await site.browser.json(HERE)).body.inTime
    const done = dayOf(instantAt(await doneMin()), 'Europe/Lisbon')
    await act(site.db, trx =>
      notePromise(trx, site.by, {
        lotId: 1,
        day: '2026-03-20',
        earliest: done,
        how: AT_DROP_OFF,
        toldOn: done,
        words: '',
      }),
    )
    expect(await later()).toEqual([])
    const away = await post('/away', { away: 'until', until: 'in 8 days' })
    expect(decodeURIComponent(String(away.headers['set-cookie']))).toContain('nobody has to be told')
    expect(await later()).toMatchObject([{ lotId: 1, earliest: done, day: '2026-03-20', clientName: 'Ilse Marram' }])
    const shown = await page()
    expect(shown).toContain('Nobody has to be told:')
    expect(shown).toContain('they count on Fri 20 Mar 2026')
  })

  const promise = () => rows('select lot_id, day, how from day_promise')

  test('is said with a message, until it is written down that they were', async () => {
    expect(await page()).toContain('Nobody has to be told:')
    const away = await post('/away', { away: 'until', until: 'in 30 days' })
    expect(decodeURIComponent(String(away.headers['set-cookie']))).toContain('look at who must be told')
    const shown = await page()
    expect(shown).not.toContain('Nobody has to be told')
    expect(shown).toMatch(/Dear Ilse Marram,[\s\S]*not on Fri 20 Mar 2026 as I said/)
    const [, to = ''] = /name="to" value="([^"]+)"/.exec(shown) ?? []
    expect(to > '2026-04-01').toBe(true)
    expect((await post('/told/1', { to: '2026-03-30', how: 'by phone' })).status).toBe(409)
    expect((await post('/told/1', { to })).status).toBe(422)
    expect((await post('/told/1', { to, how: 'by phone' })).status).toBe(303)
    expect(promise()).toEqual([{ lot_id: 1, day: to, how: 'by phone' }])
    expect(await page()).toContain('Nobody has to be told:')
    expect((await post('/told/1', { to, how: 'by phone' })).status).toBe(409)
    expect((await site.browser.get('/commissions/1')).text).toContain('by phone')
  })
})
