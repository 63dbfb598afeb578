import { beforeEach, describe, expect, test } from 'vitest'
import { browserOf, newKey, START, testApp } from '../helper.js'
import { lotReady, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
let lotId: number
const load = '/loads/1'
const at = (minutes: number): string => new Date(Date.parse(START) + minutes * 60_000).toISOString()

beforeEach(async () => {
  site = await testApp()
  const [pot] = await threePots(site.db, site.by)
  lotId = await lotReady(site.db, site.by)
  const ticks = Object.fromEntries([1, 2, 3].map(n => [`bundles.${n}`, 'yes']))
  expect((await site.browser.post(`/lots/${lotId}/load`, { ...ticks, potId: pot })).status).toBe(303)
})

const dataOf = async () => (await site.browser.json(load)).body
const versionNow = async (): Promise<number> => (await dataOf()).load.version
const next = async (fields: Record<string, string | number> = {}) =>
  site.browser.post(`${load}/steps`, { version: await versionNow(), early: 'yes', ...fields })
const carryTo = async (place: string): Promise<void> => {
  for (let presses = 0; presses < 10; presses += 1) {
    if (((await dataOf()).now?.place ?? 'done') === place) return
    expect((await next()).status).toBe(303)
  }
}

describe('at the pot', () => {
  test('says which bundles these are, for whom, how they are to be handled, and what comes next', async () => {
    const { text } = await site.browser.get(load)
    expect(text).toContain('Ilse Marram')
    expect(text).toContain('Never hang it by the thin ends.')
    expect(text).toContain('bundles 1 to 3 of 4')
    expect(text).toContain('Soak, and take the ties off')
    expect(text).toContain('Lower into Pot 1: Dye')
    expect(text).toContain('9 ties go onto the tie board with this')
  })

  test('one press begins the next step; the ties hang on the board', async () => {
    site.clock.at = at(60)
    const answer = await next()
    expect([answer.status, answer.headers.location]).toEqual([303, load])
    const page = await site.browser.get(load)
    expect(page.text).toContain('Tie board: 9 ties')
    expect((await dataOf()).now).toMatchObject({ n: 2, key: 'dye', place: 'pot' })
  })

  test('is due out, and late when that is past', async () => {
    site.clock.at = at(60)
    await next()
    const { now } = await dataOf()
    expect(now.dueAt).toBe(at(60 + now.minutes))
    site.clock.at = at(60 + now.minutes + 25)
    expect((await site.browser.get(load)).text).toContain('late by 25 min')
  })

  test('the same press twice is one step', async () => {
    const press = { version: await versionNow(), early: 'yes', key: newKey() }
    const answers = await Promise.all([1, 2].map(() => site.browser.post(`${load}/steps`, press)))
    expect(answers.map(({ status }) => status)).toEqual([303, 303])
    expect((await dataOf()).load.stepN).toBe(2)
  })

  test('another press from a page that is behind is refused, says what happened, and can be pressed again', async () => {
    const version = await versionNow()
    await next()
    const behind = await site.browser.post(`${load}/steps`, { version })
    expect(behind.status).toBe(409)
    expect(behind.text).toContain('Wren wrote down: Dye begun')
    expect(behind.text).toContain(`name="version" value="${await versionNow()}"`)
    expect((await dataOf()).load.stepN).toBe(2)
  })

  test('may be told later than it happened; when it was entered is kept', async () => {
    site.clock.at = at(90)
    expect((await next({ at: '30 min ago' })).status).toBe(303)
    const { load: now } = await dataOf()
    expect(now.stepSince).toBe(at(60))
    expect(now.log.at(-1)).toMatchObject({ at: at(60), enteredAt: at(90) })
    expect((await site.browser.get(load)).text).toContain('entered today 10:30')
  })

  test.each([
    ['08:30', 'is before this step began'],
    ['23:10', 'is still to come today'],
    ['x'.repeat(10_000), 'cannot be read as a time'],
  ])('a time of “%s” comes back with what was typed', async (typed, sentence) => {
    site.clock.at = at(60)
    const page = await next({ at: typed })
    expect(page.status).toBe(422)
    expect(page.text).toContain(sentence)
    expect(page.text).toContain(`value="${typed}"`)
    expect((await dataOf()).load.stepN).toBe(1)
  })
})

test('a rinse is offered once the load is in it, an addition until the load is done', async () => {
  const isOffered = async (what: string) => (await site.browser.get(load)).text.includes(`action="${load}/${what}"`)
  const seen: boolean[][] = []
  for (const place of ['soak tub', 'pot', 'rinse', 'drying line', 'done']) {
    await carryTo(place)
    seen.push([await isOffered('rinses'), await isOffered('additions')])
  }
  expect(seen).toEqual([
    [false, true],
    [false, true],
    [true, true],
    [true, true],
    [false, false],
  ])
  const late = await site.browser.post(`${load}/rinses`, { 'rinse.water': 'clear' })
  expect(late.status).toBe(422)
  expect(late.text).toContain('href="#rinse.at"')
})

describe('the rinse', () => {
  beforeEach(() => carryTo('rinse'))
  const rinse = (water: string) => site.browser.post(`${load}/rinses`, { 'rinse.water': water })

  test('is written down in one press, any number of times', async () => {
    for (const water of ['dark', 'coloured', 'tinted']) expect((await rinse(water)).status).toBe(303)
    const { load: now } = await dataOf()
    expect(now.log.flatMap(({ water }: { water: string | null }) => water ?? [])).toEqual([
      'dark',
      'coloured',
      'tinted',
    ])
  })

  test('that still runs with colour asks for a word before the bundles are hung up', async () => {
    await rinse('dark')
    expect((await site.browser.get(load)).text).toContain('The last rinse ran dark. Why does it go on all the same?')
    const refused = await next({ why: '  ' })
    expect(refused.status).toBe(422)
    expect(refused.text).toContain('href="#why"')
    expect((await dataOf()).now.place).toBe('rinse')
    expect((await next({ why: 'a last bath in salt follows' })).status).toBe(303)
    expect((await site.browser.get(load)).text).toContain('a last bath in salt follows')
  })

  test('that runs clear asks nothing', async () => {
    await rinse('clear')
    expect((await next()).status).toBe(303)
    expect((await dataOf()).now.place).toBe('drying line')
  })

  test.each([{}, { rinse: 'x' }, { 'rinse.water': 'x'.repeat(10_000) }])(
    '%#: without how it ran is asked',
    async fields => {
      const page = await site.browser.post(`${load}/rinses`, fields)
      expect(page.status).toBe(422)
      expect(page.text).toContain('Choose one: how the water ran.')
    },
  )
})

describe('an addition', () => {
  const add = (fields: Record<string, string>) =>
    site.browser.post(`${load}/additions`, { 'added.substanceId': 'all-purpose-bottled', ...fields })

  test('is written down with its amount, and counts into what was really used', async () => {
    await next()
    expect((await add({ 'added.amount': '30 mL' })).status).toBe(303)
    expect((await dataOf()).load.log.at(-1)).toMatchObject({ kind: 'added', amount: 30, unit: 'mL', typed: '30 mL' })
    const { text } = await site.browser.get(load)
    expect(text).toContain('Added 30 mL of all-purpose dye, bottled')
  })

  test.each([
    [{}, 'added.amount'],
    [{ 'added.amount': 'a splash' }, 'added.amount'],
    [{ 'added.amount': 'x'.repeat(10_000) }, 'added.amount'],
    [{ 'added.amount': '30 mL', 'added.at': 'x'.repeat(10_000) }, 'added.at'],
    [{ 'added.amount': '30 mL', 'added.substanceId': 'moonlight' }, 'added.substanceId'],
  ])('%#: that cannot be read comes back with what was typed', async (fields: Record<string, string>, field) => {
    const page = await add(fields)
    expect(page.status).toBe(422)
    expect(page.text).toContain(`href="#${field}"`)
    expect(page.text).toContain(`value="${fields['added.amount'] ?? ''}"`)
    expect((await dataOf()).load.log).toHaveLength(1)
  })

  test('outside the bounds of the trade asks for a word why, which stays with it', async () => {
    await next()
    const { mayAdd } = await dataOf()
    const dye = mayAdd.find((one: { substanceId: string }) => one.substanceId === 'all-purpose-bottled')
    const [bottled] = (await dataOf()).load.lines
    // Common practice, no source: half as much dye again at a time, as much again in all.
    expect(dye.inAll / bottled.amount).toBeCloseTo(1, 1)
    expect(dye.once).toBeCloseTo(dye.inAll / 2, 9)
    const page = await site.browser.get(load)
    expect(page.text).toContain(dye.words)
    expect(page.text).not.toContain('id="added.why"')
    const much = { 'added.amount': `${Math.ceil(dye.once) + 1} mL` }
    const refused = await add(much)
    expect(refused.status).toBe(422)
    expect(refused.text).toContain('href="#added.why"')
    expect(refused.text).toContain('id="added.why"')
    expect(refused.text).toContain(`value="${much['added.amount']}"`)
    expect((await dataOf()).load.log).toHaveLength(2)
    expect((await add({ ...much, 'added.why': 'y'.repeat(10_000) })).status).toBe(422)
    expect((await add({ ...much, 'added.why': '  ' })).status).toBe(422)
    expect((await add({ ...much, 'added.why': 'the bottle was old' })).status).toBe(303)
    expect((await site.browser.get(load)).text).toContain(': the bottle was old')
    const { history, used } = (await site.browser.json(`/lots/${lotId}`)).body
    expect(history.at(-1).words).toBe(`${much['added.amount']}: the bottle was old`)
    const perKg = (bottled.amount + Math.ceil(dye.once) + 1) / 0.45
    expect(used.find((one: { substanceId: string }) => one.substanceId === 'all-purpose-bottled').perKg).toBeCloseTo(
      perKg,
      6,
    )
  })

  test('counts what was added before, but not what was undone', async () => {
    await next()
    const { mayAdd } = await dataOf()
    const { once, left } = mayAdd[0]
    const half = { 'added.amount': `${Math.floor(once)} mL` }
    expect((await add(half)).status).toBe(303)
    expect((await dataOf()).mayAdd[0].left).toBeCloseTo(left - Math.floor(once), 9)
    expect((await add(half)).status).toBe(303)
    expect((await add(half)).status).toBe(422)
    await site.browser.post(`${load}/undo`, { version: await versionNow() })
    expect((await add(half)).status).toBe(303)
  })

  test('of what is not in the recipe asks for a word why', async () => {
    const soda = { 'added.substanceId': 'soda-ash', 'added.amount': '5 g' }
    expect((await add(soda)).text).toContain('There is no soda ash in this recipe.')
    expect((await add({ ...soda, 'added.why': 'the water is hard' })).status).toBe(303)
  })

  test('beside a note, which needs words', async () => {
    expect((await site.browser.post(`${load}/notes`, {})).status).toBe(422)
    const long = await site.browser.post(`${load}/notes`, { 'note.words': 'y'.repeat(10_000) })
    expect(long.status).toBe(422)
    expect(long.text).toContain('y'.repeat(10_000))
    expect((await site.browser.post(`${load}/notes`, { 'note.words': 'slow to take' })).status).toBe(303)
    expect((await site.browser.get(load)).text).toContain('slow to take')
  })
})

describe('undo', () => {
  const undo = async () => site.browser.post(`${load}/undo`, { version: await versionNow() })

  test('names what it undoes, and puts it back', async () => {
    await next()
    expect((await site.browser.get(load)).text).toContain('Undo: Dye begun')
    expect((await undo()).status).toBe(303)
    const { load: now } = await dataOf()
    expect(now).toMatchObject({ stepN: 1, stepSince: START })
    expect(
      now.bundles.every(({ tiesOn, place }: { tiesOn: number; place: string }) => tiesOn === 3 && place === 'soak tub'),
    ).toBe(true)
    expect((await site.browser.get(load)).text).toContain('<s>Dye</s>')
  })

  test('from a page that is behind undoes nothing', async () => {
    const version = await versionNow()
    await next()
    expect((await site.browser.post(`${load}/undo`, { version })).status).toBe(409)
    expect((await dataOf()).load.stepN).toBe(2)
  })

  test('of the first step takes the load out again', async () => {
    expect((await undo()).status).toBe(303)
    const { text } = await site.browser.get(load)
    expect(text).toContain('taken out of the pot again')
    expect(text).not.toContain('Undo: ')
    expect((await undo()).status).toBe(409)
  })
})

test('done: the bundles lie on the ready shelf and the page says what follows', async () => {
  await carryTo('drying line')
  await next()
  const { text } = await site.browser.get(load)
  expect(text).toContain('laid on the ready shelf')
  expect(text).toContain(`/lots/${lotId}/outcome`)
  expect((await next()).status).toBe(409)
})

test('a reload after a refused press leads to the load; what is not there is not found', async () => {
  expect((await site.browser.get(`${load}/steps`)).headers.location).toBe(load)
  expect((await site.browser.get('/loads/99')).status).toBe(404)
  expect((await site.browser.post('/loads/99/steps', { version: 1 })).status).toBe(404)
})

describe('a press before its time', () => {
  const press = async (fields: Record<string, string | number> = {}) =>
    site.browser.post(`${load}/steps`, { version: await versionNow(), ...fields })

  test('is asked about once, and goes on with a word or without', async () => {
    site.clock.at = at(1)
    const asked = await press({ back: 'today' })
    expect(asked.status).toBe(422)
    expect(asked.text).toContain('Only 1 min of at least')
    expect(asked.text).toContain('href="#early"')
    expect(asked.text).toContain('All the same: Lower into Pot 1: Dye')
    expect(asked.text).toContain('name="back" value="today"')
    expect((await dataOf()).load.stepN).toBe(1)
    const meant = await press({ early: 'yes', why: 'soaked at home', back: 'today' })
    expect([meant.status, meant.headers.location]).toEqual([303, '/'])
    expect((await site.browser.get(load)).text).toContain('Dye (soaked at home)')
  })

  test('is not asked about once the least time has passed, nor when it is told as of then', async () => {
    const { atLeastMinutes } = (await dataOf()).now
    site.clock.at = at(atLeastMinutes)
    expect((await press()).status).toBe(303)
    const dye = (await dataOf()).now
    site.clock.at = at(atLeastMinutes + dye.atLeastMinutes + 5)
    expect((await press({ at: '5 min ago' })).status).toBe(303)
  })

  test('a second tap within ten seconds is asked about, but not one after something was written down', async () => {
    await carryTo('rinse')
    site.clock.at = new Date(Date.parse(START) + 5000).toISOString()
    const tapped = await press()
    expect(tapped.status).toBe(422)
    expect(tapped.text).toContain(
      'This was pressed a moment ago: Rinse until the water runs clear has only just begun.',
    )
    await site.browser.post(`${load}/rinses`, { 'rinse.water': 'clear' })
    expect((await press()).status).toBe(303)
  })

  test('that was taken says where the load is now, until when, and offers to undo it', async () => {
    site.clock.at = at(60)
    const done = await next()
    const cookies = [done.headers['set-cookie'] ?? []]
      .flat()
      .map(cookie => cookie.split(';')[0])
      .join('; ')
    const read = await browserOf(site.app, `${site.cookie}; ${cookies}`).get('/')
    expect(read.text).toMatch(
      /Pot 1, lot \d+: now in the dye bath, due out today \d\d:\d\d\. 9 ties hang on the tie board\./,
    )
    const form = /<form method="post" action="\/loads\/1\/undo"[\s\S]*?<\/form>/.exec(read.text)?.[0] ?? ''
    expect(form).toContain('<button>Undo</button>')
    const version = /name="version" value="(\d+)"/.exec(form)?.[1] ?? ''
    const undone = await site.browser.post(`${load}/undo`, { version, back: 'today' })
    expect([undone.status, undone.headers.location]).toEqual([303, '/'])
    expect((await dataOf()).load.stepN).toBe(1)
  })

  test.each(['x'.repeat(10_000)])('an answer that is none comes back', async early => {
    expect((await press({ early })).status).toBe(422)
    expect((await dataOf()).load.stepN).toBe(1)
  })
})

test('the heading says where the bundles are, from the soak to the shelf', async () => {
  const headings: string[] = []
  const note = async () => {
    const text = (await site.browser.get(load)).text
    headings.push((/<h1>([\s\S]*?)<\/h1>/.exec(text)?.[1] ?? '').replace(/<[^>]+>/g, ''))
  }
  for (const place of ['soak tub', 'pot', 'rinse', 'drying line']) {
    await carryTo(place)
    await note()
  }
  await next()
  await note()
  expect(headings).toEqual(
    ['Soak tub, for Pot 1', 'Pot 1', 'In the rinse', 'On the drying line', 'Done in Pot 1'].map(
      where => `${where}: lot ${lotId}`,
    ),
  )
})

test('what is weighed out stands above the tie board, with the paper for the pot', async () => {
  const { text } = await site.browser.get(load)
  expect(text.indexOf('id="weigh-out"')).toBeLessThan(text.indexOf('id="board"'))
  expect(text).toMatch(/<a href="\/recipes\/\d+\/pot-sheet">Pot sheet for this load<\/a>/)
  const shared = (await site.browser.get(`/lots/${lotId}/recipe`)).text.split('Do not lift a filled pot').length - 1
  expect(shared).toBe(1)
})

test('in the rinse, how the water ran is asked before the press that hangs up', async () => {
  await carryTo('rinse')
  const { text } = await site.browser.get(load)
  expect(text.match(/name="rinse.water"/g)).toHaveLength(4)
  expect(text.indexOf('name="rinse.water"')).toBeLessThan(text.indexOf('Hang up to dry'))
})
