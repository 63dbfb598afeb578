import ICAL from 'ical.js'
import { beforeEach, expect, test } from 'vitest'
import { inOneStep } from '../../src/store/db.js'
import { AT_DROP_OFF, notePromise } from '../../src/store/promises.js'
import { addDaysAway } from '../../src/store/working-days.js'
import { browserOf, testApp } from '../helper.js'
import { lotReady, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
  await threePots(site.db, site.by)
  await lotReady(site.db, site.by, { neededBy: '2026-03-20' })
})

const stranger = () => browserOf(site.app)

/** What the page of the settings holds now, with which its form is sent. */
const shown = async () => String((await site.browser.json('/settings/calendar')).body.version)
const send = async (what: string, fields: Record<string, string> = {}) =>
  site.browser.post('/settings/calendar', { do: what, version: await shown(), ...fields })

/** Makes an address as its page does, and answers the path that it says once. */
async function make(fields: Record<string, string> = {}): Promise<string> {
  const answer = await send('make', fields)
  expect(answer.status).toBe(303)
  const said = decodeURIComponent(String(answer.headers['set-cookie']))
  return /\/calendar\/[A-Z2-7]{26}\.ics/.exec(said)?.[0] ?? ''
}

test('is said whole: with the address of the workshop, or else with that under which it is asked', async () => {
  const said = async () => decodeURIComponent(String((await send('make')).headers['set-cookie']))
  const page = await site.browser.get('/settings/calendar').set('host', 'shed.example:8080')
  expect(page.text).toContain('<strong>http://shed.example:8080</strong>')
  expect(await said()).toMatch(/again: http:\/\/127\.0\.0\.1:\d+\/calendar\/[A-Z2-7]{26}\.ics/)
  site.raw.exec("update tag_setting set address = 'HTTPS://DYE.EXAMPLE'")
  expect(await said()).toContain('again: HTTPS://DYE.EXAMPLE/calendar/')
})

const eventsIn = (text: string) =>
  new ICAL.Component(ICAL.parse(text)).getAllSubcomponents('vevent').map(one => new ICAL.Event(one))

test('tells the work, the day by which it is needed and days away, to whoever has the address', async () => {
  await inOneStep(site.db, trx =>
    addDaysAway(trx, site.by, { from: '2026-03-09', to: '2026-03-10', words: 'to the coast' }),
  )
  const { status, headers, text } = await stranger().get(await make())
  expect(status).toBe(200)
  expect(headers).toMatchObject({
    'content-type': 'text/calendar; charset=utf-8',
    'cache-control': 'no-store',
    'x-robots-tag': 'noindex, nofollow, noarchive',
  })
  const events = eventsIn(text)
  const summaries = events.map(({ summary }) => summary)
  expect(summaries).toContain('Needed: lot 1')
  expect(summaries).toContain('Nobody is in the workshop')
  expect(summaries.filter(words => words.includes('Lot 1')).length).toBeGreaterThan(3)
  expect(new Set(events.map(({ uid }) => uid)).size).toBe(events.length)
  expect(text).not.toMatch(/Ilse|net loft|coast|thin ends/)
})

test('names clients only where both the workshop and the client allow it', async () => {
  expect((await stranger().get(await make({ names: 'yes' }))).text).toContain('Ilse Marram')
  site.raw.exec('update client set name_on_tag = 0')
  expect((await stranger().get(await make({ names: 'yes' }))).text).not.toContain('Ilse')
})

test('a changed day is the same event, and the newer writing counts', async () => {
  const path = await make()
  const needed = async () =>
    eventsIn((await stranger().get(path)).text).find(({ summary }) => summary === 'Needed: lot 1')
  const before = await needed()
  site.raw.exec("update commission set needed_by = '2026-03-25'")
  site.clock.at = new Date(Date.parse(site.clock.at) + 120_000).toISOString()
  const after = await needed()
  expect(after?.uid).toBe(before?.uid)
  expect(after?.startDate.toString()).toBe('2026-03-25')
  expect(after?.sequence ?? 0).toBeGreaterThan(before?.sequence ?? 0)
})

test('a day that was promised stands there instead of the day by which it is needed, as the same event', async () => {
  const path = await make()
  const days = async () =>
    eventsIn((await stranger().get(path)).text)
      .filter(({ uid }) => uid === 'commission-1-lot-1-needed@tie-for-tie')
      .map(({ summary, startDate }) => [summary, startDate.toString()])
  expect(await days()).toEqual([['Needed: lot 1', '2026-03-20']])
  const promise = { lotId: 1, day: '2026-03-24', earliest: '2026-03-24', how: AT_DROP_OFF, toldOn: '2026-03-02' }
  await inOneStep(site.db, trx => notePromise(trx, site.by, { ...promise, words: '' }))
  expect(await days()).toEqual([['Promised: lot 1', '2026-03-24']])
})

test('ended or made anew, the old address is not there; its token is kept nowhere', async () => {
  const first = await make()
  const second = await make()
  expect(second).not.toBe(first)
  expect((await stranger().get(first)).status).toBe(404)
  expect((await stranger().get(second)).status).toBe(200)
  const kept = JSON.stringify(site.raw.prepare('select * from calendar_feed').all())
  expect(kept).not.toContain(second.slice(10, 36))
  expect((await send('end')).status).toBe(303)
  expect((await stranger().get(second)).status).toBe(404)
  expect((await send('end')).status).toBe(409)
})

test('from two phones, the later press does not end the address that the earlier one made', async () => {
  const version = await shown()
  const made = await make({ version })
  for (const press of ['make', 'end']) {
    const late = await send(press, { version })
    expect(late.status).toBe(409)
    expect(late.text).toContain('was made anew or ended elsewhere')
    // What stands there now is shown, and the next press is meant for that.
    expect(late.text).toContain('There is an address, made by Wren')
    expect(late.text).toContain(`name="version" value="${await shown()}"`)
  }
  expect((await stranger().get(made)).status).toBe(200)
  expect((await send('make', { version: '' })).status).toBe(422)
})

test('guesses are not there, and nobody without a sign-in makes an address', async () => {
  for (const typed of ['A'.repeat(26), 'x', '%00'])
    expect((await stranger().get(`/calendar/${typed}.ics`)).status).toBe(404)
  expect((await stranger().post('/settings/calendar', { do: 'make' })).status).toBe(401)
  expect((await site.browser.post('/settings/calendar', { do: 'x'.repeat(10_000) })).status).toBe(422)
  expect((await site.browser.get('/settings/calendar')).text).toContain('Make an address')
})
