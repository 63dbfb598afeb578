import { beforeEach, describe, expect, test } from 'vitest'
import { STEP_KEYS } from '../../src/domain/recipe.js'
import { layLoad } from '../../src/store/loads.js'
import { findLot } from '../../src/store/lots.js'
import { findWorkingDays } from '../../src/store/working-days.js'
import { testApp } from '../helper.js'
import { act, lotReady, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const URL = '/settings/working-days'
const week = {
  'hours.monday': '8:00-12:00, 13:00-17:30',
  'hours.tuesday': '9 to 5 pm',
  'hours.wednesday': '',
  'hours.thursday': '8.30-16',
  'hours.friday': '22:00-24:00',
  'hours.saturday': '',
  'hours.sunday': '',
}
const asItIs = {
  ...week,
  soakTubs: '3',
  sinks: '1',
  lineUnit: 'bundles',
  lineRoom: '40',
  metresPerBundle: '0.2',
  hands: '1',
  scour: '30 min',
  'habits.rinse.hands': '25 min',
  'habits.stand.overnight': 'yes',
  'habits.stand.atLeast': '10 h',
  'habits.stand.atMost': '1 day 6 h',
}
const save = (version: number, fields: Record<string, string> = {}) =>
  site.browser.post(URL, { ...blankHabits, ...asItIs, ...fields, version })
const blankHabits = Object.fromEntries(
  STEP_KEYS.flatMap(key => ['hands', 'overnight', 'atLeast', 'atMost'].map(field => [`habits.${key}.${field}`, ''])),
)

describe('working days', () => {
  test('are a guess until somebody says how it is', async () => {
    expect((await site.browser.get(URL).expect(200)).text).toContain('what stands here is a guess')
    expect((await save(1)).status).toBe(303)
    const { text } = await site.browser.get(URL)
    expect(text).not.toContain('is a guess')
    expect(text).toContain('value="08:00-12:00, 13:00-17:30"')
    expect(text).toContain('value="30 h"')
    expect((await site.browser.get('/plan')).text).not.toContain('nobody here has said')
  })

  test('are kept as people write them', async () => {
    await save(1).expect(303)
    const days = await findWorkingDays(site.db)
    expect(days.hours).toEqual([
      [],
      [
        { from: '08:00', to: '12:00' },
        { from: '13:00', to: '17:30' },
      ],
      [{ from: '09:00', to: '17:00' }],
      [],
      [{ from: '08:30', to: '16:00' }],
      [{ from: '22:00', to: '24:00' }],
      [],
    ])
    expect(days.habits.map(({ key }) => key).sort()).toEqual(['rinse', 'stand'])
    expect(days.habits.find(({ key }) => key === 'stand')).toMatchObject({
      mayStandOvernight: true,
      atLeastMinutes: 600,
      atMostMinutes: 1800,
      hands: null,
    })
    expect(days.habits.find(({ key }) => key === 'rinse')).toMatchObject({ hands: false, handsMinutes: 25 })
  })

  test('stay in the history of the settings, in words', async () => {
    await save(1).expect(303)
    const { text } = await site.browser.get('/settings')
    expect(text).toContain('Hours on Wednesday: from “08:00-18:00” to nothing')
    expect(text).toContain('Rinsing, otherwise than recipes say: from nothing to “hands for 25 min”')
    expect(text).toContain('Room on the drying line: from “60 bundles” to “40 bundles”')
  })

  test('changed elsewhere meanwhile are shown, and nothing is saved', async () => {
    await save(1).expect(303)
    const again = await save(1, { soakTubs: '7' })
    expect([again.status, again.text]).toEqual([409, expect.stringContaining('What stands there now')])
    expect((await findWorkingDays(site.db)).soakTubs).toBe(3)
  })

  test.each([
    ['hours.monday', '17:00-8:00', 'ends before it begins'],
    ['hours.monday', '8:00-12:00, 11:00-15:00', 'the hours overlap at 11:00'],
    ['hours.tuesday', 'mornings', 'write hours like'],
    ['hours.tuesday', '25:00-26:00', 'cannot be read as a time of day'],
    ['soakTubs', '1.5', 'as a whole number'],
    ['sinks', '0', 'sinks'],
    ['lineRoom', '', 'room on the line'],
    ['lineUnit', 'yards', 'Choose one'],
    ['scour', 'a while', 'cannot be read'],
    ['habits.dye.hands', 'two men', 'cannot be read'],
    ['habits.dye.overnight', 'perhaps', 'Choose one'],
    ['habits.stand.atMost', '2 h', 'is less than at least'],
    ['habits.soak.atLeast', '90 days', 'write a time from'],
  ])('%s “%s” is refused with a sentence', async (field, typed, sentence) => {
    const answer = await save(1, { [field]: typed })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain(sentence)
    expect((await findWorkingDays(site.db)).version).toBe(1)
  })

  test('sent empty, or with ten thousand characters everywhere, save nothing', async () => {
    const names = Object.keys({ ...blankHabits, ...asItIs })
    const long = Object.fromEntries(names.map(name => [name, 'x'.repeat(10_000)]))
    for (const fields of [{}, long]) {
      const answer = await site.browser.post(URL, { ...fields, version: 1 })
      expect(answer.status).toBe(422)
    }
    expect((await findWorkingDays(site.db)).version).toBe(1)
  })
})

describe('the plan goes by them', () => {
  beforeEach(async () => {
    await threePots(site.db, site.by)
    await lotReady(site.db, site.by)
  })
  const starts = async (): Promise<string[]> =>
    (await site.browser.json('/plan')).body.loads[0].steps.map(({ startsAt }: { startsAt: string }) => startsAt)

  test('a week without hours plans nothing and says why', async () => {
    const off = Object.fromEntries(Object.keys(week).map(day => [day, '']))
    await save(1, off).expect(303)
    const { text } = await site.browser.get('/plan').expect(200)
    expect(text).toContain('no working hours are set')
  })

  test('days away are kept clear, and come back when they are taken back', async () => {
    const away = { awayFrom: 'today', awayTo: '6 Mar', awayWords: 'a fair' }
    await site.browser.post('/settings/days-away', away).expect(303)
    const kept = (await starts())[0] ?? ''
    expect(kept > '2026-03-07T00:00:00.000Z', kept).toBe(true)
    expect((await site.browser.get(URL)).text).toContain('a fair')
    await site.browser.post('/settings/days-away/1/undo', {}).expect(303)
    expect((await starts())[0]).toBe('2026-03-02T09:00:00.000Z')
    expect((await site.browser.post('/settings/days-away/1/undo', {})).status).toBe(409)
  })

  test.each([
    [{ awayFrom: '', awayTo: '', awayWords: '' }],
    [{ awayFrom: '6 Mar', awayTo: '5 Mar', awayWords: '' }],
    [{ awayFrom: 'x'.repeat(10_000), awayTo: 'nonsense', awayWords: '' }],
    [{ awayFrom: 'today', awayTo: '1 Jan 2030', awayWords: '' }],
    [{ awayFrom: 'today', awayTo: '', awayWords: 'y'.repeat(10_000) }],
  ])('days away that make no sense are asked again', async fields => {
    const answer = await site.browser.post('/settings/days-away', fields)
    expect(answer.status).toBe(422)
    expect(answer.text).toContain(fields.awayTo.slice(0, 40))
    expect(site.raw.prepare('select count(*) from day_away').pluck().get()).toBe(0)
  })

  test('the same days twice are told', async () => {
    await site.browser.post('/settings/days-away', { awayFrom: '6 Mar', awayTo: '', awayWords: '' }).expect(303)
    const again = await site.browser.post('/settings/days-away', { awayFrom: '6 Mar', awayTo: '', awayWords: '' })
    expect([again.status, again.text]).toEqual([409, expect.stringContaining('is written down already')])
  })
})

test('a pot says what never goes into it, and keeps it', async () => {
  await threePots(site.db, site.by)
  const fields = { name: 'Pot 1', usable: '15 L', across: '', deep: '', metal: 'steel', note: '', version: 1 }
  await site.browser.post('/pots/1/edit', { ...fields, noIron: 'yes', onlyBrights: 'yes' }).expect(303)
  expect(site.raw.prepare('select no_iron, only_brights from pot where id = 1').get()).toEqual({
    no_iron: 1,
    only_brights: 1,
  })
  expect((await site.browser.get('/pots/1/edit')).text).toMatch(/name="noIron" value="yes" checked/)
})

describe('the heat of a pot', () => {
  const fields = { name: 'Pot 1', usable: '15 L', across: '', deep: '', metal: 'steel', note: '', version: 1 }
  const change = (more: Record<string, string>) => site.browser.post('/pots/1/edit', { ...fields, ...more })
  beforeEach(() => threePots(site.db, site.by))

  test('what takes time to get hot is planned with that, and a load keeps it', async () => {
    const lotId = await lotReady(site.db, site.by)
    const dye = async () => {
      const [load] = (await site.browser.json('/plan')).body.loads
      const steps: { title: string; startsAt: string; hadAt: string }[] = load.steps
      const found = steps.find(({ title }) => title === 'Dye')
      return (Date.parse(found?.hadAt ?? '') - Date.parse(found?.startsAt ?? '')) / 60_000
    }
    const before = await dye()
    await change({ hotAfterMinutes: '1 h 15 min' }).expect(303)
    const { pot } = (await site.browser.json('/pots/1')).body
    expect(pot).toMatchObject({ hotAfterMinutes: 75, noHeat: false })
    expect((await site.browser.get('/pots/1/edit')).text).toContain('value="1 h 15 min"')
    const { bundles = [] } = (await findLot(site.db, lotId)) ?? {}
    // 600 g at 20 L for each kilogram are 12 of the 15 L; the dye is used at 85 °C, from 15 °C: 70 of the 75 °C to a simmer.
    const more = Math.ceil(75 * (12 / 15) * (70 / 75))
    expect(await dye()).toBe(before + more)
    const loadId = await act(site.db, trx =>
      layLoad(trx, site.by, { potId: 1, bundleIds: bundles.map(({ id }) => id) }),
    )
    await change({ hotAfterMinutes: '', version: '2' }).expect(303)
    expect(await dye()).toBe(before + more)
    const { load } = (await site.browser.json(`/loads/${loadId}`)).body
    expect(load.steps[1]).toMatchObject({ title: 'Dye', minutes: before + more, warmUpMinutes: more })
    expect((await site.browser.get(`/loads/${loadId}`)).text).toContain(`some ${more} min of it to get hot`)
  })

  test('on no burner nothing that is heated is planned in it', async () => {
    await lotReady(site.db, site.by, { bundles: 4 })
    await change({ noHeat: 'yes' }).expect(303)
    const { loads } = (await site.browser.json('/plan')).body
    expect(loads.length).toBeGreaterThan(1)
    expect(loads.map(({ potName }: { potName: string }) => potName)).not.toContain('Pot 1')
    expect((await site.browser.get('/pots/1')).text).toContain('without heat')
  })

  test('it is one or the other, and what cannot be read is said at its field', async () => {
    const both = await change({ noHeat: 'yes', hotAfterMinutes: '50 min' })
    expect([both.status, both.text]).toEqual([422, expect.stringContaining('A pot that stands on no burner')])
    const unread = await change({ hotAfterMinutes: 'soon' })
    expect([unread.status, unread.text]).toEqual([
      422,
      expect.stringContaining('Time to get it hot: “soon” cannot be read'),
    ])
    expect(unread.text).toContain('value="soon"')
  })
})
