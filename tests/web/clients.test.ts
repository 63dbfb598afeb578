import { beforeEach, describe, expect, test } from 'vitest'
import { newKey, testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
})

const marta = {
  name: 'Marta Quill',
  contact: 'letter box 4',
  settles: 'trade',
  photographs: 'no',
  wishes: 'keep it out of the sun',
}

const writeDown = async (fields: Record<string, string> = marta): Promise<string> => {
  const answer = await site.browser.post('/clients/new', fields)
  expect(answer.status).toBe(303)
  return answer.headers.location ?? ''
}

describe('a client', () => {
  test('is written down and shown', async () => {
    const page = await site.browser.get(await writeDown())
    expect(page.status).toBe(200)
    expect(page.text).toContain('Marta Quill')
    expect(page.text).toContain('keep it out of the sun')
  })

  test('is found by part of the name, without accents or case', async () => {
    await writeDown({ ...marta, name: 'Zoë Ástríður' })
    const page = await site.browser.get('/clients?find=astri')
    expect(page.text).toContain('Zoë Ástríður')
    expect((await site.browser.get('/clients?find=quill')).text).not.toContain('Zoë')
  })

  test('comes out as typed JSON', async () => {
    const { body } = await site.browser.json(await writeDown())
    expect(body.client).toMatchObject({ name: 'Marta Quill', settles: 'trade', photographs: 'no', version: 1 })
  })

  test('without a name or contact comes back with everything that was typed', async () => {
    const page = await site.browser.post('/clients/new', { ...marta, name: ' ', contact: '' })
    expect(page.status).toBe(422)
    expect(page.text).toContain('<title>Error: A new client')
    expect(page.text).toContain('href="#name"')
    expect(page.text).toContain('keep it out of the sun')
    expect((await site.browser.json('/clients')).body.clients).toEqual([])
  })

  test('written down twice by one form is one client', async () => {
    const key = newKey()
    const answers = await Promise.all([1, 2, 3].map(() => site.browser.post('/clients/new', { ...marta, key })))
    expect(answers.map(answer => answer.status)).toEqual([303, 303, 303])
    expect(new Set(answers.map(answer => answer.headers.location)).size).toBe(1)
    expect((await site.browser.json('/clients')).body.clients).toHaveLength(1)
  })

  test('sent again with other words is not saved over, and says so', async () => {
    const key = newKey()
    await site.browser.post('/clients/new', { ...marta, key })
    const again = await site.browser.post('/clients/new', { ...marta, key, note: 'a later thought' })
    expect(again.status).toBe(409)
    expect(again.text).toContain('already sent once')
    expect(again.text).toContain('a later thought')
  })

  test('changed from two devices: the second is shown both, and nothing is overwritten', async () => {
    const address = await writeDown()
    const first = await site.browser.post(`${address}/edit`, { ...marta, version: 1, contact: 'the mill' })
    expect(first.status).toBe(303)
    const second = await site.browser.post(`${address}/edit`, { ...marta, version: 1, contact: 'the ferry' })
    expect(second.status).toBe(409)
    expect(second.text).toContain('the ferry')
    expect(second.text).toContain('the mill')
    expect((await site.browser.json(address)).body.client).toMatchObject({ contact: 'the mill', version: 2 })
  })

  test('keeps who changed what', async () => {
    const address = await writeDown()
    await site.browser.post(`${address}/edit`, { ...marta, version: 1, contact: 'the mill' })
    const { changes } = (await site.browser.json(address)).body
    expect(changes.at(-1)).toMatchObject({
      who: 'Wren',
      was: { contact: 'letter box 4' },
      became: { contact: 'the mill' },
    })
  })

  test('says what was changed in the words of its form, every field of it', async () => {
    const address = await writeDown()
    const otherwise = {
      ...{ name: 'Marta Reed', mark: 'MR', contact: 'the mill', settles: 'gift', wishes: 'Not in plastic.' },
      ...{ wishesSaidBy: 'her aunt', photographs: 'yes', offcuts: 'composted', sharesBath: 'may', note: 'left-handed' },
    }
    await site.browser.post(`${address}/edit`, { ...marta, version: 1, ...otherwise }).expect(303)
    const { changes } = (await site.browser.json(address)).body
    const { words, became } = changes.at(-1)
    expect(words).toHaveLength(Object.keys(became).length)
    expect(words).toContain('How to reach them: from “letter box 4” to “the mill”')
    expect(words).toContain('One bath with the fibre of others: from “not asked” to “may”')
    expect((await site.browser.get(address)).text).not.toContain('sharesBath')
  })

  test('that does not exist is not found', async () => {
    expect((await site.browser.get('/clients/99')).status).toBe(404)
    expect((await site.browser.get('/clients/1e3')).status).toBe(404)
  })

  test('markup in a name stays text', async () => {
    const page = await site.browser.get(await writeDown({ ...marta, name: '"><img src=x onerror=1>{{7*7}}' }))
    expect(page.text).not.toContain('<img')
  })
})
