/** What is said at drop-off of the day that is asked for, before it is accepted. */
import { beforeEach, expect, test } from 'vitest'
import { testApp } from '../helper.js'
import { threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
  await threePots(site.db, site.by)
  // These are the dyer's own hours, and no guess.
  site.raw.exec('update working_days set version = 2')
})

const brought = {
  client: 'Marta Quill',
  'newClient.contact': 'letter box 4',
  'newClient.settles': 'trade',
  'newClient.photographs': 'no',
  purpose: 'guild class',
  arrangement: '',
  'lots.0.fibreId': 'flax',
  'lots.0.colour': 'straw yellow',
  'lots.0.dyeId': 'weld',
  'lots.0.line': '4 bundles of 3 ties, 100 g each, 0.8 mm',
}
const send = (fields: Record<string, string>, press: string) =>
  site.browser.post('/drop-off', { ...brought, ...fields, do: press })
const rows = (sql: string) => site.raw.prepare(sql).all()
const promised = () => rows('select lot_id, day, how, told_on from day_promise order by id')

test('a day that can be kept is one line, and no press more', async () => {
  const page = await send({ neededBy: '1 Apr' }, 'read-back')
  expect(page.status).toBe(200)
  expect(page.text).toMatch(/Can be done by \w+ \d+ Mar 2026 as things are planned\./)
  expect(page.text).not.toContain('name="promise"')
  expect(rows('select id from lot')).toEqual([])
  const taken = await send({ neededBy: '1 Apr' }, 'take-in')
  expect(taken.status).toBe(303)
  expect(promised()).toEqual([{ lot_id: 1, day: '2026-04-01', how: 'at drop-off', told_on: '2026-03-02' }])
  expect((await site.browser.get('/commissions/1')).text).toContain('Promised days')
})

test('a day that cannot be kept is said before it is accepted, and asks for one answer', async () => {
  const page = await send({ neededBy: 'tomorrow' }, 'read-back')
  expect(page.text).toContain('Cannot be done by Tue 3 Mar 2026. The earliest day is')
  expect(page.text).toContain('name="promise"')
  const refused = await send({ neededBy: 'tomorrow' }, 'take-in')
  expect(refused.status).toBe(422)
  expect(refused.text).toContain('Say what was agreed, or change the day.')
  expect(
    rows('select id from commission union all select id from client union all select id from day_promise'),
  ).toEqual([])
  expect((await send({ neededBy: 'tomorrow', promise: 'earliest' }, 'take-in')).status).toBe(303)
  expect(rows("select id from day_promise where day > '2026-03-03' and day = earliest")).toHaveLength(1)
  // The receipt that the client takes along says so, and a further one says another day.
  const receipt = async () => (await site.browser.json('/commissions/1/receipt')).body
  const { issued } = await receipt()
  const promise = issued.receipt.facts.find(({ label }: { label: string }) => label === 'Promised')
  expect(promise.words).toMatch(/^\w+ \d+ Mar 2026$/)
  site.raw.exec(
    "insert into day_promise select null, 1, null, null, 'by phone', '2026-03-02', 'she waits', at, worker_id from day_promise",
  )
  expect((await receipt()).changed).toEqual([`promised: no day (was: ${promise.words})`])
})

test('where no day is asked for, the workshop says one, and no press is added', async () => {
  const page = await send({ neededBy: '' }, 'read-back')
  expect(page.status).toBe(200)
  // Six weeks from 2 Mar 2026.
  expect(page.text).toContain('Mon 13 Apr 2026')
  expect(page.text).toContain('No day was asked for: by then it goes back, or you talk about it again.')
  expect(page.text).toMatch(/Can be done by \w+ \d+ Mar 2026 as things are planned\./)
  expect(page.text).not.toContain('name="promise"')
  expect((await send({ neededBy: '' }, 'take-in')).status).toBe(303)
  expect(promised()).toEqual([{ lot_id: 1, day: '2026-04-13', how: 'at drop-off', told_on: '2026-03-02' }])
  expect(rows('select needed_by, day_asked from commission')).toEqual([{ needed_by: '2026-04-13', day_asked: 0 }])
  expect((await site.browser.get('/commissions/1')).text).toContain('No day was asked for')
  expect((await site.browser.get('/commissions/1/receipt')).text).toContain('no day; by Mon 13 Apr 2026 it goes back')
  // Once a day is said, it is one that was asked for.
  const edit = { purpose: 'guild class', arrangement: 'trade', note: '', version: 1 }
  expect((await site.browser.post('/commissions/1/edit', { ...edit, neededBy: '13 Apr' })).status).toBe(303)
  expect(rows('select day_asked from commission')).toEqual([{ day_asked: 0 }])
  expect((await site.browser.post('/commissions/1/edit', { ...edit, neededBy: '1 Apr' })).status).toBe(303)
  expect(rows('select needed_by, day_asked from commission')).toEqual([{ needed_by: '2026-04-01', day_asked: 1 }])
})

