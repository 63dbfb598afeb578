import { beforeEach, expect, test } from 'vitest'
import { walkChain } from '../../src/store/chain.js'
import { takeInLot } from '../a-lot.js'
import { rowsTicked } from '../hand-back-helper.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
  await site.browser.post('/clients/new', {
    name: 'Ode Reed',
    contact: 'by the weir',
    settles: 'gift',
    photographs: 'no',
  })
})

test('shows all that is kept of a client, on a page and as JSON', async () => {
  await takeInLot(site)
  const page = (await site.browser.get('/clients/2/everything')).text
  for (const words of ['Ilka Fenn', 'Who they are', 'Bundles', 'straw yellow', 'not near the dog'])
    expect(page).toContain(words)
  for (const words of ['Ties that came', 'Dry weight (g)', '2026-03-02 09:00 UTC']) expect(page).toContain(words)
  for (const raw of [/<dt>[a-z]/, /&quot;/, /[{}]/, /_/])
    expect(page.replace(/[\s\S]*<h1>|<(script|a|form)[\s\S]*?>/g, '')).not.toMatch(raw)
  expect(page).not.toContain('Ode Reed')
  const { body } = await site.browser.json('/clients/2/everything')
  expect(body.tables.bundle).toHaveLength(3)
  expect(body.tables.client[0]).toMatchObject({ name: 'Ilka Fenn' })
})

test('erases only the one whose name was typed, and only once', async () => {
  const wrong = await site.browser.post('/clients/1/erase', { name: 'Ode' })
  expect(wrong.status).toBe(422)
  expect(wrong.text).toContain('Type the name exactly as it stands here: Ode Reed.')
  expect(wrong.text).toContain('value="Ode"')
  expect((await site.browser.post('/clients/1/erase', { name: 'Ode Reed' })).status).toBe(303)
  const { text } = await site.browser.get('/clients/1')
  expect(text).toContain('erased client 1')
  expect(text).not.toContain('by the weir')
  expect((await site.browser.post('/clients/1/erase', { name: 'erased client 1' })).status).toBe(409)
})

test('erases nobody whose fibre is here, and says so before anything is typed', async () => {
  await takeInLot(site)
  expect((await site.browser.get('/clients/2/erase')).text).toContain('Fibre of theirs is still here (lot 1)')
  expect((await site.browser.post('/clients/2/erase', { name: 'Ilka Fenn' })).status).toBe(409)
  expect((await site.browser.get('/clients/2')).text).toContain('Ilka Fenn')
})

test('shows before it erases which words stay, and what was told and noted of the person goes', async () => {
  const lotId = await takeInLot(site)
  await site.browser.post(`/lots/${lotId}/incidents/new`, { kind: 'strip torn', whatHappened: 'It caught on a nail.' })
  await site.browser.post('/incidents/1/told', { 'told.how': 'by telephone, her sister answered' })
  await site.browser.post('/incidents/1/close', { outcome: 'taken as it is', version: '1' })
  await site.browser.post('/commissions/1/release', { held: 'yes', reason: 'Bram says that half is his' })
  await site.browser.post('/commissions/1/release', { held: 'no', reason: 'they settled it' })
  site.raw.exec(`insert into move select null, id, place, 'ready shelf', null, '${site.by.at}', 1, '' from bundle;
    update bundle set place = 'ready shelf'`)
  const rows = rowsTicked([{ lot: 0, bundles: 3 }])
  const closed = { do: 'close', version: '0', toWhom: 'Ilka Fenn', words: 'Greet Bram.', ...rows }
  expect((await site.browser.post('/commissions/1/hand-back', closed)).status).toBe(303)
  await site.browser.post('/hand-backs/1/notes', { 'note.words': 'Her cousin came for it.' })

  const person = ['her sister answered', 'Bram', 'they settled it', 'Her cousin']
  const page = (await site.browser.get('/clients/2/erase')).text
  for (const words of ['These words stay', 'It caught on a nail.', 'taken as it is', 'chair seats', 'straw yellow'])
    expect(page).toContain(words)
  for (const words of person) expect(page).not.toContain(words)
  expect((await site.browser.post('/clients/2/erase', { name: 'Ilka Fenn' })).status).toBe(303)
  const after = [
    '/lots/1',
    '/incidents/1',
    '/commissions/1/release',
    '/hand-backs/1',
    '/hand-backs/1/slip',
    '/clients/2/everything',
  ]
  for (const url of after) {
    const { text, status } = await site.browser.get(url)
    expect(status, url).toBe(200)
    for (const words of [...person, 'Ilka']) expect(text, url).not.toContain(words)
  }
  expect((await site.browser.get('/incidents/1')).text).toContain('It caught on a nail.')
  expect((await walkChain(site.db)).broken.filter(words => !words.startsWith('move'))).toEqual([])
})

test('whoever had nothing here for as long as clients are kept is listed, and nobody else', async () => {
  const set = (years: string, version: string) => site.browser.post('/settings/clients', { years, version })
  const due = async () =>
    (await site.browser.json('/settings/clients')).body.due.map(({ name }: { name: string }) => name)
  await takeInLot(site)
  site.raw.exec("update client set made_at = '2018-01-01T00:00:00.000Z'")
  expect(await due()).toEqual([])
  expect((await set('7', '1')).status).toBe(303)
  // Ilka's fibre is here.
  expect(await due()).toEqual(['Ode Reed'])
  const page = (await site.browser.get('/settings/clients')).text
  expect(page).toContain('href="/clients/1/erase"')
  expect((await set('9', '2')).status).toBe(303)
  expect(await due()).toEqual([])
  expect((await set('8', '3')).status).toBe(303)
  await site.browser.post('/clients/1/erase', { name: 'Ode Reed' })
  expect(await due()).toEqual([])

  for (const typed of ['0', '51', 'for ever', '1,5', 'x'.repeat(10_000)]) {
    const refused = await set(typed, '4')
    expect(refused.status, typed).toBe(422)
    expect(refused.text).toContain(`value="${typed}"`)
  }
  expect((await set('5', '1')).status).toBe(409)
  expect((await set('', '4')).status).toBe(303)
  expect((await site.browser.json('/settings/clients')).body).toMatchObject({ keeping: { years: null }, due: [] })
  expect((await site.browser.get('/settings')).text).toContain('Years for which clients are kept')
})

test('an erased client is neither changed nor brings anything more', async () => {
  await site.browser.post('/clients/1/erase', { name: 'Ode Reed' })
  const edited = await site.browser.post('/clients/1/edit', {
    name: 'Ode Reed',
    contact: 'by the weir',
    settles: 'gift',
    photographs: 'no',
    version: '2',
  })
  expect(edited.status).toBe(409)
  for (const url of ['/clients', '/drop-off', '/drop-off?client=1'])
    expect((await site.browser.get(url)).text, url).not.toMatch(/Ode Reed|erased client/)
  const page = (await site.browser.get('/clients/1')).text
  expect(page).toContain('write them down as a new client')
  for (const offered of ['/drop-off?', '/clients/1/edit', '/clients/1/page', '/clients/1/days', '/clients/1/on-tags'])
    expect(page, offered).not.toContain(`"${offered}`)
  expect((await site.browser.get('/clients/1/everything')).text).not.toContain('/clients/1/erase')
})
