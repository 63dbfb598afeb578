import { beforeEach, expect, test } from 'vitest'
import { testApp } from '../helper.js'
import { lotReady, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
  await threePots(site.db, site.by)
  await lotReady(site.db, site.by, { neededBy: '2026-03-06' })
})

test('shows the week of today as a picture and in words, and the weeks around it', async () => {
  const { status, text } = await site.browser.get('/week')
  expect(status).toBe(200)
  expect(text).toContain('The week from Mon 2 Mar 2026')
  expect(text.match(/<svg/g)).toHaveLength(8)
  expect(text).toContain('Lot 1: Soak')
  expect(text).toContain('Needed by the end of this day: Lot 1')
  expect(text).toContain('/week?from=2026-02-23')
  expect(text).toContain('/week?from=2026-03-09')
  expect((await site.browser.get('/plan')).text).toContain('href="/week"')
})

test('any day names its week; what is no day is this week', async () => {
  expect((await site.browser.get('/week?from=2026-03-12')).text).toContain('The week from Mon 9 Mar 2026')
  for (const typed of ['', '2026-02-31', '<b>', 'x'.repeat(10_000)])
    expect((await site.browser.get(`/week?from=${encodeURIComponent(typed)}`)).text).toContain('from Mon 2 Mar 2026')
})

test('says of a pot that it is out of use, in the picture, in words and in the records', async () => {
  await site.browser.post('/plan/otherwise/pots', { potId: '2', backOn: 'in 2 days', words: 'a leak' })
  const words = 'Pot 2 is out of use, today 09:00 to Wed 4 Mar 00:00'
  expect((await site.browser.get('/week')).text.split(words).length).toBeGreaterThan(2)
  const { days, rows } = (await site.browser.json('/week')).body
  expect(days.map((day: { outOfUse: string[] }) => day.outOfUse.length)).toEqual([1, 1, 0, 0, 0, 0, 0])
  expect(rows.find(({ name }: { name: string }) => name === 'Pot 2').outOfUse).toEqual([
    { fromAt: '2026-03-02T09:00:00.000Z', toAt: '2026-03-04T00:00:00.000Z' },
  ])
})

test('goes out as records as well', async () => {
  const { body } = await site.browser.json('/week')
  expect(body).toMatchObject({ monday: '2026-03-02', sunday: '2026-03-08', after: '2026-03-09' })
  expect(body.pictures).toBeUndefined()
  expect(body.rows.map(({ name }: { name: string }) => name).slice(0, 3)).toEqual(['Pot 1', 'Pot 2', 'Pot 3'])
  expect(body.days[0].lines[0]).toMatchObject({ where: 'Soak tubs', words: expect.stringContaining('Lot 1: Soak') })
})
