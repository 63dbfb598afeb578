/** What day could be promised, asked before anything is brought; and what would have to move for an earlier one. */
import { beforeEach, expect, test } from 'vitest'
import { keepPlanWith } from '../../src/store/asked-day.js'
import { recordsOf } from '../custody/records.js'
import { testApp } from '../helper.js'
import { act, lotReady, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
  await threePots(site.db, site.by)
  // One pot, and hours that are the dyer's own.
  site.raw.exec('update pot set out_of_use = 1 where id > 1; update working_days set version = 2')
})

const asked = { fibreId: 'red-cedar-inner-bark', dyeId: 'all-purpose-bottled', weight: '600 g', bundles: '4' }
const ask = async (more: Record<string, string> = {}) =>
  (await site.browser.json(`/plan/day?${new URLSearchParams({ ...asked, ...more })}`)).body.answer
const loads = async () => (await site.browser.json('/plan')).body.loads
/** Lots that fill the only pot, one after the other, and are needed by then. */
async function waiting(...days: string[]) {
  for (const neededBy of days) await lotReady(site.db, site.by, { neededBy })
}

test('is answered from the plan, and nothing is written down', async () => {
  const before = recordsOf(site.raw)
  const page = await site.browser.get(`/plan/day?${new URLSearchParams(asked)}`)
  expect(page.status).toBe(200)
  expect(page.text).toMatch(/The earliest day is \w+ \d+ Mar 2026 as things are planned\./)
  const { earliest, byMoving, moving } = await ask()
  expect([byMoving, moving]).toEqual([null, []])
  expect(recordsOf(site.raw)).toEqual(before)
  // The same fibre, once it is there, is planned for that very day.
  await waiting('2026-04-20')
  expect((await loads()).map(({ doneAt }: { doneAt: string }) => doneAt.slice(0, 10))).toEqual([earliest])
})

test('says which loads would move for an earlier day, and the plan then keeps it with nobody late', async () => {
  await waiting('2026-04-20', '2026-04-20', '2026-04-20')
  const { earliest, byMoving, moving, said } = await ask()
  expect(byMoving.day < earliest).toBe(true)
  expect(said).toContain('when others move')
  expect(moving.length).toBeGreaterThan(0)
  for (const one of moving) {
    expect(one).toMatchObject({ clientName: 'Ilse Marram', colour: 'true black' })
    expect(one.to > one.from && one.to <= '2026-04-20').toBe(true)
  }
  const page = await site.browser.get(`/plan/day?${new URLSearchParams(asked)}`)
  expect(page.text).toContain(`What would move: ${moving.length} load`)
  expect(await ask({ wantedBy: byMoving.day })).toMatchObject({ answer: 'by moving', earliest })
  await waiting(byMoving.day)
  const planned: { load: { lotId: number }; doneAt: string; lateMinutes: number }[] = await loads()
  expect(planned.map(({ lateMinutes }) => lateMinutes)).toEqual([0, 0, 0, 0])
  expect(planned.find(({ load }) => load.lotId === 4)?.doneAt.slice(0, 10)).toBe(byMoving.day)
})

test('a day that is kept makes nobody else later, and the plan so stays once it is here', async () => {
  await waiting('2026-04-20', '2026-04-20', '2026-04-20')
  const before: { load: { lotId: number }; doneAt: string }[] = await loads()
  const { earliest } = await ask()
  const kept = await ask({ wantedBy: earliest })
  expect([kept.answer, kept.moving]).toEqual(['kept', []])
  const page = await site.browser.get(`/plan/day?${new URLSearchParams({ ...asked, wantedBy: earliest })}`)
  expect(page.text).toContain('Nobody else is done later for it.')
  await waiting(earliest)
  await act(site.db, trx => keepPlanWith(trx, site.by, 4))
  const after: typeof before = await loads()
  const doneAt = (list: typeof before, lotId: number) => list.find(({ load }) => load.lotId === lotId)?.doneAt ?? ''
  for (const lotId of [1, 2, 3]) expect(doneAt(after, lotId) <= doneAt(before, lotId), `lot ${lotId}`).toBe(true)
  expect(doneAt(after, 4).slice(0, 10)).toBe(earliest)
  // A while later it still is so.
  const planned = doneAt(after, 4)
  site.clock.at = '2026-03-02T09:20:00.000Z'
  expect(doneAt(await loads(), 4)).toBe(planned)
})

