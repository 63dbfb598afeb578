import { beforeEach, expect, test } from 'vitest'
import { takeInLot } from '../a-lot.js'
import { makeReady, rowsTicked } from '../hand-back-helper.js'
import { browserOf, testApp } from '../helper.js'
import { textOf } from '../pdf-text.js'
import { scannedPage } from '../scanned.js'

let site: Awaited<ReturnType<typeof testApp>>
beforeEach(async () => {
  site = await testApp()
  await takeInLot(site)
  await takeInLot(site, { colour: 'night blue' })
  site.raw.exec(
    "update client set name = 'Bram Osier', contact = 'the lock house', wishes = 'not by the stove' where id = 2",
  )
})

const press = (what: string, client = 1) => site.browser.post(`/clients/${client}/page`, { do: what })
const token = (client = 1) =>
  String(site.raw.prepare('select token from client_page where client_id = ? and off_at is null').pluck().get(client))
/** As it is sent: kept by no cache, listed by no search, and silent about its address. */
const PRIVATE = {
  'cache-control': 'no-store',
  'x-robots-tag': 'noindex, nofollow, noarchive',
  'referrer-policy': 'no-referrer',
}
/** Whoever has nothing but the address. */
const stranger = () => browserOf(site.app)

test('shows a client their own bundles without a sign-in, and nothing about anybody else', async () => {
  await press('make')
  const page = await stranger().get(`/c/${token()}`)
  expect(page.status).toBe(200)
  for (const words of ['Ilka Fenn', 'straw yellow', 'chair seats', '3 waiting here', '1 Apr'])
    expect(page.text).toContain(words)
  for (const words of ['Bram Osier', 'night blue', 'lock house', 'not by the stove', 'Lot 2'])
    expect(page.text).not.toContain(words)
  expect(page.text).not.toContain('<form')
})

test('tells nothing that is between the dyer and their client', async () => {
  await press('make')
  const { text } = await stranger().get(`/c/${token()}`)
  for (const words of ['the mill', 'not near the dog', '/lots/', '/clients/', '/commissions/'])
    expect(text).not.toContain(words)
})

test('is kept and listed nowhere, and sets no cookie', async () => {
  await press('make')
  const { headers } = await stranger().get(`/c/${token()}`)
  expect(headers).toMatchObject(PRIVATE)
  expect(headers['set-cookie']).toBeUndefined()
})

test('opens by the address as a square code has it, in capitals', async () => {
  await press('make')
  expect((await stranger().get(`/C/${token()}`)).status).toBe(200)
})

test('says that something can be fetched as soon as it is ready', async () => {
  await press('make')
  expect((await stranger().get(`/c/${token()}`)).text).not.toContain('You can fetch')
  site.raw.exec("update bundle set place = 'ready shelf' where lot_id = 1 and n = 2")
  const { text } = await stranger().get(`/c/${token()}`)
  expect(text).toContain('You can fetch what is ready')
  expect(text).toContain('2 waiting here, 1 ready to fetch')
})

test('says that a tie was lost, and where more is said of it', async () => {
  await press('make')
  site.raw.exec("update bundle set place = 'ready shelf' where lot_id = 1")
  const rows = rowsTicked([{ lot: 0, bundles: 3 }])
  const short = { 'lots.0.bundles.1.tiesBack': '2', 'lots.0.bundles.1.explanation': 'It tore when it was wet.' }
  const closed = { do: 'close', version: '0', toWhom: 'Ilka Fenn', words: '', ...rows, ...short }
  expect((await site.browser.post('/commissions/1/hand-back', closed)).status).toBe(303)
  expect((await stranger().get(`/c/${token()}`)).text.replace(/<[^>]+>/g, '')).toContain(
    '3 bundles, 9 ties came: 3 with you; 1 tie lost: see your slip',
  )
})

test('says which day was promised last, until the lot is done', async () => {
  await press('make')
  const promised = site.raw.prepare(
    "insert into day_promise (lot_id, day, earliest, how, told_on, words, at, worker_id) values (1, ?, ?, 'by phone', '2026-03-03', '', '2026-03-03T09:00:00.000Z', 1)",
  )
  for (const day of ['2026-03-27', '2026-03-30']) promised.run(day, day)
  const { text } = await stranger().get(`/c/${token()}`)
  expect(text).toContain('promised for Mon 30 Mar')
  expect(text).not.toContain('27 Mar')
  site.raw.exec("update bundle set place = 'ready shelf' where lot_id = 1")
  expect((await stranger().get(`/c/${token()}`)).text).not.toContain('promised')
})

test('hands out the client’s own slips, and nobody else’s', async () => {
  for (const client of [1, 2]) {
    await press('make', client)
    makeReady(site.raw, client)
    const rows = rowsTicked([{ lot: 0, bundles: 3 }])
    const toWhom = client === 1 ? 'Ilka Fenn' : 'Bram Osier'
    const answer = await site.browser.post(`/commissions/${client}/hand-back`, {
      do: 'close',
      version: '0',
      toWhom,
      ...rows,
    })
    expect(answer.headers.location).toBe(`/hand-backs/${client}`)
  }
  const { text } = await stranger().get(`/c/${token()}`)
  expect(text).toContain(`/c/${token()}/slips/1`)
  expect(text).toContain('3 with you')
  const slip = await stranger().get(`/c/${token()}/slips/1`)
  expect(slip.status).toBe(200)
  expect(slip.headers).toMatchObject({ 'content-type': 'application/pdf', 'cache-control': 'no-store' })
  expect((await stranger().get(`/c/${token()}/slips/2`)).status).toBe(404)
  const own = token()
  await press('end')
  expect((await stranger().get(`/c/${own}/slips/1`)).status).toBe(404)
})

