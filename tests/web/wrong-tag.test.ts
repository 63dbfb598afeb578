/** Work on one commission, and a bundle of another in the hand: nothing is done, and only that is noted. */
import { afterAll, beforeAll, expect, test } from 'vitest'
import { sayTagCode } from '../../src/domain/tag-code.js'
import { differences, recordsOf } from '../custody/records.js'
import { aLot, alike, bring, makeReady } from '../hand-back-helper.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
let own: string
let other: string
beforeAll(async () => {
  site = await testApp()
  await bring(site.db, site.by, [aLot(alike(1))])
  await bring(site.db, site.by, [aLot(alike(1))], { name: 'Ode Reed', wishes: 'ring before noon' })
  for (const lot of [1, 2]) makeReady(site.raw, lot)
  ;[own = '', other = ''] = site.raw.prepare('select code from tag order by bundle_id').pluck().all().map(String)
})
afterAll(() => site.app.close())

const handBack = (scanned: string) =>
  site.browser.post('/commissions/1/hand-back', { do: 'save', version: 0, scanned: `${own}\n${scanned}` })

test('a tag of another client stops the hand-back: 409 in words that tell nothing of them', async () => {
  const before = recordsOf(site.raw)
  const { status, text } = await handBack(other)
  expect(status).toBe(409)
  expect(text).toContain(`Stop: the bundle with the tag ${sayTagCode(other)} does not belong to commission 1.`)
  expect(text).toContain(other)
  expect(text).not.toMatch(/Ode|Reed|ring before noon/)
  const written = differences(before, recordsOf(site.raw)).filter(line => !/^. (chain|sqlite_sequence) /.test(line))
  expect(written, written.join('\n')).toHaveLength(1)
  expect(written[0]).toContain('+ history ')
  expect(written[0]).toContain('a tag that does not belong here was shown')
  expect(written[0]).toContain(sayTagCode(other))
  expect(written[0]).not.toMatch(/Ode|Reed/)
})

test('a slip in a code stops it as well, and nothing at all is written', async () => {
  const before = recordsOf(site.raw)
  const { status, text } = await handBack(other.slice(0, 5) + (other.endsWith('K') ? 'H' : 'K'))
  expect(status).toBe(422)
  expect(text).toContain('cannot be right')
  expect(differences(before, recordsOf(site.raw))).toEqual([])
})

test('a tag that was replaced stops it too', async () => {
  await site.browser.post('/bundles/1/tag', { code: own, became: 'torn', words: '' })
  const before = recordsOf(site.raw)
  const { status, text } = await handBack(own)
  expect([409, 422]).toContain(status)
  expect(text).toContain(`The tag ${sayTagCode(own)} no longer counts`)
  expect(differences(before, recordsOf(site.raw))).toEqual([])
})
