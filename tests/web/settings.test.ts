import { beforeEach, describe, expect, test } from 'vitest'
import { PASSPHRASE, testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const asItIs = {
  name: 'The Weir Shed',
  weightUnit: 'metric',
  volumeUnit: 'metric',
  timeZone: 'Europe/Lisbon',
  dryBasis: 'conditioned',
  scaleStepG: '1',
  slipPaper: 'A5',
  slipWords: '',
}
const save = (version: number, fields: Record<string, string>) =>
  site.browser.post('/settings', { ...asItIs, ...fields, version })
const changes = async () => (await site.browser.json('/settings')).body.changes

describe('the settings', () => {
  test('tell in words what was changed, by whom and when, the newest first', async () => {
    expect((await site.browser.get('/settings')).text).not.toContain('What was changed here')
    expect((await save(1, { weightUnit: 'pounds', volumeUnit: 'us' })).status).toBe(303)
    site.clock.at = '2026-03-05T10:00:00.000Z'
    const us = { weightUnit: 'pounds', volumeUnit: 'us' }
    expect((await save(2, { ...us, scaleStepG: '0.1', slipWords: 'Mind the <dog>.' })).status).toBe(303)
    expect(await changes()).toEqual([
      {
        at: '2026-03-05T10:00:00.000Z',
        who: 'Wren',
        words: [
          'Smallest step of your scale: from “1 g” to “0.1 g”',
          'Words at the foot of every slip: from nothing to “Mind the <dog>.”',
        ],
      },
      {
        at: site.by.at,
        who: 'Wren',
        words: [
          'Weights: from “grams and kilograms” to “pounds and ounces”',
          'Volumes: from “millilitres and litres” to “US cups, pints, gallons”',
        ],
      },
    ])
    const { text } = await site.browser.get('/settings')
    expect(text).toContain('Weights: from “grams and kilograms” to “pounds and ounces”; Volumes: from')
    expect(text).toContain('from nothing to “Mind the &lt;dog&gt;.”')
  })

  test('saved as they were, or refused, they add no line', async () => {
    expect((await save(1, {})).status).toBe(303)
    expect((await save(1, { name: '' })).status).toBe(422)
    expect((await save(9, { name: 'Another Shed' })).status).toBe(409)
    expect(await changes()).toEqual([])
  })

  test('changed elsewhere meanwhile are shown in words beside what was typed', async () => {
    await save(1, { dryBasis: 'oven-dry' })
    const page = await save(1, { name: 'Another Shed' })
    expect(page.status).toBe(409)
    expect(page.text).toContain('value="Another Shed"')
    expect(page.text).toContain('<dt>What dry means</dt><dd class="words">oven-dry: without any water</dd>')
    expect(page.text).toContain('<dt>Words at the foot of every slip</dt><dd class="words">none</dd>')
  })

  test('offer the steps of a scale from the finest to the coarsest', async () => {
    const { text } = await site.browser.get('/settings')
    const steps = [...text.matchAll(/name="scaleStepG" value="([^"]+)"/g)].map(([, step]) => step)
    expect(steps).toEqual(['0.01', '0.1', '1', '5'])
  })

  test('hold no passphrase in their history', async () => {
    await save(1, { name: 'Another Shed' })
    await site.browser.post('/settings/passphrase', { now: PASSPHRASE, next: 'alder heron lichen oar' })
    const rows = site.raw.prepare('select was, became from workshop_change').all()
    expect(rows).toEqual([{ was: '{"name":"The Weir Shed"}', became: '{"name":"Another Shed"}' }])
  })
})
