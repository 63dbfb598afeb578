import { beforeEach, describe, expect, test } from 'vitest'
import { aLot, alike, bring, makeReady, plainText, rowsTicked } from '../hand-back-helper.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
  await bring(site.db, site.by, [aLot(alike(2))])
})

const why = 'the weight was written down wrongly'
const send = (fields: Record<string, string> = { why }) => site.browser.post('/lots/1/undyed', fields)
const bundles = async () => (await site.browser.json('/lots/1')).body.lot.bundles

describe('a lot that goes back undyed', () => {
  test('is offered on its page while it waits, and lies on the ready shelf as it came', async () => {
    expect((await site.browser.get('/lots/1')).text).toContain('href="/lots/1/undyed"')
    expect(plainText((await site.browser.get('/lots/1/undyed')).text)).toContain(
      'All of it: 2 bundles, 300 g as taken in.',
    )
    expect((await send()).headers.location).toBe('/lots/1')
    for (const bundle of await bundles())
      expect(bundle).toMatchObject({ place: 'ready shelf', tiesIn: 3, tiesOn: 3, tiesOff: 0, dryWeightG: 150 })
    const { history, moves } = (await site.browser.json('/lots/1')).body
    expect(history.at(-1)).toMatchObject({ what: 'goes back undyed', words: why, who: 'Wren' })
    expect(moves.at(-1)).toMatchObject({ from: 'arrivals shelf', to: 'ready shelf', why: `goes back undyed: ${why}` })
    expect((await site.browser.get('/lots/1')).text).not.toContain('href="/lots/1/undyed"')
  })

  test('goes through the ordinary hand-back, and its slip says so', async () => {
    await send()
    const close = {
      ...rowsTicked([{ lot: 0, bundles: 2 }]),
      do: 'close',
      version: '0',
      toWhom: 'Marta Quill',
      words: '',
    }
    const closed = await site.browser.post('/commissions/1/hand-back', close)
    expect(closed.status).toBe(303)
    const slip = plainText((await site.browser.get(`${closed.headers.location}/slip`)).text)
    expect(slip).toContain(`not dyed: ${why}`)
    expect(slip).toContain('Treated with nothing')
    expect(slip).toContain('Ties kept undyed')
  })

  test.each([{}, { why: '' }, { why: 'x'.repeat(10_000) }])('%#: without a fit reason is asked', async fields => {
    const page = await send(fields as Record<string, string>)
    expect(page.status).toBe(422)
    expect(page.text).toContain('href="#why"')
    expect((await bundles()).every(({ place }: { place: string }) => place === 'arrivals shelf')).toBe(true)
  })

  test('not when nothing waits any more, nor when there is no such lot', async () => {
    makeReady(site.raw, 1)
    expect((await send()).status).toBe(409)
    expect((await site.browser.get('/lots/1/undyed')).text).toContain('Nothing of it waits on the arrivals shelf.')
    expect((await site.browser.get('/lots/9/undyed')).status).toBe(404)
  })
})
