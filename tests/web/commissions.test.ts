import { beforeEach, describe, expect, test } from 'vitest'
import { inOneStep } from '../../src/store/db.js'
import { type BundleIn, type DropOff, takeIn } from '../../src/store/drop-off.js'
import { AT_DROP_OFF, notePromise } from '../../src/store/promises.js'
import { testApp } from '../helper.js'
import { act } from '../pots-kit.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const bundle: BundleIn = {
  tiesIn: 3,
  dryWeightG: 150,
  weightTyped: '150 g',
  thicknessMm: 0.8,
  thicknessTyped: '0.8 mm',
  condition: '',
  howTied: 'reef knot',
}

const dropOff: DropOff = {
  client: {
    name: 'Marta Quill',
    mark: 'MQ',
    contact: 'letter box 4',
    settles: 'trade',
    wishes: 'keep it out of the sun',
    photographs: 'no',
    note: '',
  },
  purpose: 'guild class',
  neededBy: '2026-03-20',
  arrangement: 'trade',
  note: 'left at the side door',
  lots: [
    {
      fibreId: 'red-cedar-inner-bark',
      colour: 'a deep madder red',
      swatch: '#a5482f',
      route: 'plant',
      dyeId: 'madder-root',
      tiesUndyed: true,
      against: '',
      repeatsLotId: null,
      bundles: [bundle, bundle, { ...bundle, tiesIn: 2 }],
    },
  ],
}

const brought = (more: Partial<DropOff> = {}): Promise<number> =>
  inOneStep(site.db, trx => takeIn(trx, site.by, { ...dropOff, ...more }))

describe('what is in hand', () => {
  test('stands with the latest first, and says how late', async () => {
    await brought({ purpose: 'chair seats', neededBy: '2026-03-09' })
    await brought({ purpose: 'carnival masks', neededBy: '2026-03-05' })
    await brought({ purpose: 'paper class', neededBy: '2026-03-08' })
    site.clock.at = '2026-03-07T09:00:00.000Z'
    const { body } = await site.browser.json('/commissions')
    expect(body.commissions.map((one: { purpose: string; daysLeft: number }) => [one.purpose, one.daysLeft])).toEqual([
      ['carnival masks', -2],
      ['paper class', 1],
      ['chair seats', 2],
    ])
    const { text } = await site.browser.get('/commissions')
    expect(text).toContain('2 days late')
    expect(text).toContain('tomorrow, needed by Sun 8 Mar 2026')
  })

  test('counts to the day that was promised, where that is another one', async () => {
    const id = await brought({ purpose: 'chair seats', neededBy: '2026-03-05' })
    await brought({ purpose: 'paper class', neededBy: '2026-03-06' })
    const [{ lotId }] = site.raw.prepare('select id as lotId from lot where commission_id = ?').all(id) as [
      { lotId: number },
    ]
    const promise = { lotId, day: '2026-03-09', earliest: null, how: AT_DROP_OFF, toldOn: '2026-03-02', words: '' }
    await act(site.db, trx => notePromise(trx, site.by, promise))
    const { commissions } = (await site.browser.json('/commissions')).body
    expect(commissions.map((one: { purpose: string; countedOn: string }) => [one.purpose, one.countedOn])).toEqual([
      ['paper class', '2026-03-06'],
      ['chair seats', '2026-03-09'],
    ])
    const words = 'promised for Mon 9 Mar 2026, needed by Thu 5 Mar 2026'
    expect((await site.browser.get('/commissions')).text).toContain(words)
    expect((await site.browser.get(`/commissions/${id}`)).text).toMatch(
      /Thu 5 Mar 2026<\/strong>, promised for <strong>Mon 9 Mar 2026<[\s\S]{0,40}in 7 days/,
    )
  })

  test('is nothing in an empty shed', async () => {
    expect((await site.browser.get('/commissions')).text).toContain('Nothing is in hand.')
  })

  test("counts the days by the workshop's own clock", async () => {
    await brought({ neededBy: '2026-03-08' })
    site.raw.exec("update workshop set time_zone = 'Pacific/Auckland'")
    site.clock.at = '2026-03-08T12:00:00.000Z' // 9 March there
    expect((await site.browser.get('/commissions')).text).toContain('1 day late')
  })
})

