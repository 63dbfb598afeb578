import { beforeEach, describe, expect, test } from 'vitest'
import { inOneStep } from '../../src/store/db.js'
import { keepApart } from '../../src/store/keep-apart.js'
import { newKey, START, testApp } from '../helper.js'
import { lotReady, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
let lotId: number
const at = (minutes: number): string => new Date(Date.parse(START) + minutes * 60_000).toISOString()

beforeEach(async () => {
  site = await testApp()
  const [pot] = await threePots(site.db, site.by)
  lotId = await lotReady(site.db, site.by)
  const ticks = Object.fromEntries([1, 2, 3].map(n => [`bundles.${n}`, 'yes']))
  expect((await site.browser.post(`/lots/${lotId}/load`, { ...ticks, potId: pot })).status).toBe(303)
})

const dataOf = async () => (await site.browser.json('/loads/1/now')).body
const press = async (what: string, fields: Record<string, string | number> = {}) =>
  site.browser.post(`/loads/1/${what}`, { version: (await dataOf()).load.version, back: 'pot', ...fields })
const next = (fields: Record<string, string | number> = {}) => press('steps', { early: 'yes', ...fields })
const logged = async () => (await dataOf()).load.log

describe('the page of an empty pot', () => {
  test('says what the plan puts in next, or that it is out of use, or that nothing is planned', async () => {
    const page = async () => (await site.browser.get('/pots/2/now')).text
    // One bundle still waits on the shelf; the other pots are out of use, so that it can only go into this one.
    site.raw.exec('update pot set out_of_use = 1 where id <> 2')
    const next = (await site.browser.json('/pots/2/now')).body.planned
    expect(next.load).toMatchObject({ lotId, clientName: 'Ilse Marram', bundles: 1 })
    const { acts } = (await site.browser.json('/plan')).body.days[0]
    expect(acts).toContainEqual(expect.objectContaining({ at: next.at, planLoadId: `lot:${lotId}:1` }))
    expect(await page()).toContain(`By the plan, next: <strong>${next.load.name}</strong>`)
    expect(await page()).toContain('Never hang it by the thin ends.')
    await site.browser.post('/plan/otherwise/pots', { potId: '2', backOn: 'tomorrow', words: 'its lid is bent' })
    expect(await page()).toMatch(/Out of use[\s\S]*Until [\s\S]*its lid is bent/)
    expect((await site.browser.get('/pots/3/now')).text).not.toContain('By the plan')
    await site.browser.post('/plan/otherwise/pots/1', { do: 'back' })
    // A pot that is too small for it.
    site.raw.exec('update pot set usable_ml = 500 where id = 2')
    expect(await page()).toContain('The plan puts nothing in it.')
  })
})

describe('the page of a pot, for wet gloves', () => {
  test('says what is in it, whose it is, and what to mind', async () => {
    await inOneStep(site.db, trx => keepApart(trx, site.by, lotId, 'a moth was seen'))
    const { text } = await site.browser.get('/pots/1/now')
    for (const words of ['Ilse Marram', 'bundles 1 to 3 of 4', 'Never hang it by the thin ends.', 'a moth was seen'])
      expect(text).toContain(words)
    expect(text).toContain('Keep apart:')
    expect(text).toContain('Take care:')
    const [, care = ''] = /Take care:<\/strong>([^<]*)</.exec(text) ?? []
    const sentences = care.split('. ').map(one => one.replace(/\.$/, '').trim())
    expect(sentences.length).toBeGreaterThan(3)
    expect(new Set(sentences).size).toBe(sentences.length)
    expect(text).toContain('<strong>No tie</strong> on the tie board')
    expect(text).toContain('<strong>9 ties</strong> of 3 bundles go onto the tie board')
    expect(text).toContain('/pot-sheet')
  })

  test('tells the time that the step has had and has left, by the clock of the server', async () => {
    const { minutes } = (await dataOf()).step
    site.clock.at = at(20)
    const { text } = await site.browser.get('/pots/1/now')
    expect(text).toContain('<dd data-had>20 min</dd>')
    expect((await dataOf()).step.time).toEqual({ hadMinutes: 20, toGo: { words: 'left', minutes: minutes - 20 } })
    site.clock.at = at(minutes + 5)
    expect((await dataOf()).step.time.toGo).toEqual({ words: 'may stand on', minutes: 1440 - minutes - 5 })
    site.clock.at = at(1440 + 5)
    expect((await site.browser.get('/pots/1/now')).text).toContain(
      '<dt data-to-go-words>Over by</dt><dd data-to-go>5 min</dd>',
    )
  })

  test('a press stays on the page of the pot, and follows the load once the pot is free', async () => {
    site.clock.at = at(60)
    expect((await next()).headers.location).toBe('/pots/1/now')
    for (let presses = 0; (await dataOf()).step.place !== 'rinse'; presses += 1) {
      expect(presses).toBeLessThan(6)
      await next()
    }
    expect((await press('rinses', { 'rinse.water': 'tinted' })).headers.location).toBe('/loads/1/now')
    const empty = await site.browser.get('/pots/1/now')
    expect(empty.text).toContain('Nothing in it')
    expect(empty.text).toContain('/loads/1/now')
  })

  test('a note is one press, and so is undoing it', async () => {
    const { quickNotes } = await dataOf()
    expect((await press('notes', { 'note.words': quickNotes[0] })).status).toBe(303)
    expect((await logged()).at(-1)).toMatchObject({ kind: 'noted', words: quickNotes[0] })
    const { text } = await site.browser.get('/pots/1/now')
    expect(text).toContain(`Undo: noted “${quickNotes[0]}”`)
    expect((await press('undo')).headers.location).toBe('/pots/1/now')
    expect((await logged()).at(-1).undoneAt).not.toBeNull()
  })

  test('undoing what is not of a moment ago is asked about, so that no bath loses its time by five taps', async () => {
    site.clock.at = at(60)
    await next()
    site.clock.at = at(69)
    expect((await press('undo')).status).toBe(303)
    await next()
    site.clock.at = at(80)
    const asked = await press('undo')
    expect(asked.status).toBe(422)
    expect(asked.text).toContain('This would undo what is of today 10:09: Dye begun, and the time since then')
    expect(asked.text).toContain('name="sure" value="yes"')
    expect(asked.text).toContain('<button>All the same: Undo: Dye begun')
    expect((await dataOf()).load.stepN).toBe(2)
    expect((await press('undo', { sure: 'yes' })).status).toBe(303)
    expect((await dataOf()).load.stepN).toBe(1)
  })

  test('what is refused is said on the same page, with what was typed', async () => {
    const early = await press('steps', { at: 'when the cock crew' })
    expect(early.status).toBe(422)
    expect(early.text).toContain('class="at-pot"')
    expect(early.text).toContain('value="when the cock crew"')
    const behind = await site.browser.post('/loads/1/steps', { version: 999, back: 'pot' })
    expect([behind.status, behind.text.includes('class="at-pot"')]).toEqual([409, true])
    expect((await press('notes', { 'note.words': '' })).status).toBe(422)
    expect((await press('notes', { 'note.words': 'x'.repeat(10_000) })).status).toBe(422)
  })

  test('a load that is taken out again, and a pot that is not there, say so', async () => {
    await press('undo')
    expect((await site.browser.get('/loads/1/now')).text).toContain('taken out of the pot again')
    expect((await site.browser.get('/pots/1/now')).text).toContain('Nothing in it')
    expect((await site.browser.get('/pots/99/now')).status).toBe(404)
    expect((await site.browser.get('/loads/99/now')).status).toBe(404)
  })

  test('today and the pots lead to it', async () => {
    expect((await site.browser.get('/')).text).toContain('href="/pots/1/now"')
    expect((await site.browser.get('/pots')).text).toContain('href="/pots/1/now"')
  })
})

describe('a press that had to wait on a phone', () => {
  test('is written down as of when it was pressed, and when it came is kept', async () => {
    site.clock.at = at(90)
    expect((await next({ pressedAt: at(60) })).status).toBe(303)
    expect((await logged()).at(-1)).toMatchObject({ at: at(60), enteredAt: at(90) })
    for (const minutes of [64, 65]) await next({ pressedAt: at(minutes) })
    await press('rinses', { 'rinse.water': 'dark', pressedAt: at(70) })
    await press('notes', { 'note.words': 'Stirred', pressedAt: at(80), 'note.at': '5 min ago' })
    expect((await logged()).slice(-2)).toMatchObject([{ at: at(70) }, { at: at(75), enteredAt: at(90) }])
  })

  test('is never in the future, nor before its step', async () => {
    site.clock.at = at(90)
    await next({ pressedAt: at(95) })
    expect((await logged()).at(-1)).toMatchObject({ at: at(90), enteredAt: at(90) })
    const before = await next({ pressedAt: at(80) })
    expect(before.status).toBe(422)
    expect(before.text).toContain('pressed before this step began')
    expect((await next({ pressedAt: 'x'.repeat(10_000) })).status).toBe(422)
  })

  test('sent again, it is answered as done, and is there once', async () => {
    const sent = { key: newKey(), 'note.words': 'Stirred', back: 'pot', pressedAt: at(0) }
    site.clock.at = at(5)
    const send = () => site.browser.post('/loads/1/notes', sent).set('accept', 'application/json')
    const [first, again] = [await send(), await send()]
    expect([first.status, again.status]).toEqual([303, 303])
    expect(again.headers.location).toBe(first.headers.location)
    expect((await logged()).filter(({ kind }: { kind: string }) => kind === 'noted')).toHaveLength(1)
  })

  test('a script hears why it was refused, and that nobody is signed in', async () => {
    const refused = await press('steps', { version: 999 }).then(() =>
      site.browser.post('/loads/1/steps', { version: 999, back: 'pot' }).set('accept', 'application/json'),
    )
    expect(refused.status).toBe(409)
    expect(refused.body.errors[0].sentence).toContain('Nothing was done')
    const out = await site.browser
      .post('/loads/1/steps', { version: 1 })
      .set('accept', 'application/json')
      .set('cookie', '')
    expect(out.status).toBe(401)
  })
})

describe('a page that is only looked at again', () => {
  test('leaves what was said to the page that is opened next', async () => {
    const said = encodeURIComponent('Noted.')
    const look = (again: Record<string, string>) =>
      site.browser.get('/pots/1/now').set('cookie', `${site.cookie}; said=${said}`).set(again)
    const looked = await look({ 'x-by-script': 'yes' })
    expect(looked.text).not.toContain('Noted.')
    expect(looked.headers['set-cookie']).toBeUndefined()
    expect((await look({})).text).toContain('Noted.')
  })
})