test('hands out the client’s own receipts, each as it was issued, and nobody else’s', async () => {
  await press('make')
  const own = token()
  site.raw.exec("update commission set needed_by = '2026-04-09' where id = 1")
  expect((await site.browser.post('/commissions/1/receipt', {})).status).toBe(303)
  const { text } = await stranger().get(`/c/${own}`)
  for (const n of [1, 2]) {
    expect(text).toContain(`/c/${own}/receipts/1/${n}"`)
    const receipt = await stranger().get(`/c/${own}/receipts/1/${n}`).responseType('blob')
    expect(receipt.status).toBe(200)
    expect(receipt.headers).toMatchObject({ ...PRIVATE, 'content-type': 'application/pdf' })
    expect(receipt.headers['set-cookie']).toBeUndefined()
    const words = textOf(receipt.body)
    expect(words).toContain(`Receipt ${n} of commission 1`)
    expect(words.includes('It amends receipt 1')).toBe(n === 2)
    for (const strange of ['Bram Osier', 'night blue']) expect(words).not.toContain(strange)
  }
  for (const strange of ['2/1', '1/3', '1/0', '1/x', '7/1'])
    expect((await stranger().get(`/c/${own}/receipts/${strange}`)).status, strange).toBe(404)
  expect((await stranger().get(`/c/${'A'.repeat(26)}/receipts/1/1`)).status).toBe(404)
  await press('end')
  expect((await stranger().get(`/c/${own}/receipts/1/1`)).status).toBe(404)
})

test('a receipt whose words were erased is neither listed nor handed out', async () => {
  await press('make')
  site.raw.exec(`drop trigger lot_closes; update lot set closed_at = '2026-03-09';
    update receipt set content = '"erased"', grain = '' where commission_id = 1`)
  expect((await stranger().get(`/c/${token()}`)).text).not.toContain('/receipts/')
  expect((await stranger().get(`/c/${token()}/receipts/1/1`)).status).toBe(404)
})

test('its square code stands on the slip once the workshop has an address', async () => {
  await press('make')
  makeReady(site.raw, 1)
  const rows = rowsTicked([{ lot: 0, bundles: 3 }])
  await site.browser.post('/commissions/1/hand-back', { do: 'close', version: '0', toWhom: 'Ilka Fenn', ...rows })
  expect((await site.browser.get('/hand-backs/1/slip')).text).not.toContain(token())
  site.raw.exec("update tag_setting set address = 'https://shed.example'")
  const { text } = await site.browser.get('/hand-backs/1/slip')
  const whole = `HTTPS://SHED.EXAMPLE/C/${token()}`
  expect(text).toContain(whole)
  expect(await scannedPage(text)).toEqual([whole])
  // What a phone asks for when it reads that code is the page.
  expect((await stranger().get(`/C/${whole.split('/').at(-1)}`)).text).toContain('Ilka Fenn')
})

test('ends at a press: the old address tells nothing, and a new page has another', async () => {
  await press('make')
  const first = token()
  await press('end')
  const gone = await stranger().get(`/c/${first}`)
  expect(gone.status).toBe(410)
  expect(gone.text).not.toContain('Ilka')
  await press('make')
  expect(token()).not.toBe(first)
  expect((await stranger().get(`/c/${first}`)).status).toBe(410)
})

test('addresses that nobody was given are not there', async () => {
  for (const typed of ['A'.repeat(26), 'x', '1', '%00', '../lots/1'])
    expect((await stranger().get(`/c/${typed}`)).status).toBe(404)
})

test('cannot be made or ended by whoever only has the address', async () => {
  expect((await stranger().post('/clients/1/page', { do: 'make' })).status).toBe(401)
  expect(site.raw.prepare('select count(*) from client_page').pluck().get()).toBe(0)
})

test('there is one at a time, and the client’s changes tell when it was made and ended', async () => {
  expect((await press('make')).status).toBe(303)
  expect((await press('make')).status).toBe(409)
  expect((await press('end')).status).toBe(303)
  expect((await press('end')).status).toBe(409)
  const { text } = await site.browser.get('/clients/1')
  expect(text).toContain('a page of their own made')
  expect(text).toContain('their own page ended')
})

test('the dyer sees its whole address once the workshop has one', async () => {
  await press('make')
  expect((await site.browser.get('/clients/1/page')).text).toContain('phones cannot find it yet')
  site.raw.exec("update tag_setting set address = 'https://shed.example'")
  expect((await site.browser.get('/clients/1/page')).text).toContain(`HTTPS://SHED.EXAMPLE/C/${token()}`)
})
