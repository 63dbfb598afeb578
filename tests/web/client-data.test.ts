import { beforeEach, expect, test } from 'vitest'
import { takeInLot } from '../a-lot.js'
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
  expect((await site.browser.get('/clients')).text).not.toContain('Ode Reed')
})