describe('a commission', () => {
  test('shows wishes, sums, drawings, where the bundles are and what comes next', async () => {
    const { text } = await site.browser.get(`/commissions/${await brought()}`)
    expect(text.indexOf('keep it out of the sun')).toBeLessThan(text.indexOf('letter box 4'))
    expect(text).toContain('mm thick')
    expect(text).toMatch(/<dt>Settlement<\/dt><dd>(paid|trade|gift)<\/dd>/)
    expect(text).toContain('<strong>3 bundles</strong>, <strong>8 ties</strong>, <strong>450 g</strong> dry')
    expect(text.match(/<svg [^>]*role="img"/g)).toHaveLength(3)
    expect(text).toContain('Bundle 3: 2 ties, ties undyed')
    expect(text).toContain('3 on the arrivals shelf')
    expect(text).toContain('href="/lots/1/recipe"')
    expect(text).toContain('href="/commissions/1/hand-back"')
  })

  test('comes out as typed JSON', async () => {
    const { body } = await site.browser.json(`/commissions/${await brought()}`)
    expect(body).toMatchObject({
      commission: { clientName: 'Marta Quill', neededBy: '2026-03-20', takenInAt: site.by.at, takenInBy: 'Wren' },
      totals: { bundles: 3, ties: 8, dryWeightG: 450 },
      here: 3,
      ready: 0,
    })
    expect(body.lots[0]).toMatchObject({ next: 'recipe', places: [{ place: 'arrivals shelf', bundles: 3 }] })
  })

  test('that does not exist is not found, nor can it be changed', async () => {
    expect((await site.browser.get('/commissions/99')).status).toBe(404)
    expect((await site.browser.get('/commissions/99/edit')).status).toBe(404)
    expect((await site.browser.post('/commissions/99/edit', { version: 1 })).status).toBe(404)
  })
})

describe('changing what was agreed', () => {
  const agreed = { purpose: 'guild class', neededBy: '27 Mar', arrangement: 'gift', note: '', version: 1 }

  test('keeps who changed what from what to what, in the history of each lot and once on the page', async () => {
    const id = await brought({ lots: [...dropOff.lots, ...dropOff.lots] })
    const answer = await site.browser.post(`/commissions/${id}/edit`, agreed)
    expect(answer.headers.location).toBe(`/commissions/${id}`)
    const { body } = await site.browser.json(`/commissions/${id}`)
    expect(body.commission).toMatchObject({ neededBy: '2026-03-27', arrangement: 'gift', note: '', version: 2 })
    expect(body.changes).toEqual([
      {
        at: site.clock.at,
        who: 'Wren',
        was: { neededBy: '2026-03-20', arrangement: 'trade', note: 'left at the side door' },
        became: { neededBy: '2026-03-27', arrangement: 'gift', note: '' },
      },
    ])
    const lots = site.raw.prepare("select lot_id from history where what = 'commission changed' order by lot_id")
    expect(lots.pluck().all()).toEqual([1, 2])
    expect((await site.browser.get(`/commissions/${id}`)).text).toContain('from “Fri 20 Mar 2026” to “Fri 27 Mar 2026”')
  })

  test('shows the day with its weekday, and takes it back as it stands', async () => {
    const id = await brought()
    const page = await site.browser.get(`/commissions/${id}/edit`)
    expect(page.text).toContain('value="Fri 20 Mar 2026"')
    await site.browser.post(`/commissions/${id}/edit`, { ...agreed, neededBy: 'Fri 20 Mar 2026' })
    expect((await site.browser.json(`/commissions/${id}`)).body.commission.neededBy).toBe('2026-03-20')
  })

  test('of one that is late need not move its day', async () => {
    const id = await brought({ neededBy: '2026-03-04' })
    site.clock.at = '2026-03-06T09:00:00.000Z'
    const answer = await site.browser.post(`/commissions/${id}/edit`, { ...agreed, neededBy: '2026-03-04' })
    expect(answer.status).toBe(303)
    const before = await site.browser.post(`/commissions/${id}/edit`, { ...agreed, version: 2, neededBy: '2026-03-01' })
    expect(before.status).toBe(422)
  })

  test('from two devices: the second is shown both, and nothing is overwritten', async () => {
    const address = `/commissions/${await brought()}`
    await site.browser.post(`${address}/edit`, agreed)
    const second = await site.browser.post(`${address}/edit`, { ...agreed, purpose: 'hat course' })
    expect(second.status).toBe(409)
    expect(second.text).toContain('hat course')
    expect(second.text).toContain('Fri 27 Mar 2026')
    expect((await site.browser.json(address)).body.commission).toMatchObject({ purpose: 'guild class', version: 2 })
  })

  test('with nothing, nonsense or 10,000 characters comes back whole', async () => {
    const address = `/commissions/${await brought()}`
    const long = 'λ'.repeat(10_000)
    for (const field of ['purpose', 'neededBy', 'note']) {
      const page = await site.browser.post(`${address}/edit`, { ...agreed, [field]: long })
      expect(page.status, field).toBe(422)
      expect(page.text.includes(long), field).toBe(true)
    }
    expect((await site.browser.post(`${address}/edit`, { version: 1 })).status).toBe(422)
    expect((await site.browser.post(`${address}/edit`, { ...agreed, neededBy: 'soon ☂' })).text).toContain('soon ☂')
    expect((await site.browser.json(address)).body.commission.version).toBe(1)
  })

  test('lets the lot be found by its new purpose', async () => {
    const id = await brought()
    await site.browser.post(`/commissions/${id}/edit`, { ...agreed, purpose: 'theatre masks' })
    const found = site.raw.prepare("select rowid from lot_text where lot_text match 'theatre'").pluck().all()
    expect(found).toEqual([1])
  })
})
