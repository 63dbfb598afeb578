/**
 * The nights in which the clocks change, and midnight, on the pages: plan, pot and calendar. When they change stands in
 * the IANA time zone database; what a clock on the wall shows is asked of the runtime (Intl), not of our own reckoning.
 */
import ICAL from 'ical.js'
import { expect, test } from 'vitest'
import { beginSession } from '../../src/store/sign-in.js'
import { browserOf, testApp } from '../helper.js'
import { lotReady, threePots } from '../pots-kit.js'

/** "Sun 08:05", as a clock there shows it. */
const onTheWall = (at: string, timeZone: string): string =>
  new Intl.DateTimeFormat('en-GB', { weekday: 'short', hour: '2-digit', minute: '2-digit', timeZone })
    .format(new Date(at))
    .replace(',', '')

/** A sign-in of that moment: one of weeks before has run out. */
const signedIn = async ({ app, db, workerId, clock }: Awaited<ReturnType<typeof testApp>>) =>
  browserOf(app, `tie=${await beginSession(db, workerId, clock.at)}`)

type Act = { at: string; handsFromAt: string | null; clock: string; words: string }

test.each([
  ['Europe/Lisbon', '2026-03-28T14:00:00.000Z', 'forward by an hour'],
  ['Europe/Lisbon', '2026-10-24T13:00:00.000Z', 'back by an hour'],
  ['America/New_York', '2026-03-07T19:00:00.000Z', 'forward by an hour'],
  ['Australia/Lord_Howe', '2026-04-04T03:30:00.000Z', 'back by 30 min'],
])('%s, in the afternoon of %s: the same hours on the wall before and after', async (timeZone, evening, way) => {
  const site = await testApp()
  const { clock, db, raw, by } = site
  raw.prepare('update workshop set time_zone = ?').run(timeZone)
  await threePots(db, by)
  raw.exec("insert into working_hours (weekday, from_clock, to_clock) values (0, '08:00', '18:00')")
  raw.exec('update working_days set version = 2')
  clock.at = evening
  const browser = await signedIn(site)
  const early = { ...by, at: new Date(Date.parse(evening) - 86_400_000).toISOString() }
  await lotReady(db, early, { neededBy: '2026-12-20' })
  await lotReady(db, early, { neededBy: '2026-12-20' })
  const ticks = Object.fromEntries([1, 2, 3, 4].map(n => [`bundles.${n}`, 'yes']))
  expect((await browser.post('/lots/1/load', { ...ticks, potId: 1 })).status).toBe(303)
  // On to the step that stands overnight.
  for (let step = 0; step < 2; step += 1) {
    clock.at = new Date(Date.parse(clock.at) + 60 * 60_000).toISOString()
    const { version } = (await browser.json('/loads/1/now')).body.load
    expect((await browser.post('/loads/1/steps', { version, early: 'yes' })).status).toBe(303)
  }
  const { step } = (await browser.json('/pots/1/now')).body
  const hadMinutes = (Date.parse(step.dueAt) - Date.parse(clock.at)) / 60_000
  expect(hadMinutes).toBe(step.minutes)
  const pot = (await browser.get('/pots/1/now')).text
  expect(pot).toContain(`The clocks go ${way} in between.`)
  expect(pot).toContain(onTheWall(step.dueAt, timeZone).slice(4))

  const acts: Act[] = (await browser.json('/plan')).body.days.flatMap((day: { acts: Act[] }) => day.acts)
  expect(acts.length).toBeGreaterThan(6)
  for (const { at, clock: shown, words } of acts) {
    const wall = onTheWall(at, timeZone).slice(4)
    expect(shown, words).toBe(wall)
    expect(wall >= '08:00' && wall <= '18:00', `${words} at ${wall}`).toBe(true)
  }

  const made = await browser.post('/settings/calendar', { do: 'make', version: '0' })
  const path = /\/calendar\/[A-Z2-7]{26}\.ics/.exec(decodeURIComponent(String(made.headers['set-cookie'])))?.[0] ?? ''
  const { text } = await browserOf(site.app).get(path)
  const events = new ICAL.Component(ICAL.parse(text)).getAllSubcomponents('vevent').map(one => new ICAL.Event(one))
  const begin = (words: string) =>
    events.filter(({ summary }) => summary === words).map(({ startDate }) => startDate.toJSDate().toISOString())
  // An event begins with the hand work before the lift.
  for (const { at, handsFromAt, words } of acts)
    expect(begin(words), words).toContain(new Date(handsFromAt ?? at).toISOString())
})

test('at midnight on the wall it is another day, on the page of the day and in the plan', async () => {
  const site = await testApp()
  const { clock, raw } = site
  for (const [timeZone, midnight, before, after] of [
    ['Europe/Lisbon', '2026-03-28T24:00:00.000Z', 'Sat 28 Mar 2026', 'Sun 29 Mar 2026'],
    ['Europe/Lisbon', '2026-03-29T23:00:00.000Z', 'Sun 29 Mar 2026', 'Mon 30 Mar 2026'],
    ['Europe/Lisbon', '2026-10-26T00:00:00.000Z', 'Sun 25 Oct 2026', 'Mon 26 Oct 2026'],
    ['Asia/Kathmandu', '2026-05-01T18:15:00.000Z', 'Fri 1 May 2026', 'Sat 2 May 2026'],
  ] as const) {
    raw.prepare('update workshop set time_zone = ?').run(timeZone)
    for (const [ms, day] of [
      [-1, before],
      [0, after],
    ] as const) {
      clock.at = new Date(Date.parse(midnight) + ms).toISOString()
      const browser = await signedIn(site)
      expect((await browser.get('/')).text, clock.at).toContain(`Today, ${day}`)
      expect((await browser.json('/plan')).body.today, clock.at).toBe(new Date(`${day} UTC`).toISOString().slice(0, 10))
    }
  }
})
