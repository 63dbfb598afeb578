import { beforeEach, describe, expect, test } from 'vitest'
import { aLot, alike, bring, makeReady, plainText, rowsTicked } from '../hand-back-helper.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
/** Commission 1: lots 1 and 2, of which lot 1 is ready. */
beforeEach(async () => {
  site = await testApp()
  await bring(site.db, site.by, [aLot(alike(2)), aLot(alike(1), { colour: 'slate' })])
  makeReady(site.raw, 1)
})

const tell = (fields: Record<string, string>, commission = 1) =>
  site.browser.post(`/commissions/${commission}/told`, fields)
const today = async () => plainText((await site.browser.get('/')).text)
const told = () => site.raw.prepare('select lot_id, on_day, how, words from client_told order by id').all()

describe('ready: tell the client', () => {
  test('a lot that is ready and not told is on today’s page, and one press writes it down', async () => {
    expect(await today()).toContain('The client does not know yet of lot 1.')
    const answer = await tell({ how: 'by phone' })
    expect([answer.status, answer.headers.location]).toEqual([303, '/commissions/1'])
    expect(told()).toEqual([{ lot_id: 1, on_day: '2026-03-02', how: 'by phone', words: '' }])
    expect(await today()).toContain('Lot 1: told by phone, Mon 2 Mar 2026.')
    expect(await today()).not.toContain('does not know yet')
    expect(plainText((await site.browser.get('/commissions/1')).text)).toContain('Lot 1: told by phone')
  })

  test('what becomes ready later is told for itself', async () => {
    await tell({ how: 'by phone' })
    makeReady(site.raw, 2)
    expect(await today()).toContain('The client does not know yet of lot 2.')
    await tell({ how: 'by letter', day: '1 March 2026', words: 'with the bill' })
    expect(told()).toMatchObject([{}, { lot_id: 2, on_day: '2026-03-01', how: 'by letter', words: 'with the bill' }])
  })

  test('a lot that went through another bath since is told anew', async () => {
    await tell({ how: 'by phone' })
    site.raw.exec(`insert into move (bundle_id, from_place, to_place, at, worker_id, why)
      values (1, 'drying line', 'ready shelf', '2026-03-05T10:00:00.000Z', 1, '')`)
    expect(await today()).toContain('The client does not know yet of lot 1.')
  })

  test('that they cannot be told needs a reason, and then nothing waits', async () => {
    const silent = await tell({ how: 'cannot be told', words: ' - ' })
    expect(silent.status).toBe(422)
    expect(silent.text).toContain('href="#words">Say why they cannot be told.')
    await tell({ how: 'cannot be told', words: 'moved away, no address' })
    expect(await today()).toContain('Lot 1: the client cannot be told, Mon 2 Mar 2026: moved away, no address.')
  })

  test('a lot that is gone, or ready only in part, is not listed', async () => {
    site.raw.exec("update bundle set place = 'arrivals shelf' where id = 2")
    expect(await today()).not.toContain('does not know yet')
    expect((await tell({ how: 'by phone' })).status).toBe(409)
    makeReady(site.raw, 1)
    await site.browser.post('/commissions/1/hand-back', {
      ...{ do: 'close', version: '0', toWhom: 'Marta Quill' },
      ...rowsTicked([{ lot: 0, bundles: 2 }]),
    })
    expect(await today()).not.toContain('does not know yet')
    expect(told()).toEqual([])
  })

  test.each([
    ['nothing', {}],
    ['nonsense', { how: 'by smoke', day: 'someday' }],
    ['a day to come', { how: 'by phone', day: '2 April 2026' }],
    ['too many words', { how: 'by phone', words: 'x'.repeat(10_000) }],
  ])('%s is asked for again, with what was typed', async (_, fields) => {
    const page = await tell(fields)
    expect(page.status).toBe(422)
    for (const typed of Object.values(fields).filter(typed => typed.length > 8 && typed !== 'by smoke'))
      expect(page.text).toContain(typed)
    expect(told()).toEqual([])
  })

  test('is not there for a commission that is not', async () => {
    expect((await site.browser.get('/commissions/9/told')).status).toBe(404)
    expect((await tell({ how: 'by phone' }, 9)).status).toBe(404)
  })
})