test('how many weeks that are is a setting, and what the plan cannot keep by then is promised for when it can', async () => {
  const { defaults } = (await site.browser.json('/settings/drop-off')).body
  for (const [weeksWithoutDay, status] of [
    ['', 422],
    ['0', 422],
    ['53', 422],
    ['a few', 422],
    ['1 week', 303],
  ] as const)
    expect((await site.browser.post('/settings/drop-off', { ...defaults, weeksWithoutDay })).status).toBe(status)
  // Away for longer than that week.
  await site.browser.post('/plan/otherwise/away', { away: 'until', until: '20 Mar' })
  expect((await send({ neededBy: '' }, 'take-in')).status).toBe(303)
  expect(rows('select needed_by from commission')).toEqual([{ needed_by: '2026-03-09' }])
  expect(rows("select id from day_promise where day > '2026-03-20' and words = 'no day was asked for'")).toHaveLength(1)
})

test('the plan goes by the day that was promised, and another needed-by day takes its place', async () => {
  expect((await send({ neededBy: 'tomorrow', promise: 'earliest' }, 'take-in')).status).toBe(303)
  const planned = async () => (await site.browser.json('/plan')).body
  const day = String(site.raw.prepare('select day from day_promise').pluck().get())
  expect((await planned()).late).toEqual([])
  expect((await planned()).loads[0].load).toMatchObject({ neededBy: '2026-03-03', countedOn: day })
  site.clock.at = '2026-03-04T09:00:00.000Z'
  // The day after it was needed it is not late, since a later day was agreed.
  const now = (await site.browser.json('/')).body
  expect(now.late.commissions).toEqual([])
  expect(now.coming).toMatchObject([{ id: 1, neededBy: '2026-03-03', countedOn: day }])
  expect((await site.browser.get('/')).text).toContain(', as promised')
  site.clock.at = site.by.at
  const edit = { purpose: 'guild class', arrangement: 'trade', note: '' }
  await site.browser.post('/commissions/1/edit', { ...edit, neededBy: '2 Mar', version: 1 })
  expect(rows('select day, how from day_promise order by id').at(-1)).toEqual({
    day: '2026-03-02',
    how: 'with another needed-by day',
  })
  const { late, toTell } = await planned()
  expect([late.length, toTell]).toEqual([1, 1])
  await site.browser.post('/commissions/1/edit', { ...edit, neededBy: '1 Apr', version: 2 })
  expect((await planned()).toTell).toBe(0)
})

test('it may be taken in without any day', async () => {
  expect((await send({ neededBy: 'tomorrow', promise: 'none' }, 'take-in')).status).toBe(303)
  expect(promised()).toEqual([{ lot_id: 1, day: null, how: 'at drop-off', told_on: '2026-03-02' }])
  expect((await site.browser.get('/commissions/1')).text).toContain('no day promised')
})

test('as long as the hours are a guess, nothing is refused', async () => {
  site.raw.exec('update working_days set version = 1')
  const page = await send({ neededBy: 'tomorrow' }, 'read-back')
  expect(page.text).toContain('Cannot be done by')
  expect(page.text).toContain('our guess')
  expect((await send({ neededBy: 'tomorrow' }, 'take-in')).status).toBe(303)
  expect(promised()).toEqual([])
})

test('without a pot no day is promised, and nothing is in the way', async () => {
  site.raw.exec('update pot set out_of_use = 1')
  const page = await send({ neededBy: 'tomorrow' }, 'read-back')
  expect(page.text).toContain('No day can be promised yet.')
  expect((await send({ neededBy: 'tomorrow' }, 'take-in')).status).toBe(303)
})

test('a wish of the client about days moves the day', async () => {
  const dayIn = (page: string) => Date.parse(/Can be done by \w+ (\d+ \w+ 2026)/.exec(page)?.[1] ?? '')
  const free = dayIn((await send({ neededBy: '1 Jun' }, 'read-back')).text)
  expect(free).toBeLessThan(Date.parse('12 Mar 2026'))
  expect((await send({ neededBy: '1 Jun' }, 'take-in')).status).toBe(303)
  await site.browser.post('/clients/1/days', { fromDay: 'today', toDay: '20 Mar', each: 'once' })
  const known = {
    clientId: '1',
    client: '',
    'newClient.contact': '',
    'newClient.settles': '',
    'newClient.photographs': '',
  }
  const bound = dayIn((await send({ ...known, neededBy: '1 Jun' }, 'read-back')).text)
  expect(bound).toBeGreaterThan(Date.parse('20 Mar 2026'))
})
