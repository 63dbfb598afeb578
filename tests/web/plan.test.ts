import { beforeEach, describe, expect, test } from 'vitest'
import { layLoad } from '../../src/store/loads.js'
import { findLot } from '../../src/store/lots.js'
import { testApp } from '../helper.js'
import { act, lotReady, takeInLot, threePots } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
let lotId: number
beforeEach(async () => {
  site = await testApp()
  await threePots(site.db, site.by)
  lotId = await lotReady(site.db, site.by)
})

const planned = async () => (await site.browser.json('/plan')).body
const stepOf = async (n: number, id = lotId) =>
  (await planned()).loads
    .find((one: { load: { lotId: number } }) => one.load.lotId === id)
    .steps.find((step: { n: number }) => step.n === n)
const layIt = async () => {
  const bundleIds = ((await findLot(site.db, lotId))?.bundles ?? []).map(({ id }) => id)
  return act(site.db, trx => layLoad(trx, site.by, { potId: 1, bundleIds }))
}

describe('the plan', () => {
  test('says what is done when, in plain words, and why not earlier', async () => {
    const { text } = await site.browser.get('/plan').expect(200)
    expect(text).toContain(`Put Lot ${lotId} in to soak`)
    expect(text).toMatch(new RegExp(`Lift Lot ${lotId} out of the soak tub and lower it into Pot \\d: `))
    expect(text).toContain(`Take Lot ${lotId} down from the line and lay it on the ready shelf`)
    expect(text).toContain('It can begin at once.')
    expect(text).toContain('hours that nobody here has said')
  })

  test('with nothing to do says so', async () => {
    const empty = await testApp()
    expect((await empty.browser.get('/plan').expect(200)).text).toContain('Nothing waits to be dyed')
  })

  test('begins with what is late, what keeps it, and what can be done', async () => {
    const late = await lotReady(site.db, site.by, { neededBy: '2026-03-03' })
    const body = await planned()
    expect(body.late.map((one: { load: { lotId: number } }) => one.load.lotId)).toEqual([late])
    const { text } = await site.browser.get('/plan')
    expect(text.indexOf('See to these first')).toBeLessThan(text.indexOf('Today, Mon 2 Mar 2026'))
    expect(body.late[0].help.words).not.toBe('')
    expect(body.late[0].lateMinutes).toBeGreaterThan(0)
  })

  test('begins with what no pot takes', async () => {
    site.raw.exec('update pot set usable_ml = 300')
    const { text } = await site.browser.get('/plan').expect(200)
    expect(text).toContain('is too small')
    expect(text).toContain('href="/pots">The pots</a>')
  })

  test('names a lot without a recipe that cannot be reckoned', async () => {
    const bare = await takeInLot(site.db, site.by)
    site.raw.exec("update catalogue set withdrawn_at = '2026-03-01' where id = 'all-purpose-bottled'")
    const { text } = await site.browser.get('/plan')
    expect(text).toContain(`<strong>Lot ${bare}</strong>`)
    expect(text).toContain('It has no recipe yet, and the usual one cannot be reckoned')
  })
})

