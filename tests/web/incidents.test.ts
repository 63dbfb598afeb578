/** What must be held of loss and damage, and of whoever owns it: Spectrum 5.0, Damage and loss; ISO 9001:2015, 8.5.3. */
import { beforeEach, expect, test } from 'vitest'
import { takeInLot } from '../a-lot.js'
import { plainText } from '../hand-back-helper.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
let lotId: number
beforeEach(async () => {
  site = await testApp()
  lotId = await takeInLot(site)
})

const write = (fields: Record<string, string>) => site.browser.post(`/lots/${lotId}/incidents/new`, fields)
const torn = { kind: 'strip torn', 'bundles.2': 'yes', whatHappened: 'It caught on the rail of the line.' }
const told = (fields = {}) => site.browser.post('/incidents/1/told', { 'told.how': 'by telephone', ...fields })
const close = (fields = {}) =>
  site.browser.post('/incidents/1/close', { outcome: 'taken as it is', version: '1', ...fields })
const places = () => site.raw.prepare('select place from bundle order by n').pluck().all()

test('is written down, told and closed, and the lot shows it for ever', async () => {
  expect((await write(torn)).headers.location).toBe('/incidents/1')
  const page = (await site.browser.get('/incidents/1')).text
  for (const words of [
    'A strip tore',
    `lot ${lotId}, bundle 2`,
    'It caught on the rail',
    'Ilka Fenn',
    'not near the dog',
  ])
    expect(page).toContain(words)
  expect((await told()).status).toBe(303)
  expect((await close()).status).toBe(303)
  const lot = (await site.browser.get(`/lots/${lotId}`)).text
  expect(lot).toContain('taken as it is')
  expect(lot).toContain('went wrong: strip torn')
  expect(lot).not.toContain('the incident is not closed')
})

test('its bundle shows it for ever, beside every other look at it, and asks for the one after it', async () => {
  const page = async (n = 2) => plainText((await site.browser.get(`/bundles/${n}`)).text)
  expect(await page()).toMatch(/How it looked today 09:00 Wren, when it came : as expected/)
  expect(await page()).not.toContain('Not looked at yet')
  const later = (minutes: number) => {
    site.clock.at = new Date(Date.parse(site.by.at) + minutes * 60_000).toISOString()
  }
  later(60)
  await write(torn)
  const open = 'Bundle 2 of lot 1 was not looked at since it went wrong'
  expect(await page()).toContain('it went wrong : A strip tore: It caught on the rail of the line.')
  expect(await page()).toContain('Not looked at yet since it went wrong.')
  for (const url of ['/bundles/2', `/lots/${lotId}`, '/commissions/1'])
    expect((await site.browser.get(url)).text, url).toContain(open)
  expect(await page(1)).not.toContain('went wrong')
  later(120)
  const words = 'a finger wide, dry'
  const described = { 'described.bundleId': '2', 'described.moment': 'at the pot', 'described.words': words }
  expect((await site.browser.post(`/lots/${lotId}/descriptions`, described)).status).toBe(303)
  expect((await site.browser.get(`/lots/${lotId}`)).text).not.toContain(open)
  await told()
  await close()
  expect(await page()).toMatch(/it went wrong : A strip tore.*at the pot : a finger wide, dry/)
  const { body } = await site.browser.json('/bundles/2')
  expect(body.looked.checks.map(({ on }: { on: string }) => on)).toEqual(['arrival', 'incident', 'description'])
})

test('cannot be closed before the client was told: what was typed stands there', async () => {
  await write(torn)
  const early = await close({ outcome: 'nobody will notice' })
  expect(early.status).toBe(422)
  expect(early.text).toContain('before the client was told')
  expect(site.raw.prepare('select closed_at from incident').pluck().get()).toBeNull()
  await site.browser.post('/incidents/1/not-told', { 'notTold.words': 'at sea until May' })
  expect((await close()).status).toBe(303)
})

test('takes no further word once it is closed, nor a second end', async () => {
  await write(torn)
  await told()
  await close()
  expect((await told()).status).toBe(409)
  expect((await close({ version: '2' })).status).toBe(409)
})

test('keeps its lot from going back until the client was told', async () => {
  await write({ kind: 'fetched back undyed', whatHappened: 'The course was called off.' })
  expect(places()).toEqual(['ready shelf', 'ready shelf', 'ready shelf'])
  const { id } = (await site.db.selectFrom('commission').select('id').executeTakeFirstOrThrow()) ?? { id: 0 }
  const rows = Object.fromEntries(
    [0, 1, 2].flatMap(n => [
      [`lots.0.bundles.${n}.tiedAgain`, 'yes'],
      [`lots.0.bundles.${n}.tiesBack`, '3'],
    ]),
  )
  const handBack = () =>
    site.browser.post(`/commissions/${id}/hand-back`, {
      do: 'close',
      version: '0',
      toWhom: 'Ilka Fenn',
      'lots.0.goes': 'yes',
      ...rows,
    })
  const refused = await handBack()
  expect(refused.status).toBe(422)
  expect(refused.text).toContain('tell the client, and write down how')
  expect(places()).toEqual(['ready shelf', 'ready shelf', 'ready shelf'])
  await told()
  expect((await handBack()).status).toBe(303)
  expect(places()).toEqual(['handed back', 'handed back', 'handed back'])
})

test('only what still waits can be fetched back undyed', async () => {
  await write({ kind: 'fetched back undyed', 'bundles.1': 'yes', whatHappened: 'One is wanted.' })
  expect(places()).toEqual(['ready shelf', 'arrivals shelf', 'arrivals shelf'])
  const again = await write({ kind: 'fetched back undyed', whatHappened: 'And the rest.' })
  expect(again.status).toBe(422)
  expect(again.text).toContain('elsewhere: bundle 1 (ready shelf)')
  expect(again.text).toContain('And the rest.')
  expect(site.raw.prepare('select count(*) from incident').pluck().get()).toBe(1)
})

test('a bundle that is lost has a list of where to look', async () => {
  await write({ kind: 'bundle lost', 'bundles.3': 'yes', whatHappened: 'Not on the shelf this morning.' })
  const { text } = await site.browser.get('/incidents/1')
  expect(text).toContain('Where to look')
  expect(text).toMatch(/Last known: <strong>arrivals shelf<\/strong>/)
  expect(text).toContain(`lot ${lotId}, bundle 1: arrivals shelf`)
  expect(text).toContain(`lot ${lotId}, bundle 2: arrivals shelf`)
  expect(text).not.toContain(`bundle 3: arrivals shelf`)
})

test('a bundle of another lot, nothing at all and nonsense are refused with what was typed', async () => {
  const empty = await write({})
  expect(empty.status).toBe(422)
  expect(empty.text).toContain('Choose one: what went wrong.')
  expect(empty.text).toContain('Fill in: what happened.')
  expect((await write({ ...torn, whatHappened: 'x'.repeat(10_000) })).status).toBe(422)
  expect((await site.browser.get('/lots/99/incidents/new')).status).toBe(404)
  expect((await site.browser.get('/incidents/7')).status).toBe(404)
})

test('the list holds what is open first, and goes out as JSON', async () => {
  await write(torn)
  const { body } = await site.browser.json('/incidents')
  expect(body.open).toHaveLength(1)
  expect(body.open[0]).toMatchObject({ id: 1, kind: 'strip torn', lotId, isTold: false, bundles: [{ n: 2 }] })
})
