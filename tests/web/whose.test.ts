/** The wrong client was picked, or the wrong fibre: put right by a line, and whatever followed from it is asked again. */
import { beforeEach, describe, expect, test } from 'vitest'
import { walkChain } from '../../src/store/chain.js'
import { inOneStep } from '../../src/store/db.js'
import { eraseClient, whyNotErased } from '../../src/store/erase-client.js'
import { aLot, alike, bring, makeReady, plainText, rowsTicked } from '../hand-back-helper.js'
import { testApp } from '../helper.js'

let site: Awaited<ReturnType<typeof testApp>>
const why = 'two of one name'
beforeEach(async () => {
  site = await testApp()
  await bring(site.db, site.by, [aLot(alike(2))])
  await bring(site.db, site.by, [aLot(alike(1))], { name: 'Ode Reed', wishes: 'not near the dog' })
  // What is agreed from now on is agreed later than the drop-off.
  site.clock.at = '2026-03-02T10:00:00.000Z'
})
const textOf = async (url: string) => plainText((await site.browser.get(url)).text)

describe('whose it is', () => {
  const send = (fields: Record<string, string> = {}) =>
    site.browser.post('/commissions/1/client', { client: 'Ode Reed', version: '1', why, ...fields })

  test('its lots, wishes and pages follow, and no line of the history bears a name', async () => {
    expect((await site.browser.get('/commissions/1')).text).toContain('href="/commissions/1/client"')
    expect((await send()).headers.location).toBe('/commissions/1')
    expect((await site.browser.json('/commissions/1')).body.commission).toMatchObject({
      clientName: 'Ode Reed',
      version: 2,
    })
    const { lot, history } = (await site.browser.json('/lots/1')).body
    expect(lot).toMatchObject({ clientName: 'Ode Reed', wishes: 'not near the dog' })
    expect(history.at(-1)).toMatchObject({
      what: 'put right: whose it is',
      was: { clientId: 1 },
      became: { clientId: 2 },
      words: why,
    })
    expect((await site.browser.json('/past-lots?find=reed')).body.lots.map(({ id }: { id: number }) => id)).toContain(1)
    expect((await walkChain(site.db)).broken).toEqual([])
  })

  test('what was agreed with somebody else is asked again, unless it is agreed with them at once', async () => {
    await send()
    expect(await textOf('/lots/1')).toContain('Lot 1: the plan is not agreed with the client as it stands now')
    expect((await send({ client: 'Marta Quill', agreed: 'spoken', version: '2' })).status).toBe(303)
    expect(await textOf('/lots/1')).not.toContain('is not agreed')
  })

  test('the receipt stays, a further one amends it, and both go when the first client is erased', async () => {
    const first = site.raw.prepare('select content from receipt where commission_id = 1').pluck().get()
    await send()
    expect((await site.browser.post('/commissions/1/receipt', {})).status).toBe(303)
    expect(site.raw.prepare('select content from receipt where commission_id = 1 and n = 1').pluck().get()).toBe(first)
    const { issued } = (await site.browser.json('/commissions/1/receipt')).body
    expect(issued.receipt.amends[0]).toBe('belongs to: Ode Reed (MQ) (was: Marta Quill (MQ))')
    expect(await whyNotErased(site.db, 1)).toContain('Commission 1 was written down for them by mistake')
    makeReady(site.raw, 1)
    const close = { ...rowsTicked([{ lot: 0, bundles: 2 }]), do: 'close', version: '0', toWhom: 'Ode Reed', words: '' }
    expect((await site.browser.post('/commissions/1/hand-back', close)).status).toBe(303)
    await inOneStep(site.db, trx => eraseClient(trx, site.by, 1))
    const all = site.raw.prepare('select group_concat(content) from receipt where commission_id = 1').pluck().get()
    expect(all).toBe('"erased","erased"')
  })

  test('a photograph taken by the word of the first is asked about', async () => {
    site.raw.exec("update client set photographs = 'yes' where id = 1")
    site.raw.exec(`insert into photograph (hash, lot_id, moment, at, worker_id, width_px, height_px, bytes, words)
      values ('${'a'.repeat(64)}', 1, 'as it came', '2026-03-02', 1, 9, 9, 9, '')`)
    const page = await send()
    expect(page.status).toBe(409)
    expect(page.text).toContain('Ode Reed has not said yes to any')
    site.raw.exec("update client set photographs = 'yes, not to show' where id = 2")
    expect((await send()).status).toBe(303)
  })

  test.each<[string, Record<string, string>, number, string]>([
    ['no reason', { why: '' }, 422, 'Fill in: how you know.'],
    ['nobody', { client: '' }, 422, 'Enter the name of the client.'],
    ['somebody unknown', { client: 'Ilse Marram' }, 422, 'No client of this name is known yet.'],
    ['the one who stands there', { client: 'Marta Quill' }, 422, 'is written down for Marta Quill already'],
    ['an old page', { version: '7' }, 409, 'was changed elsewhere'],
  ])('%s is told, with what was typed', async (_, fields, status, sentence) => {
    const page = await send({ agreed: 'message', ...fields })
    expect(page.status).toBe(status)
    expect(plainText(page.text)).toContain(sentence)
    expect(page.text).toContain('value="message" checked')
    expect((await site.browser.json('/commissions/1')).body.commission.clientName).toBe('Marta Quill')
  })

  test('somebody new is written down with it', async () => {
    const contact = { 'newClient.contact': 'the net loft', 'newClient.settles': 'trade', 'newClient.photographs': 'no' }
    expect((await send({ client: 'Ilse Marram', ...contact })).status).toBe(303)
    expect((await site.browser.json('/commissions/1')).body.commission.clientName).toBe('Ilse Marram')
  })

  test('not once something went back', async () => {
    makeReady(site.raw, 1)
    const part = {
      ...rowsTicked([{ lot: 0, bundles: 2 }]),
      'lots.0.bundles.1.stays': 'yes',
      staysWords: 'until spring',
    }
    const close = { ...part, do: 'close', version: '0', toWhom: 'Marta Quill', words: '' }
    expect((await site.browser.post('/commissions/1/hand-back', close)).status).toBe(303)
    const page = await send()
    expect(page.status).toBe(409)
    expect(page.text).toContain('Something of commission 1 has gone back')
    expect((await site.browser.get('/commissions/9/client')).status).toBe(404)
  })
})