describe('what is settled', () => {
  const at = () => `/plan/lots/${lotId}/1/steps/1`

  test('a time stays, is shown as settled, and can be left to the plan again', async () => {
    await site.browser.post(at(), { day: 'tomorrow', clock: '9:30', potId: '' }).expect(303)
    expect((await stepOf(1)).startsAt).toBe('2026-03-03T09:30:00.000Z')
    expect((await site.browser.get('/plan')).text).toContain('You have pinned it to tomorrow 09:30.')
    await site.browser.post(`${at()}/undo`, {}).expect(303)
    expect((await stepOf(1)).startsAt).toBe('2026-03-02T09:00:00.000Z')
    expect((await site.browser.post(`${at()}/undo`, {})).status).toBe(409)
  })

  test('a pot stays; the soak tub is nobody’s pot', async () => {
    const steps: { n: number; place: string }[] = (await planned()).loads[0].steps
    const dye = steps.find(({ place }) => place === 'pot')?.n ?? 0
    const url = `/plan/lots/${lotId}/1/steps/${dye}`
    await site.browser.post(url, { day: '', clock: '', potId: '1' }).expect(303)
    expect((await stepOf(dye)).potName).toBe('Pot 1')
    expect((await site.browser.post(at(), { day: 'tomorrow', clock: '9:30', potId: '1' })).status).toBe(422)
  })

  test('settled again, the last word counts', async () => {
    await site.browser.post(at(), { day: 'tomorrow', clock: '9:30', potId: '' }).expect(303)
    await site.browser.post(at(), { day: 'tomorrow', clock: '11:00', potId: '' }).expect(303)
    expect((await stepOf(1)).startsAt).toBe('2026-03-03T11:00:00.000Z')
    expect(site.raw.prepare('select count(*) from plan_pin where undone_at is null').pluck().get()).toBe(1)
  })

  test.each([
    ['three at night', { day: 'tomorrow', clock: '3:00', potId: '' }, 'It could begin tomorrow 08:00.'],
    ['Sunday', { day: '8 Mar', clock: '9:00', potId: '' }, 'It could begin Mon 9 Mar 08:00.'],
    ['what is past', { day: 'today', clock: '8:00', potId: '' }, 'is past already'],
    ['nothing', { day: '', clock: '', potId: '' }, 'Write the time at which it begins'],
    ['nonsense', { day: 'noday', clock: 'x'.repeat(10_000), potId: 'y' }, 'cannot be read as a time of day'],
  ])('%s is refused, with everything typed', async (_, fields, sentence) => {
    const answer = await site.browser.post(at(), fields)
    expect(answer.status).toBe(422)
    expect(answer.text).toContain(sentence)
    expect(answer.text).toContain(`value="${fields.day}"`)
    expect(site.raw.prepare('select count(*) from plan_pin').pluck().get()).toBe(0)
  })

  test('of a load under way a time that cannot be is refused as well, and the plan keeps it', async () => {
    await layIt()
    const url = '/plan/loads/1/steps/2'
    const refused = await site.browser.post(url, { day: 'tomorrow', clock: '3:00', potId: '' })
    expect([refused.status, refused.text]).toEqual([422, expect.stringContaining('It could begin tomorrow 08:')])
    expect((await planned()).loads).toHaveLength(1)
    await site.browser.post(url, { day: 'tomorrow', clock: '9:00', potId: '' }).expect(303)
    expect((await stepOf(2)).startsAt).toBe('2026-03-03T09:00:00.000Z')
  })

  describe('a time at which the client wants it left alone', () => {
    const asked = { day: '5 Mar', clock: '10:00', potId: '' }
    const agreed = 'Ilse, by telephone today: for once'
    const pins = () => site.raw.prepare('select starts_at, agreed from plan_pin where undone_at is null').all()

    beforeEach(async () => {
      await site.browser.post('/clients/1/days', { fromDay: '5 Mar', toDay: '5 Mar', each: 'once', words: 'a feast' })
    })

    test('is asked about in the words of the wish, with what was typed', async () => {
      for (const words of [undefined, ' ', '-']) {
        const { status, text } = await site.browser.post(at(), { ...asked, ...(words ? { agreed: words } : {}) })
        expect(status).toBe(422)
        expect(text).toContain(
          `Lot ${lotId} is to be left alone until Fri 6 Mar 00:00: Nothing on Thu 5 Mar 2026: a feast.`,
        )
        expect(text).toContain('<textarea id="agreed"')
        expect(text).toContain('value="10:00"')
      }
      expect(pins()).toEqual([])
    })

    test('is settled with what the client said, planned for that step alone, and said in the plan and the history', async () => {
      await site.browser.post(at(), { ...asked, agreed }).expect(303)
      expect(pins()).toEqual([{ starts_at: '2026-03-05T10:00:00.000Z', agreed }])
      expect((await stepOf(1)).startsAt).toBe('2026-03-05T10:00:00.000Z')
      expect((await stepOf(2)).startsAt >= '2026-03-06').toBe(true)
      const said = 'as the client agreed against a wish of theirs'
      expect((await site.browser.get('/plan')).text).toContain(said)
      expect((await site.browser.get(at())).text).toContain(`The client agreed: ${agreed}`)
      expect((await site.browser.get(`/lots/${lotId}`)).text).toContain(said)
    })

    test('what is typed of it where no wish is against it is not kept', async () => {
      await site.browser.post(at(), { ...asked, day: '9 Mar', agreed }).expect(303)
      expect(pins()).toEqual([{ starts_at: '2026-03-09T10:00:00.000Z', agreed: '' }])
    })

    test('a wish that is written down later names itself as what is against a settled time', async () => {
      await site.browser.post(at(), { ...asked, day: '9 Mar' }).expect(303)
      await site.browser.post('/clients/1/days', { fromDay: '9 Mar', toDay: '9 Mar', each: 'once', words: 'a wedding' })
      expect((await site.browser.get('/plan')).text).toContain('a wish of the client is against it')
    })
  })

  test('holds for the load once it is laid, but for its beginning', async () => {
    await site.browser.post(`/plan/lots/${lotId}/1/steps/2`, { day: '4 Mar', clock: '10:00', potId: '' }).expect(303)
    const loadId = await layIt()
    expect((await stepOf(2)).startsAt).toBe('2026-03-04T10:00:00.000Z')
    expect((await site.browser.get(`/plan/loads/${loadId}/steps/2`).expect(200)).text).toContain(
      'Leave it to the plan again',
    )
    const begun = await site.browser.post(`/plan/loads/${loadId}/steps/1`, {
      day: 'tomorrow',
      clock: '9:30',
      potId: '',
    })
    expect([begun.status, begun.text]).toEqual([409, expect.stringContaining('has begun already')])
  })

  test('a step that is not there is not there', async () => {
    await site.browser.get(`/plan/lots/${lotId}/1/steps/40`).expect(404)
    await site.browser.get('/plan/loads/77/steps/1').expect(404)
  })
})