test('a lot that the large pot would be back too late for is promised in more loads, and the plan keeps that', async () => {
  site.raw.exec('update pot set out_of_use = 0 where id = 2')
  await site.browser.post('/plan/otherwise/pots', { potId: '1', backOn: 'in 90 days', words: 'a leak' })
  const { earliest, answer } = await ask()
  expect([answer, earliest < '2026-03-16']).toEqual(['kept', true])
  expect(await ask({ wantedBy: earliest })).toMatchObject({ answer: 'kept', earliest })
  await waiting(earliest)
  const planned: { load: { name: string }; potName: string; doneAt: string }[] = await loads()
  expect(planned.map(({ load, potName }) => [load.name, potName])).toEqual([
    ['Lot 1, part 1 of 2', 'Pot 2'],
    ['Lot 1, part 2 of 2', 'Pot 2'],
  ])
  expect(
    planned
      .map(({ doneAt }) => doneAt.slice(0, 10))
      .sort()
      .at(-1),
  ).toBe(earliest)
})

test('fibre that comes another day is asked about from then on, and how its day comes about is told', async () => {
  const now = await ask()
  const later = await ask({ comesOn: 'in 7 days' })
  expect(later.earliest >= '2026-03-10' && later.earliest > now.earliest).toBe(true)
  expect(later.steps[0].startsAt >= '2026-03-09T10:00').toBe(true)
  expect(later.steps.map(({ title }: { title: string }) => title)).toEqual(
    now.steps.map(({ title }: { title: string }) => title),
  )
  expect(later.doneAt.slice(0, 10)).toBe(later.earliest)
  const { text } = await site.browser.get(`/plan/day?${new URLSearchParams({ ...asked, comesOn: 'in 7 days' })}`)
  expect(text).toContain('brought on Mon 9 Mar 2026')
  expect(text).toContain('How that day comes about')
  const wrong = await site.browser.get(`/plan/day?${new URLSearchParams({ ...asked, comesOn: 'yesterday' })}`)
  expect([wrong.status, wrong.text]).toEqual([422, expect.stringContaining('value="yesterday"')])
})

test('nobody is moved past their own day', async () => {
  await waiting('2026-04-20', '2026-04-20')
  const days: string[] = (await loads()).map(({ doneAt }: { doneAt: string }) => doneAt.slice(0, 10))
  const sooner = (await ask()).byMoving.day
  const hurried = ['update commission set needed_by = ?', "update commission set needed_by = '2026-04-20' where id > 1"]
  for (const sql of hurried) site.raw.prepare(sql).run(...(sql.includes('?') ? [days[0]] : []))
  const said = await ask()
  expect(said.byMoving === null || said.byMoving.day > sooner).toBe(true)
  expect(said.moving.map(({ name }: { name: string }) => name)).not.toContain('Lot 1')
})

test('a wanted day is kept or not, and a client’s days to leave it alone count', async () => {
  expect(await ask({ wantedBy: '20 Apr' })).toMatchObject({ answer: 'kept', neededBy: '2026-04-20' })
  expect(await ask({ wantedBy: 'tomorrow' })).toMatchObject({ answer: 'not kept' })
  await waiting('2026-04-20')
  await site.browser.post('/clients/1/days', { fromDay: 'today', toDay: '20 Mar', each: 'once' })
  expect((await ask({ client: '1' })).earliest > '2026-03-20').toBe(true)
  expect((await ask()).earliest < '2026-03-20').toBe(true)
})

test('the answer repeats what was asked; a weight may be said as on the telephone', async () => {
  for (const [weight, grams] of [
    ['about a kilo', 1000],
    ['half a kilo', 500],
    ['roughly 600 g', 600],
    ['~ 1.2 kg', 1200],
  ] as const)
    expect((await ask({ weight })).question.dryWeightG).toBe(grams)
  const page = await site.browser.get(`/plan/day?${new URLSearchParams({ ...asked, wantedBy: '20 Apr' })}`)
  expect(page.text).toMatch(/Asked: [^<]*600 g dry in 4 bundles, dyed with [^<]*, wanted by Mon 20 Apr 2026\./)
})

test('what is missing or cannot be is said at its field, and nothing typed is lost', async () => {
  const empty = await site.browser.get('/plan/day')
  expect([empty.status, empty.text.includes('There is a problem')]).toEqual([200, false])
  for (const [field, typed] of [
    ['dyeId', '☂'],
    ['weight', '600'.repeat(9)],
    ['weight', 'a lot'],
    ['bundles', '0'],
    ['wantedBy', '1 Mar 2026'],
    ['bundles', '200'],
  ] as const) {
    const weight = typed === '200' ? { weight: '1 g' } : {}
    const page = await site.browser.get(`/plan/day?${new URLSearchParams({ ...asked, ...weight, [field]: typed })}`)
    expect([page.status, page.text.includes(`href="#${field}"`)], `${field} ${typed}`).toEqual([422, true])
    for (const kept of field === 'bundles' ? [typed] : [typed, '4'])
      expect(page.text).toMatch(new RegExp(`value="${kept}"`))
  }
  site.raw.exec('update pot set out_of_use = 1')
  expect((await ask()).said).toMatch(/^No day can be promised yet\./)
  expect((await site.browser.get('/plan/day?client=9')).status).toBe(404)
})