describe('which fibre it is', () => {
  const send = (fields: Record<string, string>) =>
    site.browser.post('/lots/1/put-right', { version: '1', why, ...fields })

  test('is put right with its name in the history', async () => {
    const all = { 'fibre.id': 'flax', 'fibre.against': 'a pale red is welcome' }
    expect((await send(all)).status).toBe(303)
    const { lot, history } = (await site.browser.json('/lots/1')).body
    expect(lot).toMatchObject({ fibreId: 'flax', version: 2 })
    expect(history.at(-1)).toMatchObject({ what: 'put right: the fibre', words: why })
    expect(history.at(-1).became.fibre).toBe(lot.fibreName)
    expect((await walkChain(site.db)).broken).toEqual([])
  })

  test('one that does not take the dye is asked about, and nothing is written', async () => {
    // By the first catalogue's rules red cedar hardly takes indigo.
    site.raw.exec('drop trigger lot_as_written')
    site.raw.exec("update lot set fibre_id = 'flax', route = 'indigo', dye_id = 'indigo-fructose-vat' where id = 1")
    const page = await send({ 'fibre.id': 'red-cedar-inner-bark' })
    expect(page.status).toBe(422)
    expect(page.text).toContain('href="#fibre.against"')
    expect((await site.browser.json('/lots/1')).body.lot.fibreId).toBe('flax')
  })

  test('what was weighed damp is weighed again with it', async () => {
    const how = { words: '', numbers: '', inputs: [] }
    const damp = { dampG: 400, dryWeightG: 300, words: '22 %', basisWords: 'dry', notes: [], moistureHow: null, how }
    site.raw.prepare('update lot set damp = ? where id = 1').run(JSON.stringify(damp))
    const against = { 'fibre.id': 'flax', 'fibre.against': 'all the same' }
    const page = await send(against)
    expect(page.status).toBe(422)
    expect(page.text).toContain('was weighed damp')
    expect((await send({ ...against, 'each.weight': '140' })).status).toBe(303)
  })

  test('none that is unknown', async () => {
    expect((await send({ 'fibre.id': 'moon-grass' })).status).toBe(422)
  })
})
